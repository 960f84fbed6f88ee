"""Draws the house from its imports: which package knows of which, as the picture in DEVELOPERS.md.

.venv/bin/python tests/house.py          shows it
.venv/bin/python tests/house.py --write  puts it into DEVELOPERS.md
"""

import ast
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
SOURCES = {"gudgeon_calc": ROOT / "calc" / "gudgeon_calc", "gudgeon": ROOT / "plugins" / "gudgeon"}
START, END = "<!-- house: written by tests/house.py -->\n", "<!-- /house -->\n"
# Modules at the top of the package that belong together in the picture.
TOGETHER = {
    "wording": "words",
    "quantities": "words",
    "danger_words": "words",
    "notes": "words",
    "notes_of_form": "words",
    "notes_of_heat": "words",
    "notes_of_plans": "words",
    "notes_of_rules": "words",
    "notes_of_sums": "words",
    "plugin": "plugin",
    "config": "plugin",
    "serving": "plugin",
    "theme_faults": "plugin",
    "cli": "commands",
}
LEFT_OUT = ("boundary", "schemas", "__init__", "gudgeon")  # known everywhere, or knowing nothing


def package_of(module: str) -> str | None:
    """The package of the picture that a module lies in; None for what is not ours, or left out."""
    first, _, rest = module.partition(".")
    if first == "gudgeon_calc":
        return "calc"
    if first != "gudgeon" or not rest:
        return None
    name = rest.split(".")[0]
    if name == "assess" and rest.startswith("assess.findings"):
        return "findings"
    name = TOGETHER.get(name, name)
    return None if name in LEFT_OUT else name


def arrows() -> dict[str, set[str]]:
    """Package -> the packages that it imports from."""
    found: dict[str, set[str]] = {}
    for top, folder in SOURCES.items():
        for path in sorted(folder.rglob("*.py")):
            module = ".".join((top, *path.relative_to(folder).with_suffix("").parts))
            here = package_of(module)
            if here is None:
                continue
            known = found.setdefault(here, set())
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                targets = [node.module] if isinstance(node, ast.ImportFrom) and node.module else []
                targets += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
                known |= {to for target in targets if (to := package_of(target)) not in (None, here)}
    return found


def picture() -> str:
    """The picture as text for a diagram: an arrow from each package to those that it knows of, but for what one of them
    knows already."""
    known = arrows()

    def reach(start: str) -> set[str]:
        seen, waiting = set(), list(known.get(start, ()))
        while waiting:
            package = waiting.pop()
            if package not in seen:
                seen.add(package)
                waiting += known.get(package, ())
        return seen

    lines = ["```mermaid", "flowchart TD"]
    for package in sorted(known):
        direct = known[package]
        behind = {far for near in direct for far in reach(near)}
        lines += [f"    {package} --> {to}" for to in sorted(direct - behind)]
    return "\n".join([*lines, "```", ""])


def main() -> None:
    if "--write" not in sys.argv:
        print(picture(), end="")
        return
    before, _, rest = GUIDE.read_text(encoding="utf-8").partition(START)
    GUIDE.write_text(before + START + picture() + END + rest.partition(END)[2], encoding="utf-8")


if __name__ == "__main__":
    main()
