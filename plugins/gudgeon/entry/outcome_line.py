"""What became of a fit or a part, in a line at the bench: "ran free 40 h", "nipped after 20 min at 0.003 in, at full load"."""

import re
from dataclasses import dataclass
from typing import get_args

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.entry.sizes import NotClear
from gudgeon.records.outcomes import NO_VERDICT, Result
from gudgeon.records.problems import nearest, shown

_SAID: dict[str, Result] = {result.replace("_", " "): result for result in get_args(Result)}
_SAID["still running"] = NO_VERDICT
_HOURS = re.compile(r"(?:after |for )?(?P<text>[0-9][0-9./ ]*? ?(?:h|hr|hrs|hours?|min|mins|minutes?))(?= |$)")
_CLEARANCE = re.compile(r"(?:at|with) (?P<text>[-−+]?[0-9.][0-9./]* ?[a-zµ]+)(?: clearance)?(?= |$)")
_UNITS = {"hr": "h", "hrs": "h", "hour": "h", "hours": "h", "mins": "min", "minute": "min", "minutes": "min"}


@dataclass(frozen=True)
class OutcomeSaid:
    """What a line says: result, and where it says them hours, clearance and a note."""

    result: Result
    hours: str | None
    clearance: str | None
    note: str | None


def read_outcome(line: str) -> OutcomeSaid:
    """A line in its forms: result, hours, at which clearance; behind a comma what else is to be said. Raises NotClear."""
    said, _, note = line.strip().partition(", ")
    words = " ".join(said.lower().split())
    result = max((known for known in _SAID if words == known or words.startswith(f"{known} ")), key=len, default=None)
    if result is None:
        begins = " ".join(words.split(" ")[:2])
        raise NotClear(
            f'"{shown(begins)}" is no outcome.{nearest(begins, _SAID)} Write one of: {", ".join(_SAID)}; then how long it ran.'
        )
    rest = words.removeprefix(result).strip()
    rest, hours = _taken(rest, _HOURS)
    rest, clearance = _taken(rest, _CLEARANCE)
    if rest:
        raise NotClear(
            f'"{shown(rest)}" is neither a time nor a clearance. Write hours with their unit, such as 40 h; a clearance with '
            'its unit behind at, such as "at 0.003 in"; and anything else behind a comma.'
        )
    if hours is not None:
        number, unit = re.fullmatch(r"(.*?) ?([a-z]+)", hours).groups()  # type: ignore[union-attr]
        hours = _checked(f"{number} {_UNITS.get(unit, unit)}", "time")
    return OutcomeSaid(
        _SAID[result], hours, _checked(clearance, "length") if clearance else None, " ".join(note.split()) or None
    )


def _taken(words: str, pattern: re.Pattern[str]) -> tuple[str, str | None]:
    """The words without the first that a pattern names, and what that was."""
    match = pattern.search(words)
    if match is None:
        return words, None
    return " ".join(f"{words[: match.start()]} {words[match.end() :]}".split()), match["text"]


def _checked(text: str, kind: str) -> str:
    try:
        return read_quantity(text, kind).text
    except NotAQuantity as problem:
        raise NotClear(str(problem)) from None
