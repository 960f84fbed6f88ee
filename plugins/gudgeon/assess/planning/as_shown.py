"""What a gauge shows at the size to stop at, while part and gauge are as warm as they were when last read."""

from gudgeon_calc.expansion import size_at, size_at_reference
from gudgeon_calc.units import quantity

from gudgeon.assess.findings import Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild


def as_shown(context: MeasuredBuild, ref: str, stop: float) -> Note | None:
    """A note of what is shown at a size of so many mm at 20 °C; None where the last reading has no temperatures."""
    rows = [row for row in context.rows_of(ref, "current") if row.part_temp is not None and row.gauge_temp is not None]
    if not rows:
        return None
    row = max(rows, key=lambda reading: (reading.date, reading.where()))
    assert row.part_temp is not None and row.gauge_temp is not None, "only rows with both are looked at"
    today = context.build.newest_date or row.date
    of_part = context.materials.cte(context.materials.of_part(ref))
    of_gauge = context.build.instruments[row.gauge].cte
    part, gauge = (quantity(float(temp), "degC") for temp in (row.part_temp, row.gauge_temp))
    warm = size_at(quantity(stop, "mm"), part, quantity(_number(of_part), "1/kelvin"))
    # The gauge is as long as its own warmth makes it: what it shows of a millimetre is that much less.
    one = size_at_reference(
        quantity(1.0, "mm"),
        quantity(20.0, "degC"),
        gauge,
        quantity(0.0, "1/kelvin"),
        quantity(_number(of_gauge), "1/kelvin"),
    )
    return Note(
        code="stop-shows",
        subject=row.gauge,
        words={"instrument": context.build.instruments[row.gauge].name},
        # A gauge found off that nobody has put right still shows as much too much.
        lengths={"stop": stop, "shows": warm.m / one.m + context.scales.reads_high(row.gauge, today)},
        temperatures={"part": float(row.part_temp), "gauge": float(row.gauge_temp)},
    )


def _number(coefficient) -> float:
    return float(getattr(coefficient, "nominal_value", coefficient))
