"""What a figure of an engine can be at all: outside of it stands a slip of the pen, told where it was written."""

import datetime
import itertools
from typing import Any

from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.records.bounds import BY_KIND, Bounds
from gudgeon.records.build_file import Instrument
from gudgeon.records.figures import FIGURES, range_fault
from gudgeon.records.model import Build, Instalment
from gudgeon.records.operations import Operation
from gudgeon.records.parts import FEATURE_KINDS, Feature
from gudgeon.records.problems import Problems, Where, nearest
from gudgeon.records.readings import Row

GAS, STRESS, COUNT = Bounds("0 bar", "250 bar", open=True), Bounds("0 MPa", "2 GPa", open=True), ("1", "100")
SHARE = Bounds("0", "1", open=True)
# By figure: what no figure of its name can be beyond, by what it is.
BY_FIGURE = {
    "peak_pressure": GAS,
    "indicated_pressure": GAS,
    "crown_stress": STRESS,
    "wheel_rim_strength": SHARE,
    "stud_count": Bounds(*COUNT, whole=True),
    "torque_factor": SHARE,
    "jacket_pressure": Bounds("0 bar", "50 bar", open=True),
    "test_factor": Bounds("1", "5"),
    "pit_depth": Bounds("0 mm", "100 mm"),
    "set_up_error": Bounds("0 mm", "50 mm"),
    "suction": Bounds("0 kPa", "101.325 kPa", open=True),
    "cylinder_suction": Bounds("0 kPa", "101.325 kPa"),
    "governor_ratio": Bounds("0", "50", open=True),
    "hits": Bounds("0", "1000000", whole=True),
    "cycles": Bounds("1", "1000000", whole=True),
    "thermal_efficiency": SHARE,
    "jacket_share": SHARE,
    "altitude": Bounds("-500 m", "9000 m"),
    "gate_share": Bounds("0", "5"),
    "seat_friction": SHARE,
    "entry_clearance": Bounds("0 mm", "5 mm"),
    "ring_count": Bounds(*COUNT, whole=True),
    "ring_force_ratio": Bounds("1", "5"),
    "clamp_wanted": Bounds("1", "20"),
    "tap_share": SHARE,
    "journal_ratio": Bounds("0", "10", open=True),
    "compression_exponent": Bounds("1", "1.67"),
    "expansion_exponent": Bounds("1", "1.67"),
    "wanted_fluctuation": SHARE,
    "missed_cycles": Bounds("0", "10000", whole=True),
    "balance_share": Bounds("0", "1"),
    "stop_mark_before": Bounds("-10000 mm", "10000 mm"),
    "stop_mark_after": Bounds("-10000 mm", "10000 mm"),
    "wall_allowance": Bounds("0 mm", "100 mm"),
    "rust_allowance": Bounds("0 mm", "100 mm"),
    "pumping_pressure": Bounds("0 bar", "20 bar"),
    "dead_cycle_pressure": Bounds("0 bar", "20 bar"),
    "friction_pressure": Bounds("0 bar", "20 bar"),
    "governor_weights": Bounds(*COUNT, whole=True),
    "governor_lever": Bounds("0", "50", open=True),
}
# Of two figures the first is never more than the second.
NOT_MORE = (
    ("hits", "cycles", "more charges than cycles were counted"),
    ("brake_slack", "brake_tight", "the slack pull is over the tight one"),
    ("indicated_pressure", "peak_pressure", "a mean pressure is over the highest"),
    ("cap_mass", "big_end_mass", "the cap is over what it is a part of"),
    ("governor_radius", "governor_radius_out", "the weight lies further out than when it is thrown out"),
)


def bounds_of(name: str) -> Bounds | None:
    """What a figure can be; None where nobody said."""
    return BY_FIGURE.get(name) or BY_KIND.get(FIGURES[name][0])


