"""A target that works every sum of the pages out with numbers that a build may give it, the extremes too, and every formula in other units."""

import functools
import importlib
import inspect
import json
import math
import pkgutil
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

import gudgeon_calc
import pint
from fuzz.meaning import of_exception
from gudgeon.assess.calculations import REGISTRY
from gudgeon.assess.calculations.model import ENGINE, METAL, Calculation, Input
from gudgeon.assess.calculations.ranges import note_of_range
from gudgeon.assess.calculations.uncertain import Uncertain, chance_past, exact, reading, within
from gudgeon.assess.calculations.working import NO_RESULT, Found, in_formula, in_unit, returned, worked_out
from gudgeon.records.bounds import BY_KIND, LARGEST_EXPANSION, Bounds
from gudgeon.records.figures import FIGURES
from gudgeon.records.plausible import bounds_of
from gudgeon_calc.units import QUANTITY_KINDS, Formula, quantity, read_quantity, unit
from gudgeon_calc.validity import RESULT
from uncertainties import ufloat

SMALLEST = 1e-12  # of the decimals that a quantity may be written with
PLAIN = (1e-6, 1e6)
OF_FEATURES = ("length", "angle", "volume", "speed", "drip rate", "ratio")
SPREADS = (1e-9, 1e-4, 0.01, 0.3, 1.0)
UNITS = {  # unit of a formula -> another of its kind
    "mm": "inch",
    "m": "foot",
    "degree": "radian",
    "kg": "pound",
    "newton": "pound_force",
    "MPa": "psi",
    "Pa": "psi",
    "bar": "kPa",
    "minute": "hour",
    "second": "minute",
    "watt": "horsepower",
    "revolution/minute": "radian/second",
}


@dataclass(frozen=True)
class SumCase:
    """One sum and what goes into it. number: of the sum in the registry. takes: input -> value, and what says how uncertain it is
    ("exact", "range" or "reading"), with its spread. limit: that it is held against, over a result of one."""

    number: int
    name: str
    takes: dict[str, tuple[float, str, float]]
    limit: float

    def as_json(self, says: str) -> str:
        """As it is kept."""
        return json.dumps({"found": says, **asdict(self)}, indent=1) + "\n"


class Sums:
    """Draws inputs of sums between the bounds that the records hold them to."""

    def __init__(self) -> None:
        self.counts: Counter[str] = Counter()

    def draw(self, seed: int) -> SumCase:
        """The input of a seed; every sum comes up in its turn."""
        dice = random.Random(seed)
        number = seed % len(REGISTRY)
        calculation = REGISTRY[number]
        kinds = _kinds(number)
        takes = {name: self._taken(wanted, kinds[name], dice) for name, wanted in calculation.takes.items()}
        if len(takes) > 1 and dice.random() < 0.2:  # two numbers of one kind stand for each other, or are equal
            one, other = dice.sample(sorted(takes), 2)
            if kinds[one] == kinds[other]:
                takes[one] = takes[other]
        return SumCase(number, calculation.id, takes, dice.choice((0.5, 0.999999, 1.0, 2.0)))

    def _taken(self, wanted: Input, kind: str, dice: random.Random) -> tuple[float, str, float]:
        return (
            _value(wanted, kind, dice),
            dice.choice(("exact", "exact", "range", "reading")),
            dice.choice(SPREADS),
        )

    def read(self, kept: str) -> SumCase:
        """As it was kept."""
        case = json.loads(kept)
        takes = {name: (value, how, spread) for name, (value, how, spread) in case["takes"].items()}
        number = next(
            place for place, one in enumerate(REGISTRY) if one.id == case["name"] and set(one.takes) == set(takes)
        )
        return SumCase(number, case["name"], takes, case["limit"])

    def smallest(self, case: SumCase, fault: str) -> SumCase:
        """The same with as many numbers exact as still show the fault."""
        for name, (value, _, spread) in case.takes.items():
            plainer = SumCase(case.number, case.name, {**case.takes, name: (value, "exact", spread)}, case.limit)
            if fault in self.faults(plainer):
                case = plainer
        return case

    def faults(self, case: SumCase) -> list[str]:
        """What does not hold of an input."""
        self.counts["inputs"] += 1
        try:
            return [f"{case.name}: {fault}" for fault in self._faults(case, REGISTRY[case.number])]
        except Exception as error:
            return [f"{case.name}: {of_exception(error)}"]

    def _faults(self, case: SumCase, calculation: Calculation) -> Iterator[str]:
        values = {
            name: Found(_number(name, *case.takes[name], wanted), _kinds(case.number)[name], name, "drawn")
            for name, wanted in calculation.takes.items()
        }
        try:
            result = worked_out(calculation, values)
            ends = result.ends
        except NO_RESULT:
            self.counts["no result"] += 1
            return
        self.counts["worked out"] += 1
        if isinstance(result.value, complex) or not math.isfinite(result.value):
            yield "no finite number"
            return
        if ends is not None and not (math.isfinite(sum(ends)) and ends[0] <= result.value <= ends[1]):
            yield "ends that do not hold the result"
        numbers = {name: in_formula(calculation, name, one) for name, one in values.items()}
        numbers[RESULT] = in_unit(result, QUANTITY_KINDS[calculation.kind].unit, returned(calculation))
        for one in (*calculation.formula.ranges, *calculation.ranges):
            if not set(one.takes) <= set(numbers):
                continue
            note = note_of_range(one, numbers)
            if (note is None) and not _holds(one, numbers):
                yield f"outside of a range and not told: {one.what}"
            for value in (*(note.lengths or {}).values(), *(note.ratios or {}).values()) if note else ():
                if not math.isfinite(value):
                    yield f"no finite number in a note: {one.what}"
        if case.limit != 2.0 or not result.value:
            return
        chance = chance_past(result, result.value * case.limit, over=True)
        self.counts["held against a limit"] += 1
        if chance is not None and not 0 <= chance <= 1:
            yield "a chance outside 0 to 1"


