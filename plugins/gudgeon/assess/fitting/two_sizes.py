"""Two halves with a size each, such as a bore and a journal: the smallest hole meets the largest shaft."""

from collections.abc import Sequence
from typing import Any

from gudgeon_calc.expansion import clearance_at, implied_difference
from gudgeon_calc.limits_and_fits import clearance_of_limits
from gudgeon_calc.units import quantity, reaches

from gudgeon.assess.findings import Formula, Stock
from gudgeon.assess.fitting.pairings import Hot, Pair, Pairing, heat, in_sweep
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import LocalSize
from gudgeon.assess.measuring.stock import stock, thinnest
from gudgeon.records.fits import Fit


def _mm(place: LocalSize) -> float:
    return place.mm


class TwoSizes(Pairing):
    """Diameters, or lengths between faces: the sum is the same."""

    moving = ("hole", "shaft")
    shares_scale = True

    def hot_formulas(self) -> list[Formula]:
        return [Formula(what="clearance hot", source=clearance_at.source)]

    def pair(self, context: MeasuredBuild, fit: Fit) -> Pair:
        holes = in_sweep(context, fit.named("hole"), context.local_sizes(fit.named("hole")))
        shafts = context.local_sizes(fit.named("shaft"))
        least, most = min(holes, key=_mm), max(holes, key=_mm)
        small, large = min(shafts, key=_mm), max(shafts, key=_mm)
        hole, shaft = (least, large) if fit.dangerous == "tight" else (most, small)
        return Pair(hole.size - shaft.size, least.mm - large.mm, most.mm - small.mm, hole, shaft)

    def hot(self, context: MeasuredBuild, fit: Fit, case: str, ctes: tuple[float, float] | None = None) -> Hot:
        warmth = heat(context, fit, case, ctes)
        return lambda outer, inner: clearance_at(quantity(outer, "mm"), quantity(inner, "mm"), *warmth).m

    def inner_for(self, outer: Any, clearance: float) -> Any:
        return outer - clearance

    def inner_size(self, pair: Pair) -> Any:
        assert pair.shaft, "a pair of two sizes has both"
        return pair.shaft.size

    def by_limits(self, context: MeasuredBuild, fit: Fit) -> tuple[float, float] | None:
        hole, shaft = (
            context.build.features[fit.named("hole")].allowed,
            context.build.features[fit.named("shaft")].allowed,
        )
        if not hole or not shaft:
            return None
        least, most = clearance_of_limits(*(quantity(end, "mm") for end in (*hole, *shaft)))
        return least.m, most.m

    def target(
        self, context: MeasuredBuild, fit: Fit, fit_id: str, pair: Pair, expanded: float, low: float, high: float | None
    ) -> tuple[Stock | None, str | None]:
        """From the mate's size."""
        most = low if high is None else high
        assert pair.hole and pair.shaft, "a pair of two sizes has both"
        hole, shaft = pair.hole.mm, pair.shaft.mm
        for unmade, mate, at, limits in (
            (fit.named("shaft"), fit.named("hole"), shaft, (hole - most, hole - low)),
            (fit.named("hole"), fit.named("shaft"), hole, (shaft + low, shaft + most)),
        ):
            side = context.build.features[unmade].metal_side
            if side and context.order.open_cuts(unmade):
                least_metal = thinnest(side, context.local_sizes(unmade))
                return stock(side, at, least_metal, expanded, *limits, fit_id, not _is_final(context, mate)), unmade
        return None, None

    def clearance_of(self, fit: Fit, halves: Sequence[list[float]]) -> float:
        holes, shafts = halves
        return min(holes) - max(shafts) if fit.dangerous == "tight" else max(holes) - min(shafts)

    def implied(self, rate: float, cte: float) -> float:
        return implied_difference(quantity(rate, ""), quantity(cte, "1/kelvin")).m


def _is_final(context: MeasuredBuild, ref: str) -> bool:
    feature, places = context.build.features[ref], context.local_sizes(ref)
    if context.order.open_cuts(ref) or context.status(ref) != "current":
        return False
    if not feature.allowed:
        return True
    low, high = feature.allowed
    return all(reaches(place.mm, low) and reaches(high, place.mm) for place in places)
