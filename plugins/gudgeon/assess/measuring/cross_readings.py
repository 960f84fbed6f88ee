"""The same metal read by two gauges or two people: what they differ by, and whether both can be right."""

from collections.abc import Iterator
from itertools import combinations

from gudgeon_calc.expansion import REFERENCE, size_at_reference
from gudgeon_calc.units import GRAIN, quantity

from gudgeon.assess.findings import CrossReading, Note, SuspectedMistake
from gudgeon.assess.measuring.agreement import Hand, error_between, limits_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import mistake_address, source
from gudgeon.assess.measuring.sizes import expanded, mean_reading
from gudgeon.records.build_file import NEVER
from gudgeon.records.readings import Row


def cross_readings(context: MeasuredBuild, ref: str) -> Iterator[CrossReading]:
    """Every place of a feature that was read by several gauges or people in the state that counts, two by two."""
    limits = limits_of(place.hands for place in context.local_sizes(ref))
    for place in context.local_sizes(ref):
        for one, other in combinations(place.hands, 2):
            apart = one.size - other.size
            error, limit = error_between(one, other), limits[frozenset((one.name, other.name))]
            suspect, why = _suspect(context, one, other)
            yield CrossReading(
                station=place.station,
                angle=place.angle,
                first=one.rows,
                first_gauge=one.gauge,
                first_by=one.by,
                second=other.rows,
                second_gauge=other.gauge,
                second_by=other.by,
                as_read=_as_read(context, one) - _as_read(context, other),
                part_corrected=_part_corrected(context, one) - _part_corrected(context, other),
                difference=apart.nominal_value,
                expanded=expanded(apart),
                error=min(error, 1e9),
                limit=limit,
                agree=error <= limit + GRAIN,
                suspect=suspect,
                suspect_because=why,
            )


def disagreements(context: MeasuredBuild) -> list[SuspectedMistake]:
    """One suspected mistake for each feature and pair of gauges or hands that cannot both be right."""
    mistakes = []
    for ref in context.states:
        with context.steps.step(f"disagreements/{ref}"):
            told = list(_of_feature(context, ref))
        for mistake in told:
            with context.steps.step(mistake_address(mistake)):
                context.steps.read(f"disagreements/{ref}")
        mistakes += told
    return mistakes


def _of_feature(context: MeasuredBuild, ref: str) -> Iterator[SuspectedMistake]:
    in_use = {row for place in context.local_sizes(ref) for row in place.rows}
    told: set[tuple[str, str]] = set()
    by_hands: dict[tuple, list[CrossReading]] = {}
    for cross in cross_readings(context, ref):
        if not cross.agree:
            key = (cross.first_gauge, cross.first_by, cross.second_gauge, cross.second_by)
            by_hands.setdefault(key, []).append(cross)
            told |= {(one, other) for one in cross.first for other in cross.second}
    for (gauge, by, other_gauge, other_by), crossed in by_hands.items():
        rows = tuple(dict.fromkeys(row for cross in crossed for row in (*cross.first, *cross.second)))
        worst = max(crossed, key=lambda cross: cross.error)
        cause = Note(
            code="hands-disagree",
            names={"gauge": (gauge,), "by": (by,), "other_gauge": (other_gauge,), "other_by": (other_by,)},
            counts={"places": len(crossed)},
            ratios={"error": worst.error},
            because=Note(code="suspect-gauge", subject=worst.suspect, words={"why": worst.suspect_because or ""})
            if worst.suspect
            else Note(code="no-suspect"),
        )
        doubted = worst.first if worst.suspect == gauge else worst.second
        yield _mistake(context, ref, rows, doubted[0], cause)
    for earlier, later in context.metal(ref).disagree:
        if later in in_use and not {(earlier, later), (later, earlier)} & told:
            cause = Note(code="readings-disagree", subject=later, names={"earlier": (earlier,)})
            yield _mistake(context, ref, (earlier, later), later, cause)


def _mistake(context: MeasuredBuild, ref: str, rows: tuple[str, ...], row: str, cause: Note) -> SuspectedMistake:
    return SuspectedMistake(
        kind="readings disagree",
        cause=cause,
        about=ref,
        row=row,
        rows=rows,
        fits=tuple(context.fits_of(ref)),
        source=source(context.rows[row].where("reads")),
    )


def _as_read(context: MeasuredBuild, hand: Hand) -> float:
    return sum(mean_reading(context.rows[row]) for row in hand.rows) / len(hand.rows)


def _part_corrected(context: MeasuredBuild, hand: Hand) -> float:
    """The mean as if only the part had been away from 20 °C: beside the full correction it can hide a gauge's error."""
    return sum(_with_gauge_at_reference(context, context.rows[row]) for row in hand.rows) / len(hand.rows)


def _with_gauge_at_reference(context: MeasuredBuild, row: Row) -> float:
    assert row.part_temp is not None, "rows without both temperatures have no size"
    cte = context.materials.figures(context.materials.of_part(row.of))
    while cte.governed_by:
        cte = context.materials.figures(cte.governed_by)
    size = size_at_reference(
        quantity(mean_reading(row), "mm"),
        quantity(float(row.part_temp), "degC"),
        quantity(REFERENCE, "degC"),
        quantity(cte.cte, "1/kelvin"),
        quantity(0.0, "1/kelvin"),
    )
    return float(size.m)


def _suspect(context: MeasuredBuild, one: Hand, other: Hand) -> tuple[str | None, str | None]:
    """Which of two gauges is rather to be doubted, and why; None where nothing tells."""
    for why, test in (
        ("which was found off", _was_off),
        ("which was never checked", _never_checked),
        ("which was overdue for its check", _was_overdue),
    ):
        doubtful = [hand for hand in (one, other) if test(context, hand)]
        if len(doubtful) == 1:
            return doubtful[0].gauge, why
    much = float(context.shelf.judgement["coarser_gauge"])
    finer, coarser = sorted((one, other), key=lambda hand: hand.size.std_dev)
    if coarser.gauge != finer.gauge and coarser.size.std_dev > much * finer.size.std_dev:
        return coarser.gauge, "which is the coarser"
    return None, None


def _was_off(context: MeasuredBuild, hand: Hand) -> bool:
    return any(context.scales.off(hand.gauge, context.rows[row].date) for row in hand.rows)


def _never_checked(context: MeasuredBuild, hand: Hand) -> bool:
    return context.build.instruments[context.scales.root(hand.gauge)].checked == NEVER


def _was_overdue(context: MeasuredBuild, hand: Hand) -> bool:
    instrument = context.build.instruments[context.scales.root(hand.gauge)]
    return any(instrument.is_overdue(context.rows[row].date) for row in hand.rows)