def _holds(one: Any, numbers: dict[str, Uncertain]) -> bool:
    try:
        return one.holds(float(one.number({name: numbers[name].value for name in one.takes})))
    except (ValueError, ZeroDivisionError):
        return True


@functools.cache
def _kinds(number: int) -> dict[str, str]:
    """The kind of quantity of each input of a sum."""
    calculation = REGISTRY[number]
    return {
        name: _kind(wanted, calculation.formula.units.get(name, "mm")) for name, wanted in calculation.takes.items()
    }


def _kind(wanted: Input, unit_of_formula: str) -> str:
    if wanted.where == "engine":
        return ENGINE[wanted.name][0]
    if wanted.where == "figure":
        return FIGURES[wanted.name][0]
    if wanted.where == "metal":
        return METAL[wanted.name][0]
    if wanted.where == "sum":
        return next(one.kind for one in REGISTRY if one.id == wanted.name)
    if wanted.where == "fixed":
        return str(wanted.kind)
    if wanted.where in ("feature", "fit"):
        known = (
            kind for kind in OF_FEATURES if unit(QUANTITY_KINDS[kind].unit).is_compatible_with(unit(unit_of_formula))
        )
        return next(known)
    return "number"


def _value(wanted: Input, kind: str, dice: random.Random) -> float:
    if wanted.where == "fixed":
        return float(wanted.usual[0])  # pyright: ignore
    if kind == "expansion":
        return dice.choice((11e-6, 1e-9, LARGEST_EXPANSION, dice.uniform(1e-6, 30e-6)))
    if wanted.where == "part":
        return float(dice.choice((0, 1, 2, 3, 4, 6, 8, 12, 64)))
    bounds: Bounds | None = (
        bounds_of(wanted.name) if wanted.where == "figure" else BY_KIND.get("length" if kind == "size" else kind)
    )
    least, most = PLAIN
    if bounds:
        least, most = (
            float(read_quantity(end, "length" if kind == "size" else kind)) for end in (bounds.least, bounds.most)
        )
    lowest = least if least or not (bounds and bounds.open) else SMALLEST
    if wanted.where == "sum":
        return dice.choice((1.0, -1.0)) * 10 ** dice.uniform(-9, 9)
    way = dice.random()
    if bounds and bounds.whole:
        return float(dice.choice((lowest, most, dice.randint(int(least), int(most)), 1)))
    if way < 0.25:
        return dice.choice((lowest, most, math.nextafter(most, 0), lowest * 10 or SMALLEST))
    if way < 0.6 and most > 0:
        return 10 ** dice.uniform(math.log10(max(lowest, SMALLEST * 10)), math.log10(most))
    usual = {
        "length": (0.1, 400),
        "size": (0.1, 400),
        "pressure": (0.01, 400),
        "speed": (30, 2000),
        "mass": (0.01, 400),
    }
    low, high = usual.get(kind, (max(lowest, least), min(most, 1e3)))
    return dice.uniform(max(low, lowest), min(high, most))


