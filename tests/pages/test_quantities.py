"""Quantities in both worlds of units: every factor against pint, four digits and no false noughts."""

import pytest
from gudgeon.assess.calculations.model import UNITS
from gudgeon.pages.quantities import quantity
from gudgeon.quantities import SHOWN, significant, text
from gudgeon.wording import UnitFormatter
from gudgeon_calc.units import Quantity

PINT = {
    "sq in": "inch**2", "mm²": "mm**2", "cu in": "inch**3", "cm³": "cm**3", "°": "degree", "rpm": "revolution/minute",
    "ft/min": "foot/minute", "m/s": "m/second", "a minute": "1/minute", "drops/min": "1/minute", "psi": "psi",
    "MPa": "MPa", "lbf": "force_pound", "N": "newton", "lbf·ft": "force_pound * foot", "N·m": "newton * m",
    "lb": "pound", "kg": "kg", "lb/cu in": "pound/inch**3", "kg/m³": "kg/m**3", "lb·ft²": "pound * foot**2",
    "kg·m²": "kg * m**2", "ft·lbf": "foot * force_pound", "J": "joule", "hp": "horsepower", "W": "watt",
    "lb/h": "pound/hour", "kg/h": "kg/hour", "cu in/h": "inch**3/hour", "ml/h": "milliliter/hour",
    "lbf/in": "force_pound/inch", "N/mm": "newton/mm", "°F warmer": "delta_degF", "K": "kelvin",
}  # fmt: skip


@pytest.mark.parametrize("kind", SHOWN)
def test_factors_against_pint(kind):
    for unit, factor in SHOWN[kind]:
        if unit in ("", "e-6 /K"):
            continue
        assert factor == pytest.approx(Quantity(1.0, UNITS[kind]).m_as(PINT[unit]), rel=2e-9), (kind, unit)


def test_every_kind_of_a_sum_can_be_said():
    for kind in UNITS:
        assert text(UnitFormatter("in"), 12.345678, kind) and text(UnitFormatter("mm"), 12.345678, kind)


def test_words():
    assert (
        str(quantity(UnitFormatter("in"), 1.502, "pressure"))
        == '<span class="g-q">217.8 psi <small>(1.502 MPa)</small></span>'
    )
    assert (
        str(quantity(UnitFormatter("mm"), 1.502, "pressure"))
        == '<span class="g-q">1.502 MPa <small>(217.8 psi)</small></span>'
    )
    assert (
        text(UnitFormatter("in"), 100.0, "temperature") == "212.0 °F"
        and text(UnitFormatter("mm"), 0.0139, "length") == "0.014 mm"
    )


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (0, "0"),
        (0.00012345, "0.0001235"),
        (9.99999, "10.000"),
        (2392.4, "2392"),
        (123456.7, "123457"),
        (-0.5, "−0.5000"),
    ],
)
def test_four_digits(value, said):
    assert significant(value) == said
