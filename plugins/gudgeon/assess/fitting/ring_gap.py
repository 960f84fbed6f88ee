"""The closed gap of a ring, carried from where it was read to the smallest bore that the ring travels."""

from gudgeon_calc.expansion import implied_difference_of_gap
from gudgeon_calc.rings import gap_at, gap_at_bore
from gudgeon_calc.units import GRAIN, quantity

from gudgeon.assess.findings import Formula, Note
from gudgeon.assess.fitting.pairings import End, Hot, Pair, Pairing, heat, in_sweep
from gudgeon.assess.measuring.forms import section_mean, sections
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import LocalSize, UncertainLength
from gudgeon.records.fits import Fit


class RingGap(Pairing):
    """It moves by π times what the bore moves, along the bore and with heat."""

    def formulas(self) -> list[Formula]:
        return [Formula(what="gap carried to another bore", source=gap_at_bore.source)]

    def hot_formulas(self) -> list[Formula]:
        return [Formula(what="clearance hot", source=gap_at.source)]

    def pair(self, context: MeasuredBuild, fit: Fit) -> Pair:
        """The bore anywhere tells where the gap was read; its travel tells where the gap is least and where it is most."""
        bore = context.local_sizes(fit.named("hole"))
        means = {station: section_mean(places) for station, places in sections(bore).items()}
        travel = sections(in_sweep(context, fit.named("hole"), bore))
        smallest = min(travel, key=lambda station: means[station].nominal_value)
        largest = max(travel, key=lambda station: means[station].nominal_value)
        gaps = [(gap, _mean_at(means, gap.station)) for gap in context.local_sizes(fit.named("gap"))]
        tight = [End(_carried(gap, read_in, means[smallest]), travel[smallest][0], gap) for gap, read_in in gaps]
        loose = [End(_carried(gap, read_in, means[largest]), travel[largest][0], gap) for gap, read_in in gaps]
        least = min(range(len(gaps)), key=lambda number: tight[number].clearance.nominal_value)
        gap, read_in = gaps[least]
        return Pair(
            tight[least],
            max(loose, key=lambda end: end.clearance.nominal_value),
            gap_read=gap.mm,
            gap_moved_by=0.0 if read_in is None else (means[smallest] - read_in).nominal_value,
            causes=(Note(code="gap-not-carried"),) if read_in is None else (),
        )

    def by_limits(self, context: MeasuredBuild, fit: Fit) -> tuple[float, float] | None:
        """The gap's limits hold in the smallest bore that the limits allow; in the largest it is π times the difference wider."""
        bore, gap = (context.build.features[fit.named(half)].allowed for half in ("hole", "gap"))
        if not bore or not gap:
            return None
        return gap[0], gap_at_bore(*(quantity(size, "mm") for size in (gap[1], *bore))).m

    def limits_told(self, context: MeasuredBuild, fit: Fit, low: float, high: float | None) -> list[Note]:
        bore = context.build.features[fit.named("hole")].allowed
        if bore is None or high is None:
            return []
        moves = gap_at_bore(*(quantity(size, "mm") for size in (0.0, *bore))).m
        if moves <= high - low + GRAIN:
            return []
        lengths = {"bore": bore[1] - bore[0], "moves": moves, "wanted": high - low}
        return [Note(code="bore-limits-move-gap", subject=fit.named("hole"), lengths=lengths)]

    def hot(self, context: MeasuredBuild, fit: Fit, case: str, ctes: tuple[float, float] | None = None) -> Hot:
        warmth = heat(context, fit, case, ctes)
        return lambda bore, gap: gap_at.on_numbers(gap, bore, *warmth)

    def implied(self, rate: float, cte: float) -> float:
        return implied_difference_of_gap.on_numbers(rate, cte)


def _carried(gap: LocalSize, read_in: UncertainLength | None, bore: UncertainLength) -> UncertainLength:
    """A gap in a bore, mm, from the bore where it was read; as it was read where that is not known."""
    if read_in is None:
        return gap.size
    return gap_at_bore(quantity(gap.size, "mm"), quantity(read_in, "mm"), quantity(bore, "mm")).m


def _mean_at(means: dict, station: float | None):
    """The section mean at a station, between two sections by straight line; None outside them."""
    if station is None:
        return None
    along = sorted(known for known in means if known is not None)
    for known in along:
        if abs(known - station) <= GRAIN:
            return means[known]
    for before, after in zip(along, along[1:], strict=False):
        if before < station < after:
            share = (station - before) / (after - before)
            return means[before] * (1 - share) + means[after] * share
    return None