def _number(name: str, value: float, how: str, spread: float, wanted: Input) -> Uncertain:
    if how == "exact" or wanted.where == "fixed":
        return exact(value)
    if how == "reading":
        return reading(name, ufloat(value, abs(value) * spread / 10 + 1e-4))
    off = abs(value) * spread
    return within(name, value, max(value - off, 0.0) if value >= 0 else value - off, value + off)


@dataclass(frozen=True)
class FormulaCase:
    """One formula with a number for each argument, in the unit that it declares."""

    name: str
    given: dict[str, float]

    def as_json(self, says: str) -> str:
        """As it is kept."""
        return json.dumps({"found": says, **asdict(self)}, indent=1) + "\n"


class Formulas:
    """Calls every formula with quantities in its units and in others, with wrong dimensions and with bare numbers."""

    def __init__(self) -> None:
        self.counts: Counter[str] = Counter()
        self._formulas = _formulas()

    def draw(self, seed: int) -> FormulaCase:
        """The input of a seed."""
        dice = random.Random(seed)
        name = sorted(self._formulas)[seed % len(self._formulas)]
        units = self._formulas[name].units
        return FormulaCase(name, {argument: _any_number(dice) for argument in units})

    def read(self, kept: str) -> FormulaCase:
        """As it was kept."""
        case = json.loads(kept)
        return FormulaCase(case["name"], case["given"])

    def smallest(self, case: FormulaCase, fault: str) -> FormulaCase:
        """It is small."""
        return case

    def faults(self, case: FormulaCase) -> list[str]:
        """What does not hold of an input."""
        self.counts["inputs"] += 1
        try:
            return [f"{case.name}: {fault}" for fault in self._faults(case)]
        except Exception as error:
            return [f"{case.name}: {of_exception(error)}"]

    def _faults(self, case: FormulaCase) -> Iterator[str]:
        formula = self._formulas[case.name]
        given = {name: quantity(value, formula.units[name]) for name, value in case.given.items()}
        first = next(iter(given), None)
        if first is not None:
            wrong = quantity(1.0, "ampere")
            for bad, refused in (
                ({**given, first: wrong}, pint.DimensionalityError),
                ({**given, first: 1.0}, TypeError),
            ):
                try:
                    formula(**bad)
                except refused:
                    continue
                except (ValueError, LookupError, ArithmeticError):
                    pass
                yield f"takes {'a wrong dimension' if refused is not TypeError else 'a bare number'}"
        results = []
        for told in (given, {name: _in_another_unit(one, formula.units[name]) for name, one in given.items()}):
            try:
                result = formula(**told)
            except (ValueError, LookupError, ArithmeticError):
                results.append(None)
                continue
            parts = result if isinstance(result, tuple) else (result,)
            results.append([_plain(part.magnitude) for part in parts])
        self.counts["no result" if results[0] is None else "worked out"] += 1
        if None in results:
            return  # a number at the very edge of what a formula takes may fall to either side by rounding
        sizes = [abs(value) for value in (*case.given.values(), *results[0]) if value is not None]
        rounding = 1e-9 * max(1e-3, *sizes)  # of the largest number, which may be taken from another as large
        for one, other in zip(*results, strict=True):
            if one is not None and math.isfinite(one) and not math.isclose(one, other, rel_tol=1e-5, abs_tol=rounding):
                yield "another result in other units"


def _formulas() -> dict[str, Formula]:
    """Every formula of calc by its module and name."""
    modules = [
        importlib.import_module(f"gudgeon_calc.{one.name}") for one in pkgutil.iter_modules(gudgeon_calc.__path__)
    ]
    return {
        f"{module.__name__.partition('.')[2]}.{name}": one
        for module in modules
        for name, one in vars(module).items()
        if hasattr(one, "on_numbers")
        and one.__module__ == module.__name__
        and set(one.units) == _needed(one.on_numbers)
    }


def _needed(function: Any) -> set[str]:
    """The arguments that a function cannot do without; one that takes a letter or a count beside its quantities is left to the sums."""
    return {name for name, one in inspect.signature(function).parameters.items() if one.default is one.empty}


def _any_number(dice: random.Random) -> float:
    return dice.choice((0.0, 1.0, -1.0, 10 ** dice.uniform(-9, 9), dice.uniform(0.1, 100)))


def _plain(magnitude: Any) -> Any:
    return float(magnitude) if isinstance(magnitude, (int, float)) else None


def _in_another_unit(one: Any, unit: str) -> Any:
    return one.to(UNITS[unit]) if unit in UNITS else one
