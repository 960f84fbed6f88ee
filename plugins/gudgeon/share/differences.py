"""Shows how two versions of something that travels differ, line by line, safe for a terminal."""

import difflib
from collections.abc import Iterator, Mapping

from gudgeon.records.problems import seen

WIDEST = 400  # characters of a line that are shown


def differences(was: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    """The lines of a unified diff of some files. Every line that differs is among them; of a long one its beginning is."""
    for name in sorted({*was, *now}):
        before, after = was.get(name, ""), now.get(name, "")
        if before == after:
            continue
        for line in difflib.unified_diff(
            before.splitlines(), after.splitlines(), f"here/{name}", f"there/{name}", n=2, lineterm=""
        ):
            line = seen(line)
            more = len(line) - WIDEST
            yield line if more <= 0 else f"{line[:WIDEST]}… and {more} characters more"
