"""What is due as an iCalendar file (RFC 5545): lines end in CR LF, are folded at 75 octets, and text is escaped.

Nothing of it hangs on the clock: an event has the same UID for as long as the same thing is due, and is stamped with the
newest day of its build's records.
"""

import datetime
import hashlib
from collections.abc import Iterable, Iterator
from importlib.metadata import version

from gudgeon.assess.findings import BuildFindings, DueFinding
from gudgeon.due_words import says, when
from gudgeon.wording import UnitFormatter

OCTETS = 75  # of a line, without its end (RFC 5545, 3.1)


def calendar(builds: Iterable[tuple[BuildFindings, Iterable[DueFinding]]]) -> bytes:
    """A calendar with an event for everything that is due on a day, overdue or still to come; hours of running have none."""
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:-//Gudgeon//{_text(version('gudgeon'))}//EN",
        "CALSCALE:GREGORIAN",
    ]
    for findings, listed in builds:
        for due in listed:
            if due.day is not None:
                lines += _event(findings, due)
    lines.append("END:VCALENDAR")
    return "".join(part for line in lines for part in _folded(line)).encode("utf-8")


def _event(findings: BuildFindings, due: DueFinding) -> list[str]:
    assert due.day is not None, "only what has a day stands in a calendar"
    day = datetime.date.fromisoformat(due.day)
    stamp = findings.as_of or due.day
    name = hashlib.sha256(f"{findings.build}\n{due.kind}\n{due.subject}".encode()).hexdigest()[:32]
    fmt = UnitFormatter(findings.units)
    told = f"{says(due, fmt)}. Due {when(due)}; {due.source.file}:{due.source.line}."
    event = [
        "BEGIN:VEVENT",
        f"UID:{name}@gudgeon.invalid",
        f"DTSTAMP:{stamp.replace('-', '')}T000000Z",
        f"DTSTART;VALUE=DATE:{day:%Y%m%d}",
    ]
    if day < datetime.date.max:  # it lasts the whole of its day: the end is the day after
        event.append(f"DTEND;VALUE=DATE:{day + datetime.timedelta(days=1):%Y%m%d}")
    return [
        *event,
        f"SUMMARY:{_text(f'{findings.name}: {says(due, fmt)}')}",
        f"DESCRIPTION:{_text(told)}",
        f"CATEGORIES:{_text(due.kind)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _text(text: str) -> str:
    """A TEXT value (3.3.11): backslash, semicolon, comma and line ends escaped, other controls left out."""
    flat = text.replace("\r\n", "\n").replace("\r", "\n")
    flat = flat.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,").replace("\n", "\\n")
    return "".join(letter for letter in flat if letter == "\t" or ord(letter) >= 32 and ord(letter) != 127)


def _folded(line: str) -> Iterator[str]:
    """A content line in pieces of at most 75 octets, none of which splits a letter; each but the first begins with a space."""
    piece, octets = "", 0
    for letter in line:
        size = len(letter.encode("utf-8"))
        if octets + size > OCTETS:
            yield piece + "\r\n"
            piece, octets = " ", 1
        piece, octets = piece + letter, octets + size
    yield piece + "\r\n"
