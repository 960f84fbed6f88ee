"""The temperatures of part and gauge in a line: 24c/16c, 24/16c, 75f/60f, and 24/16 where it cannot be a fraction."""

import re
from math import gcd

from gudgeon_calc.units import Measure

from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build

_T = r"[+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?"
BOTH = re.compile(rf"({_T})°?([cCfF])/({_T})°?([cCfF])")
ONE = re.compile(rf"{_T}°?[cCfF]")
BARE = re.compile(rf"({_T})/({_T})")
WARM, FREEZING = (
    35.0,
    32.0,
)  # °C, °F: beyond them bare figures are rather of the other scale; common practice, no source
DIVISIONS = (2, 4, 8, 16, 32, 64, 128)  # into which a rule divides an inch


def both_temperatures(
    word: str, before: str | None, unit: str | None, hot: float, units: str
) -> tuple[str, str] | None:
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
    if _is_size(bare) and units == "in":
        return None
    pair = f"{bare[1]}f/{bare[2]}f"
    if unit is None:
        raise NotClear(f'"{word}": temperatures in °C or in °F? Write {bare[1]}c/{bare[2]}c or {pair}.')
    warmest = max(_value(bare[1]), _value(bare[2]))
    if unit == "C" and warmest >= min(hot, WARM):
        raise NotClear(f'"{word}" in °C is a hot shop. Write {pair} if °F is meant, {bare[1]}c/{bare[2]}c if not.')
    if unit == "F" and warmest < FREEZING:
        raise NotClear(f'"{word}" in °F is frost. Write {bare[1]}c/{bare[2]}c if °C is meant, {pair} if not.')
    return _text(bare[1], unit), _text(bare[2], unit)


def usual_unit(build: Build, last: str | None) -> str | None:
    """C or F: as on the line before, else as in every row of the build; °C where there is none and the drawings are metric. None
    where nothing tells, or the rows differ."""
    if last is not None:
        return last[-1]
    said = {row.part_temp.unit[-1] for row in build.rows if row.part_temp}
    if said:
        return said.pop() if len(said) == 1 else None
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


def no_temperatures_among(reads: list[Measure], said: bool) -> None:
    """Refuse 15/16 behind other readings, where it could be the temperatures that the line does not say."""
    for read in reads if len(reads) > 1 and not said else ():
        over, slash, under = read.text.removesuffix(" in").partition("/")
        if slash and over.isdecimal() and any("/" not in other.text for other in reads):
            raise NotClear(
                f'"{over}/{under}" could be a size or two temperatures. Write {over}/{under}in, or {over}c/{under}c.'
            )
