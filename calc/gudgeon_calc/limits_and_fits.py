"""Limits of holes and shafts, and the fits they make.

The tables are the standards' own numbers, never their formulas, which round otherwise. Every row names its
source and its basis (`bases` of `published`); a limit is no better founded than the weakest row behind it.
What is not there raises `NotInTable`, whose message says what is.
"""

import re
from dataclasses import dataclass

from gudgeon_calc.published import table, weakest
from gudgeon_calc.units import Number, formula

INCH = 25.4  # mm
ISO_LETTERS = ("c", "d", "e", "f", "g", "h", "js", "j", "k", "m", "n", "p", "r", "s", "t", "u")
INCH_CLASSES = ("RC1 to RC9", "LC1 to LC11", "LT1 to LT6", "LN1 to LN3", "FN1 to FN5")


class NotInTable(LookupError):
    """The table as held here has no such grade, letter, class or size."""


@dataclass(frozen=True)
class Limits:
    """Limits of one size or of a clearance. low, high: mm. sources: keys in the bibliography. basis: the weakest."""

    low: float
    high: float
    sources: tuple[str, ...]
    basis: str


@dataclass(frozen=True)
class FitClass:
    """What a class of fit stands for. basic: mm. hole, shaft: limits of size; clearance: least and most, mm."""

    name: str
    basic: float
    hole: Limits
    shaft: Limits
    clearance: Limits


@formula(("mm", "mm"), source="od1642", hole_least="mm", hole_most="mm", shaft_least="mm", shaft_most="mm")
def clearance_of_limits(
    hole_least: Number, hole_most: Number, shaft_least: Number, shaft_most: Number
) -> tuple[Number, Number]:
    """Least and most clearance that two pairs of limits allow.

    hole_least, hole_most, shaft_least, shaft_most [mm]: limits of size. Returns (least, most) [mm], diametral;
    negative is interference. Source: US Army subcourse OD1642, para 4. Valid: parts taken at random; not for
    parts that were paired by selection.
    """
    return hole_least - shaft_most, hole_most - shaft_least


def read_tolerance(text: str) -> Limits:
    """Limits of size in mm of a toleranced size such as "45 H7" or "98 p6"; "1.5 in H7" counts from an inch size.

    The letter's case tells hole from shaft. Raises NotInTable with the way to write it. Source: ISO 286-1, tables of grades and of
    fundamental deviations, by the row's own basis. Valid: c d e f g h js k m n p r s t u and their holes, IT4 to IT13, to 500 mm; k in
    grades 4 to 7, K M N to grade 8 and P to U as the standard's delta applies; j5 to j7 and J6 to J8.
    """
    match = _CLASS.fullmatch(text.strip())
    if not match or not match["size"] or match["shaft"] or not match["iso"]:
        raise NotInTable(f'expected a basic size and a tolerance class. Found "{text}". Write it like "45 H7".')
    basic = _basic(match)
    limits = _deviations(basic, match["iso"])
    return Limits(round(basic + limits.low, 9), round(basic + limits.high, 9), limits.sources, limits.basis)


def read_fit_class(text: str, hole_nominal: float | None = None) -> FitClass:
    """What a class of fit as written stands for: "25 H7/g6", "1.25 in RC4", or "RC4" at the hole's nominal size.

    hole_nominal: mm, for an inch class without a size of its own. Raises NotInTable with the way to write it.
    Source and range: of ISO classes as `read_tolerance`; of the classes of ANSI B4.1, which are no ISO grades by number, by the
    row's own basis: RC LC LT LN to 7.09 in, FN to 5.52 in.
    """
    match = _CLASS.fullmatch(text.strip())
    if not match:
        raise NotInTable(f'expected a class of fit. Found "{text}". Write it like "25 H7/g6" or "1.25 in RC4".')
    if match["inch"]:
        basic = _basic(match) if match["size"] else hole_nominal
        if basic is None:
            raise NotInTable(f'{match["inch"]} needs a size. Write it like "1.25 in {match["inch"]}".')
        return _inch_fit_class(basic, match["inch"])
    if match["size"] is None:
        raise NotInTable(f'a class counts from a basic size. Found "{text}". Write it like "25 {text.strip()}".')
    if match["shaft"] is None:
        raise NotInTable(f'a fit names a hole and a shaft. Found "{text}". Write it like "25 H7/g6".')
    return _iso_fit_class(_basic(match), match["iso"], match["shaft"])


_CLASS = re.compile(
    r"(?:(?P<size>[0-9]{1,4}(?:\.[0-9]{1,6})?) ?(?P<unit>mm|in)? +)?"
    r"(?:(?P<inch>(?!JS)[A-Z]{2}[0-9]{1,2})(?![0-9])|(?P<iso>[A-Za-z]{1,2}[0-9]{1,2})(?:/(?P<shaft>[A-Za-z]{1,2}[0-9]{1,2}))?)"
)


def _basic(match: re.Match[str]) -> float:
    size = float(match["size"])
    inches = match["unit"] == "in" or (match["unit"] is None and match["inch"] is not None)
    return size * INCH if inches else size


def _iso_fit_class(basic: float, hole: str, shaft: str) -> FitClass:
    for given, is_right, what, case in (
        (hole, str.isupper, "hole", "a capital"),
        (shaft, str.islower, "shaft", "a small"),
    ):
        if not is_right(given.rstrip("0123456789") or "?"):
            raise NotInTable(f'the {what} has {case} letter. Found "{hole}/{shaft}". Write it like "25 H7/g6".')
    outer, inner = _deviations(basic, hole), _deviations(basic, shaft)
    return _fit_class(
        f"{hole}/{shaft}",
        basic,
        *(Limits(basic + limits.low, basic + limits.high, limits.sources, limits.basis) for limits in (outer, inner)),
    )


