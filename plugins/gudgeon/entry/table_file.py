"""The text of a table as a spreadsheet or a gauge leaves it: its encoding, and what its first line says of its cells."""

import re
from dataclasses import dataclass
from pathlib import Path

from gudgeon.records.problems import UNSEEN, Problems, Where
from gudgeon.records.yaml_text import raw_of

MARKS = ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))
SEP = re.compile(r"sep=([,;\t])\r?\n", re.IGNORECASE)


@dataclass(frozen=True)
class TableText:
    """A table as text. encoding: how it was read. delimiter: as its first line `sep=;` says. above: lines taken off in front."""

    text: str
    encoding: str
    delimiter: str | None = None
    above: int = 0


def read_table(path: Path, problems: Problems, encoding: str | None = None) -> TableText | None:
    """A table within bounds, or None with a problem noted. encoding: where it is said; else it is found out."""
    raw = raw_of(path, path.name, problems)
    if raw is None:
        return None
    encoding = encoding or _encoding_of(raw)
    try:
        text = raw.decode(encoding).replace("\r\n", "\n").lstrip("\ufeff")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        problems.add(
            Where(path.name, line),
            "",
            f'this is not {encoding} text. Save the table as UTF-8, or write its "encoding" in the column map.',
        )
        return None
    unseen = UNSEEN.search(text)
    if unseen:
        before = text[: unseen.start()]
        where = Where(path.name, before.count("\n") + 1, unseen.start() - before.rfind("\n"))
        problems.add(where, "", f"a character that cannot be seen (U+{ord(unseen[0]):04X}). Remove it.")
        return None
    said = SEP.match(text)
    if said:
        return TableText(text[said.end() :], encoding, said[1], 1)
    return TableText(text, encoding)


def _encoding_of(raw: bytes) -> str:
    """By its mark; UTF-16 without one by its noughts; UTF-8 where it is, else what older spreadsheets write in the West."""
    for mark, encoding in MARKS:
        if raw.startswith(mark):
            return encoding
    start = raw[:400]
    if start.count(0) > len(start) // 4:
        return "utf-16-le" if start[1::2].count(0) > start[0::2].count(0) else "utf-16-be"
    try:
        raw.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"
