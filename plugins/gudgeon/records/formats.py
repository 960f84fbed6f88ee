"""The format of a build's records: a whole number that rises when the rules of an earlier one would misread a later one."""

import re
from pathlib import Path

from gudgeon.records.plain_data import is_map
from gudgeon.records.problems import Problem, Problems, shown
from gudgeon.records.yaml_text import Document, read_text, read_yaml

FORMAT = 2  # what this version reads and migrates to; docs/upgrade.md says what each number means
KEY = "format"
LONGEST = 6  # digits of a format that anybody could mean


def format_in(document: Document) -> int | None:
    """The format that a build.yaml says, 1 where it says none; None where what it says is no format, which is told with the record."""
    said = document.data.get(KEY, "1") if is_map(document.data) else None
    if not isinstance(said, str) or not re.fullmatch(rf"[1-9][0-9]{{0,{LONGEST - 1}}}", said):
        return None
    return int(said)


def newer_format(path: Path, file: str) -> Problem | None:
    """What to do about a build.yaml of a format that this version does not know; None where it knows it, or cannot read it."""
    unread = Problems()  # told when the record itself is read
    text = read_text(path, file, unread)
    document = None if text is None else read_yaml(text, file, unread)
    if document is None or (format_in(document) or FORMAT) <= FORMAT:
        return None
    return Problem(
        document.where((KEY,)),
        "",
        f"these records are of format {shown(str(document.data[KEY]))}, and this version of the tool knows none above {FORMAT}. Nothing "
        "of this build is read. Install the version that the club uses, which its pinned requirements name, or a newer one.",
    )