def _inch_fit_class(basic: float, name: str) -> FitClass:
    row = _inch_row(round(basic / INCH, 9), name)  # 1.97 in stays 1.97 in after the way through millimetres
    thou = {key: float(row[f"{key}_thou"]) * INCH / 1000 for key in ("hole_most", "shaft_least", "shaft_most")}
    ground = ((row["source"],), row["basis"])
    return _fit_class(
        name,
        basic,
        Limits(basic, basic + thou["hole_most"], *ground),
        Limits(basic + thou["shaft_least"], basic + thou["shaft_most"], *ground),
    )


def _fit_class(name: str, basic: float, hole: Limits, shaft: Limits) -> FitClass:
    sources = tuple(dict.fromkeys(hole.sources + shaft.sources))
    basis = weakest(hole.basis, shaft.basis)
    # Rounded to a millionth of a micrometre, so that 45.025 less 44.950 is 0.075.
    least, most = round(hole.low - shaft.high, 9), round(hole.high - shaft.low, 9)
    return FitClass(name, basic, hole, shaft, Limits(least, most, sources, basis))


def _deviations(basic: float, tolerance_class: str) -> Limits:
    match = re.fullmatch(r"([A-Za-z]{1,2})([0-9]{1,2})", tolerance_class)
    letter = match[1].lower() if match else ""
    if not match or letter not in ISO_LETTERS or match[1] not in (letter, letter.upper()):
        held = ", ".join(iso_letter.upper() for iso_letter in ISO_LETTERS)
        raise NotInTable(f'no tolerance class "{tolerance_class}". Held: {held} for holes, the same small for shafts.')
    grade = int(match[2])
    width = _grade(basic, grade)
    it = int(width["tolerance_um"])
    rows = [width]
    if letter == "js":
        low, high = -it / 2, it / 2
    elif letter == "j":
        row = _of_j(basic, tolerance_class)
        rows.append(row)
        nearest = int(row["nearest_deviation_um"])
        low, high = (nearest - it, nearest) if match[1].isupper() else (nearest, nearest + it)
    elif letter == "h":
        low, high = (0, it) if match[1].isupper() else (-it, 0)
    else:
        row = _nearest(basic, letter)
        rows.append(row)
        nearest = int(row["nearest_deviation_um"])
        if match[1].isupper():
            finer = _grade(basic, grade - 1) if _is_shifted(basic, letter, grade) else None
            rows += [finer] if finer else []
            delta = it - int(finer["tolerance_um"]) if finer else 0
            low, high = _hole(basic, letter, grade, it, nearest, delta)
        else:
            low, high = _shaft(letter, grade, it, nearest)
    return Limits(
        low / 1000,
        high / 1000,
        tuple(dict.fromkeys(row["source"] for row in rows)),
        weakest(*(row["basis"] for row in rows)),
    )


def _shaft(letter: str, grade: int, it: int, nearest: int) -> tuple[int, int]:
    if letter == "k" and not 4 <= grade <= 7:
        nearest = 0  # outside these grades the letter k begins at the basic size
    return (nearest - it, nearest) if letter < "h" else (nearest, nearest + it)


def _is_shifted(basic: float, letter: str, grade: int) -> bool:
    """Whether the hole is shifted by delta: from K on, the finer grades above 3 mm."""
    return letter > "h" and basic > 3 and grade <= (8 if letter in ("k", "m", "n") else 7)


def _hole(basic: float, letter: str, grade: int, it: int, nearest: int, delta: int) -> tuple[int, int]:
    """A hole mirrors its shaft; from K on the finer grades are shifted by delta, so that equal letters fit alike."""
    if letter < "h":
        return -nearest, -nearest + it
    if letter == "k" and grade > 8 and basic > 3:
        raise NotInTable("the letter K goes to grade 8 above 3 mm")
    upper = delta - nearest
    if letter == "n" and grade > 8 and basic > 3:
        upper = 0
    if letter == "m" and grade == 6 and 250 < basic <= 315:
        upper = -9  # the standard's one exception
    return upper - it, upper


def _grade(basic: float, grade: int) -> dict[str, str]:
    for row in table("iso286-grades"):
        if int(row["grade"]) == grade and _step(row, basic):
            return row
    raise NotInTable(f"no IT{grade} at {basic:g} mm. Held: IT4 to IT13, above 0 to 500 mm.")


def _of_j(basic: float, tolerance_class: str) -> dict[str, str]:
    """j has its own deviation in every grade: it is no mirror of a letter and no half of a tolerance."""
    for row in table("iso286-j"):
        if row["class"] == tolerance_class and _step(row, basic):
            return row
    raise NotInTable(f"no {tolerance_class} at {basic:g} mm. Held: j5, j6, j7 and J6, J7, J8, above 0 to 500 mm.")


def _nearest(basic: float, letter: str) -> dict[str, str]:
    for row in table("iso286-shafts"):
        if row["letter"] == letter and _step(row, basic):
            return row
    raise NotInTable(f'no letter "{letter}" at {basic:g} mm.')


def _inch_row(basic: float, name: str) -> dict[str, str]:
    rows = [row for row in table("b41-fits") if row["class"] == name]
    if not rows:
        raise NotInTable(f'no class "{name}". Held: {", ".join(INCH_CLASSES)}.')
    for row in rows:
        if float(row["over_in"]) < basic <= float(row["to_in"]):
            return row
    raise NotInTable(f"no {name} at {basic:g} in. Held: over {rows[0]['over_in']} to {rows[-1]['to_in']} in.")


def _step(row: dict[str, str], basic: float) -> bool:
    """A step goes from over its lower end to its upper end included: 50 mm and 50.01 mm are two steps."""
    return float(row["over_mm"]) < basic <= float(row["to_mm"])
