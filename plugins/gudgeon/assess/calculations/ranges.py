"""Tests where a calculation holds: every range that its formula, or the calculation itself, declares, and its metal's."""

from collections.abc import Mapping
from dataclasses import replace

from gudgeon_calc.expansion import REFERENCE
from gudgeon_calc.units import INCH, Formula
from gudgeon_calc.validity import ValidRange

from gudgeon.assess.calculations.model import Calculation
from gudgeon.assess.calculations.uncertain import Uncertain, by_columns, combined, ends, exact
from gudgeon.assess.findings import Note
from gudgeon.assess.measuring.materials import Figures
from gudgeon.records.judgement import Threshold

IN_MM = {
    "mm": 1.0,
    "in": float(INCH),
}  # a length is said in the unit of the build; what has another unit as it is declared


def note_of_range(one: ValidRange, numbers: Mapping[str, Uncertain]) -> Note | None:
    """What is to be told of a range: that the number lies outside it, or may lie; None where it lies within.

    numbers: what the range takes, by name, in the units that the formula works in.
    """
    taken = {name: numbers[name] for name in one.takes}
    try:
        value = float(one.number({name: number.value for name, number in taken.items()}))
    except (ValueError, ZeroDivisionError):
        return None  # such numbers give no result either, which is told
    if one.holds(value):
        between = ends(combined(value, taken, lambda columns: by_columns(one.number, columns)))
        far = next((end for end in between or () if not one.holds(end)), None)
        if far is None:
            return None
        if one.unit in IN_MM:
            return Note(
                code="may-be-outside-range-length", subject=one.what, lengths=_length(one, far), words=_words(one)
            )
        return Note(code="may-be-outside-range", subject=one.what, ratios={"number": far}, words=_words(one))
    if one.unit in IN_MM:
        return Note(code="outside-range-length", subject=one.what, lengths=_length(one, value), words=_words(one))
    return Note(code="outside-range", subject=one.what, ratios={"number": value}, words=_words(one))


def ranges_of(calculation: Calculation, judgement: Mapping[str, Threshold]) -> list[ValidRange]:
    """Where a calculation holds: what its formula and itself declare, with a club's own threshold where one judges."""
    return [
        replace(one, least=float(judgement[one.judged]), ground=judgement[one.judged].ground) if one.judged else one
        for one in (*calculation.formula.ranges, *calculation.ranges)
    ]


def outside_of(formula: Formula, **numbers: float) -> list[Note]:
    """What is to be told of a formula that a page reaches without a calculation; numbers: in the units that it works in."""
    given = {name: exact(number) for name, number in numbers.items()}
    ranges = [one for one in formula.ranges if set(one.takes) <= set(given)]
    return [note for one in ranges if (note := note_of_range(one, given))]


def not_tested(one: ValidRange, lacks: tuple[Note, ...]) -> Note:
    """A range that could not be tested, and what that needs."""
    return Note(code="range-not-tested", subject=one.what, words={"range": one.said}, because=lacks[0])


def heated(metal: Figures, difference: float) -> Note | None:
    """That a part heated by so much, K, over 20 °C is hotter than its metal's coefficient holds for; or that nothing says."""
    temp = REFERENCE + difference
    words = {"material": metal.name}
    if metal.valid is None:
        return Note(code="coefficient-unsaid", subject=metal.id, words=words, temperatures={"at": temp})
    low, high = metal.valid
    if low <= temp <= high:
        return None
    temperatures = {"at": temp, "low": low, "high": high}
    return Note(code="heated-beyond-coefficient", subject=metal.id, words=words, temperatures=temperatures)


def _length(one: ValidRange, number: float) -> dict[str, float]:
    return {"number": number * IN_MM[one.unit]}


def _words(one: ValidRange) -> dict[str, str]:
    return {"range": one.said, "why": one.why, "ground": one.ground, "unit": one.unit and f" {one.unit}"}