def check_figures(build: Build, problems: Problems) -> None:
    """Note a problem for every figure that nothing asks for, that is no quantity, or that no engine can have."""
    values: dict[str, float] = {}
    for name, figure in build.figures.items():
        if name not in FIGURES:
            problems.add(figure.where(), name, f'no sum needs a figure "{name}".{nearest(name, FIGURES)}')
            continue
        ends: dict[str, float] = {}
        for key, said in (("is", figure.value), ("least", figure.least), ("most", figure.most)):
            if said is None:
                continue
            try:
                ends[key] = float(read_quantity(said, FIGURES[name][0]))
            except NotAQuantity as error:
                problems.add(figure.where(key), name, str(error))
                continue
            bounds = bounds_of(name)
            if bounds and (fault := bounds.fault(ends[key], FIGURES[name][0], said)):
                problems.add(figure.where(key), name, fault)
        if "is" in ends:
            values[name] = ends["is"]
        if (fault := range_fault(figure, ends)) is not None:
            problems.add(figure.where("is"), name, fault)
    for less, more, why in NOT_MORE:
        if less in values and more in values and values[less] > values[more]:
            both = f"{build.figures[less].value} of {less}, {build.figures[more].value} of {more}"
            problems.add(build.figures[less].where("is"), less, f"{why}: {both}. One of the two is wrong.")


def check_engine(build: Build, problems: Problems) -> None:
    """Note a problem for a leading figure of the engine that none can have."""
    if build.head is None:
        return
    engine = build.head.engine
    for name, kind in (("bore", "length"), ("stroke", "length"), ("rod_centres", "length"), ("speed", "speed")):
        value = getattr(engine, name)
        if value is not None and (fault := BY_KIND[kind].fault(float(value), kind, value.text)):
            problems.add(engine.where(name), name, fault)
    rod, stroke = engine.rod_centres, engine.stroke
    if rod is not None and stroke is not None and float(rod) <= float(stroke) / 2:
        problems.add(
            engine.where("rod_centres"),
            "rod_centres",
            f"a rod of {rod.text} is no longer than the crank, half the stroke of {stroke.text}: the engine cannot turn.",
        )


LONGEST_PAUSE = 50  # years
SIZES = ("bore", "od", "slot", "thickness", "radius", "thread")


def check_features(build: Build, problems: Problems) -> None:
    """Note a problem for a nominal size that no part has: a diameter of nought, an angle beyond a whole turn."""
    for ref, feature in build.features.items():
        kind = FEATURE_KINDS[feature.kind]
        if feature.nominal is None or feature.size is None or kind is None:
            continue
        if kind in ("angle", "speed", "volume") or feature.kind in SIZES:
            fault = BY_KIND[kind].fault(feature.size, kind, feature.nominal)
            if fault:
                problems.add(feature.where("nominal"), ref, fault)


def check_reads(row: Row, feature: Feature, problems: Problems) -> None:
    """Note a problem for a reading that is no size: nought or less of a diameter, less than nought of a length. What a row
    over a vee block reads is a movement, and how far out of flat a face is may be written either way."""
    if row.lobes is not None or feature.kind == "flat" or not feature.is_length:
        return
    for read in row.reads:
        if read.value < 0 or (read.value == 0 and feature.kind in SIZES):
            wanted = "over 0" if feature.kind in SIZES else "0 or more"
            problems.add(
                row.where("reads"),
                row.id,
                f"{read} is no size of {'an od' if feature.kind == 'od' else f'a {feature.kind}'}. Expected {wanted}.",
            )
            return


def check_days(build: Build, problems: Problems) -> None:
    """Note a problem for a day that has not come, and for one that lies further from the one before it than anybody builds on
    an engine: a slipped year."""
    # By the clock of this computer, the one place where records are held to it: it refuses, and no finding rests on it.
    tomorrow = datetime.date.today() + datetime.timedelta(days=1)
    checks = [
        (instrument.checked, instrument.where("checked"))
        for instrument in build.instruments.values()
        if isinstance(instrument.checked, datetime.date)
    ]
    checks += [(was.until, was.where("until")) for fit in build.fits.values() for was in fit.wanted_before if was.until]
    for day, where in (*((day, _where_dated(record)) for day, record in build.dated()), *checks):
        if day > tomorrow:
            problems.add(
                where,
                "date",
                f"{day} has not come, by this computer's clock. Write the day on which it was done.",
            )
    dated = sorted((dated for dated in build.dated() if dated[0] <= tomorrow), key=lambda dated: dated[0])
    for (before, _), (day, record) in itertools.pairwise(dated):
        if day.year - before.year > LONGEST_PAUSE:
            problems.add(
                _where_dated(record),
                "date",
                f"{day} lies {day.year - before.year} years after the day before it, {before}: one is wrong.",
            )


def _where_dated(record: Any) -> Where:
    """Where the day of a dated record stands."""
    if isinstance(record, Instrument):
        return record.where("found_off", "found")
    return (
        record.head.where("date")
        if isinstance(record, Instalment)
        else record.where("done" if isinstance(record, Operation) else "date")
    )
