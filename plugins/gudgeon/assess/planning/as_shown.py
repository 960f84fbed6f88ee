"""What a gauge shows at the size to stop at, while part and gauge are as warm as they were when last read."""

from gudgeon_calc.at_the_lathe import REFERENCE, gauge_shows

from gudgeon.assess.findings import Note, ShownAt
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.readings import Row

# °C of a part between a cold shop and one that comes from the cut, each with the gauge at the reference and as warm as the part.
PART_AT = (8.0, 14.0, 20.0, 28.0)


def as_shown(context: MeasuredBuild, ref: str, stop: float) -> Note | None:
    """A note of what is shown at a size of so many mm at 20 °C; None where the last reading has no temperatures."""
    rows = [row for row in context.rows_of(ref, "current") if row.part_temp is not None and row.gauge_temp is not None]
    if not rows:
        return None
    row = max(rows, key=lambda reading: (reading.date, reading.where()))
    assert row.part_temp is not None and row.gauge_temp is not None, "only rows with both are looked at"
    shows = _shows(context, ref, row, stop, float(row.part_temp), float(row.gauge_temp))
    return Note(
        code="stop-shows",
        subject=row.gauge,
        words={"instrument": context.build.instruments[row.gauge].name},
        lengths={"stop": stop, "shows": shows},
        temperatures={"part": float(row.part_temp), "gauge": float(row.gauge_temp)},
    )


def shown_at(context: MeasuredBuild, ref: str, stop: float) -> tuple[ShownAt, ...]:
    """What the gauge that read it last shows at a size of so many mm at 20 °C, part and gauge as warm as a shop may be."""
    rows = context.rows_of(ref, "current")
    if not rows:
        return ()
    row = max(rows, key=lambda reading: (reading.date, reading.where()))
    pairs = dict.fromkeys((part, gauge) for gauge in (REFERENCE, None) for part in PART_AT)
    at = [(part, part if gauge is None else gauge) for part, gauge in pairs]
    return tuple(
        ShownAt(part=part, gauge=gauge, shows=_shows(context, ref, row, stop, part, gauge))
        for part, gauge in dict.fromkeys(at)
    )


def _shows(context: MeasuredBuild, ref: str, row: Row, stop: float, part_temp: float, gauge_temp: float) -> float:
    """What the gauge of a row shows at a size, mm, part and gauge so many °C warm."""
    today = context.build.newest_date or row.date
    of_part = context.materials.cte(context.materials.of_part(ref))
    of_gauge = context.build.instruments[row.gauge].cte
    # A gauge found off that nobody has put right still shows as much too much.
    high = context.scales.reads_high(row.gauge, today)
    return gauge_shows(stop, part_temp, gauge_temp, _number(of_part), _number(of_gauge), high)


def _number(coefficient) -> float:
    return float(getattr(coefficient, "nominal_value", coefficient))
