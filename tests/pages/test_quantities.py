"""Quantities in both worlds of units: every factor against pint, four digits and no false noughts."""

import pytest
from gudgeon.pages.quantities import quantity
from gudgeon.quantities import SHOWN, SHOWN_OTHERWISE, significant, text
from gudgeon.records.figures import FIGURES, WATCHED
from gudgeon.records.parts import FEATURE_KINDS
from gudgeon.wording import UnitFormatter
from gudgeon_calc.units import KINDS, QUANTITY_KINDS, Quantity

PINT = {
    "sq in": "inch**2", "mm²": "mm**2", "cu in": "inch**3", "cm³": "cm**3", "°": "degree", "rpm": "revolution/minute",
    "ft/min": "foot/minute", "m/s": "m/second", "a minute": "1/minute", "drops/min": "1/minute", "psi": "psi",
    "MPa": "MPa", "lbf": "force_pound", "N": "newton", "lbf·ft": "force_pound * foot", "N·m": "newton * m",
    "lb": "pound", "kg": "kg", "lb/cu in": "pound/inch**3", "kg/m³": "kg/m**3", "lb·ft²": "pound * foot**2",
    "kg·m²": "kg * m**2", "ft·lbf": "foot * force_pound", "J": "joule", "hp": "horsepower", "W": "watt",
    "lb/h": "pound/hour", "kg/h": "kg/hour", "cu in/h": "inch**3/hour", "ml/h": "milliliter/hour",
    "lbf/in": "force_pound/inch", "N/mm": "newton/mm", "°F warmer": "delta_degF", "K": "kelvin", "min": "minute",
}  # fmt: skip
WRITTEN = {
    "tenths": "tenth", "µm": "micrometer", "μm": "micrometer", "um": "micrometer", "cm3": "cm**3", "mm³": "mm**3",
    "mm3": "mm**3", "L": "liter", "days": "day", "deg": "degree", "kg/m3": "kg/m**3", "N.m": "newton * m",
    "lbf.ft": "force_pound * foot", "lbf.in": "force_pound * inch", "lbf·in": "force_pound * inch", "lbf": "force_pound",
    "m/min": "m/minute", "ft/s": "foot/second",
}  # fmt: skip


@pytest.mark.parametrize("kind", SHOWN)
def test_factors_against_pint(kind):
    for unit, factor in SHOWN[kind]:
        if unit in ("", "e-6 /K"):
            continue
        assert factor == pytest.approx(Quantity(1.0, QUANTITY_KINDS[kind].unit).m_as(PINT[unit]), rel=2e-9), (
            kind,
            unit,
        )


def test_one_table_names_all_kinds():
    """What is displayed, written and used in expressions is keyed by the kinds of one table, and by all of them."""
    assert SHOWN.keys() | set(SHOWN_OTHERWISE) == QUANTITY_KINDS.keys() and not SHOWN.keys() & set(SHOWN_OTHERWISE)
    assert {kind for kind in FEATURE_KINDS.values() if kind} <= KINDS.keys()
    assert {kind for kind, _ in FIGURES.values()} <= KINDS.keys() and set(WATCHED.values()) <= KINDS.keys()
    for name, kind in QUANTITY_KINDS.items():
        assert (kind.accepted is None) == (kind.example == ""), name
        assert set(kind.in_expressions) <= set(kind.accepted or ()), name


@pytest.mark.parametrize("kind", [name for name, units in KINDS.items() if units and name != "temperature"])
def test_units_that_people_write_against_pint(kind):
    for written, factor in KINDS[kind].items():
        name = WRITTEN.get(written, PINT.get(written, written))
        name = {"F": "delta_degF", "°F": "delta_degF", "C": "kelvin", "°C": "kelvin"}.get(written, name)
        unit = QUANTITY_KINDS[kind].unit
        assert float(factor) == pytest.approx(Quantity(1.0, name).m_as(unit), rel=1e-9), (kind, written)


def test_every_kind_of_a_sum_can_be_said():
    for kind in QUANTITY_KINDS:
        assert text(UnitFormatter("in"), 12.345678, kind) and text(UnitFormatter("mm"), 12.345678, kind)


def test_words():
    assert (
        str(quantity(UnitFormatter("in"), 1.502, "pressure"))
        == '<span class="g-q"><span>217.8 psi</span> <small>(1.502 MPa)</small></span>'
    )
    assert (
        str(quantity(UnitFormatter("mm"), 1.502, "pressure"))
        == '<span class="g-q"><span>1.502 MPa</span> <small>(217.8 psi)</small></span>'
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
        (9.99999, "10.00"),
        (2392.4, "2392"),
        (123456.7, "123500"),
        (-0.5, "−0.5000"),
    ],
)
def test_four_digits(value, said):
    assert significant(value) == said


def test_a_length_has_no_more_figures_than_a_sum_carries_and_a_height_is_no_inch():
    inch, metric = UnitFormatter("in"), UnitFormatter("mm")
    for value, said in (
        (4.47711 * 25.4, ("4.477 in", "113.7 mm")),
        (9.99996 * 25.4, ("10.00 in", "254.0 mm")),
        (0.014923 * 25.4, ("0.0149 in", "0.379 mm")),
        (-0.01, ("−0.0004 in", "−0.010 mm")),
        (0.0, ("0.0000 in", "0.000 mm")),
        (410 * 304.8, ("410 ft", "125 m")),
        (-100_000.0, ("−328.1 ft", "−100 m")),
    ):
        assert (text(inch, value, "length"), text(metric, value, "length")) == said
    assert text(inch, 18.0, "angle") == "18°" and text(metric, 9999.96, "force") == "10000 N"
