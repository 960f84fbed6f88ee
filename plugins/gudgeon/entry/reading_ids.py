"""Ids of new readings: short enough to say aloud, and not given twice by people who enter readings at one moment apart.

`od03-k7mp` is Odette's third row of that day. The letters in front belong to one person of the build, so that two people never
give the same id; the four behind follow from what the row says, so that one person with two devices does not either. They
are drawn from signs that are not taken for each other, read or heard over a lathe.
"""

from collections import Counter
from collections.abc import Collection, Mapping
from typing import Any

from gudgeon.records.model import Build

SIGNS = "23456789bcdfghjkmnpqrstvwxz"
LENGTH = 4
SAID = ("of", "date", "time", "by", "gauge", "station", "angle", "reads", "part_temp", "gauge_temp", "lobes", "as_held")


def letters_of(person: str, people: Collection[str]) -> str:
    """The shortest beginning of a person's id, of two letters or more, that no other person's begins with."""
    others = [name.lower() for name in people if name != person]
    own = person.lower()
    for length in range(2, len(own)):
        if not any(other.startswith(own[:length]) for other in others):
            return own[:length]
    return own


def reading_id(row: Mapping[str, object], people: Collection[str], number: int, taken: Collection[str]) -> str:
    """The id of a new row. number: which of that person's rows of that day it is, from 1. taken: ids that are given."""
    front = f"{letters_of(str(row['by']), people)}{number:02d}"
    said = "|".join(_text(row.get(key)) for key in SAID)
    again = 0
    while True:
        new_id = f"{front}-{_signs(said if not again else f'{said}|{again}')}"
        if new_id not in taken:
            return new_id
        again += 1


def new_id(build: Build, row: Mapping[str, object]) -> str:
    """The id of a row that is added to a build."""
    own = [entry for entry in build.reading_entries if (entry.by, entry.date.isoformat()) == (row["by"], row["date"])]
    taken = {entry.id for entry in build.reading_entries} | set(build.former_names["reading"])
    return reading_id(row, build.sound_head.people, len(own) + 1, taken)


def give_ids(build: Build, rows: list[dict[str, Any]]) -> None:
    """Give every row of a table that has no id one, as if they were entered one after the other."""
    taken = {entry.id for entry in build.reading_entries} | set(build.former_names["reading"])
    taken |= {row["id"] for row in rows if row.get("id")}
    counts = Counter((entry.by, entry.date.isoformat()) for entry in build.reading_entries)
    for row in rows:
        if row.get("id") == "":
            if row.get("by") is None:
                continue
            counts[row["by"], str(row.get("date"))] += 1
            row["id"] = reading_id(row, build.sound_head.people, counts[row["by"], str(row.get("date"))], taken)
            taken.add(row["id"])


def _text(value: object) -> str:
    return (
        " ".join(str(part) for part in value)
        if isinstance(value, list | tuple)
        else ""
        if value is None
        else str(value)
    )


def _signs(text: str) -> str:
    """Four signs that follow from a text: FNV-1a, which any language writes in three lines."""
    number = 2166136261
    for byte in text.encode("utf-8"):
        number = ((number ^ byte) * 16777619) % 2**32
    signs = ""
    for _ in range(LENGTH):
        number, sign = divmod(number, len(SIGNS))
        signs += SIGNS[sign]
    return signs
