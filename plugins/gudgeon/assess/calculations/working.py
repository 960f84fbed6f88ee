"""A calculation with the numbers that were found for it: its result, with what it is uncertain by, and in which units."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gudgeon_calc.limits_and_fits import NotInTable
from gudgeon_calc.units import QUANTITY_KINDS, between

from gudgeon.assess.calculations.model import Calculation
from gudgeon.assess.calculations.uncertain import Uncertain, by_columns, combined

# What a sum raises where its numbers give no result; everything else is a fault of the tool.
NO_RESULT = (NotInTable, ArithmeticError, ValueError)


@dataclass(frozen=True)
class Found:
    """A number that was found, with what it is uncertain by. not_read: what is only planned, or half read. outside: the id of the
    sum that it is the result of, where that is outside of what it holds for, or rests on one that is."""

    number: Uncertain
    kind: str
    name: str
    comes_from: str
    not_read: tuple[str, ...] = ()
    outside: str | None = None

    @property
    def value(self) -> float:
        """The number alone."""
        return self.number.value


def worked_out(calculation: Calculation, values: dict[str, Found]) -> Uncertain:
    """The result of a sum with what it is uncertain by."""
    value = _call(calculation, values, {name: one.value for name, one in values.items()})
    if not math.isfinite(value):
        raise ValueError
    return combined(
        value,
        {name: one.number for name, one in values.items()},
        lambda columns: by_columns(lambda given: _call(calculation, values, given), columns),
    )


def in_formula(calculation: Calculation, name: str, given: Found) -> Uncertain:
    """An input in the unit that the formula works in."""
    unit = QUANTITY_KINDS[given.kind].unit
    return in_unit(given.number, unit, calculation.formula.units.get(name, unit))


def returned(calculation: Calculation) -> str:
    """The unit of what a calculation takes of its formula's results."""
    returns = calculation.formula.returns
    return returns if isinstance(returns, str) else returns[calculation.pick or 0]


def in_unit(number: Uncertain, unit: str, wanted: str) -> Uncertain:
    if unit == wanted:
        return number

    convert = between(unit, wanted)
    return combined(float(convert(number.value)), {"it": number}, lambda given: convert(given["it"]))


def _call(calculation: Calculation, values: dict[str, Found], given: Mapping[str, Any]) -> Any:
    """The result for numbers, or columns of them, of its inputs, in the unit of its kind."""
    formula, arguments = calculation.formula, {}
    for name, input_value in values.items():
        wanted, number = formula.units.get(name), given[name]
        arguments[name] = number if wanted is None else between(QUANTITY_KINDS[input_value.kind].unit, wanted)(number)
    result = formula.on_numbers(**arguments)
    if calculation.pick is not None:
        result = result[calculation.pick]
    return between(returned(calculation), QUANTITY_KINDS[calculation.kind].unit)(result)


def spread_by(number: Uncertain | None) -> tuple[str, ...]:
    """What a range arises from."""
    if number is None:
        return ()
    return (("readings",) if number.readings else ()) + (("ranges",) if number.ranges else ())
