"""The command line: gudgeon check, gudgeon schemas."""

import argparse
import sys
from pathlib import Path

from gudgeon.records.folder import load_club
from gudgeon.schemas import SCHEMAS, write_schemas


def main(words: list[str] | None = None) -> int:
    """Exit status: 0 all well, 1 problems in the records, 2 the command's words are off."""
    parser = argparse.ArgumentParser(
        prog="gudgeon", description="Records of engine builds: check them, and make their JSON Schemas."
    )
    commands = parser.add_subparsers(dest="command", required=True)
    check = commands.add_parser(
        "check",
        help="read all records and show every problem",
        description="Read all records and show every problem, in file order.",
    )
    check.add_argument("root", nargs="?", default=".", help="the project's folder (default: here)")
    schemas = commands.add_parser(
        "schemas",
        help="write the JSON Schemas for editors",
        description=f"Write {len(SCHEMAS)} JSON Schemas, made from the models that read the records.",
    )
    schemas.add_argument(
        "folder", nargs="?", default="docs/schemas", help="where to write them (default: docs/schemas)"
    )
    given = parser.parse_args(words)
    if given.command == "schemas":
        for path in write_schemas(Path(given.folder)):
            print(path)
        return 0
    club = load_club(Path(given.root))
    for problem in club.problems:
        print(problem)
    count = len(club.problems)
    print(f"{len(club.builds)} builds, {count} problem{'' if count == 1 else 's'}.", file=sys.stderr)
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
