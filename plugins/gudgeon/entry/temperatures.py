"""The temperatures of part and gauge in a line: 24c/16c, 24/16c, 75f/60f, and 24/16 where it cannot be a fraction."""

import re
from math import gcd

from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build

_T = r"[+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?"
BOTH = re.compile(rf"({_T})°?([cCfF])/({_T})°?([cCfF])")
ONE = re.compile(rf"{_T}°?[cCfF]")
BARE = re.compile(rf"({_T})/({_T})")
DIVISIONS = (2, 4, 8, 16, 32, 64, 128)  # into which a rule divides an inch


def both_temperatures(word: str, before: str | None, unit: str | None, hot: float) -> tuple[str, str] | None:
    """Two temperatures that a word says, part first, as a row has them; None where it says none. Raises NotClear.

    before: the word before it, with which it may be a size such as 1 15/16. unit: C or F where the word itself says none; None
    where nothing tells. hot: from which on, in °C, a part is hotter than a hand holds.
    """
    said = BOTH.fullmatch(word)
    if said:
        return _text(said[1], said[2]), _text(said[3], said[4])
    bare = BARE.fullmatch(word)
    of_inches = before is not None and before.isdecimal()
    if not bare or (of_inches and (_may_be_size(bare) or not _value(bare[2]))):
        return None
    if _is_size(bare):
        return None
    pair = f"{bare[1]}f/{bare[2]}f"
    if unit is None:
        raise NotClear(f'"{word}": temperatures in °C or in °F? Write {bare[1]}c/{bare[2]}c or {pair}.')
    if unit == "C" and max(_value(bare[1]), _value(bare[2])) >= hot:
        raise NotClear(f'"{word}" in °C is hotter than a hand holds. Write {pair} if °F is meant.')
    return _text(bare[1], unit), _text(bare[2], unit)


def usual_unit(build: Build, last: str | None) -> str | None:
    """C or F: as on the line before, else as in the build's newest row, else °C where the drawings are in millimetres."""
    if last is not None:
        return last[-1]
    for row in reversed(build.rows):
        if row.part_temp:
            return row.part_temp.unit[-1]
    return "C" if build.sound_head.units == "mm" else None


def _value(text: str) -> float:
    return float(text.replace("−", "-"))


def _text(number: str, unit: str) -> str:
    return f"{number.replace('−', '-')} °{unit.upper()}"


def _may_be_size(bare: re.Match) -> bool:
    """Whether it can be what stands behind a whole number of inches."""
    return bare[1].isdecimal() and bare[2].isdecimal() and int(bare[1]) < int(bare[2]) and int(bare[2]) in DIVISIONS


def _is_size(bare: re.Match) -> bool:
    """Whether it is written as a fraction of an inch is: 15/16, and not 24/16, 12/16 or 12/12."""
    return _may_be_size(bare) and gcd(int(bare[1]), int(bare[2])) == 1
