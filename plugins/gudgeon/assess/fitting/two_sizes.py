"""Two halves with a size each, such as a bore and a journal: the smallest hole meets the largest shaft."""

from collections.abc import Sequence
from typing import Any

from gudgeon_calc.expansion import clearance_at, implied_difference
from gudgeon_calc.limits_and_fits import clearance_of_limits
from gudgeon_calc.units import quantity, reaches

from gudgeon.assess.findings import Formula, Stock
from gudgeon.assess.fitting.pairings import Hot, Pair, Pairing, heat, in_sweep, unseen_ovality
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.stock import stock, thinnest
from gudgeon.records.fits import Fit


class TwoSizes(Pairing):
    """Diameters, or lengths between faces: the sum is the same."""

    moving = ("hole", "shaft")
    shares_scale = True

    def hot_formulas(self) -> list[Formula]:
        return [Formula(what="clearance hot", source=clearance_at.source)]

    def pair(self, context: MeasuredBuild, fit: Fit) -> Pair:
        holes = in_sweep(context, fit.named("hole"), context.local_sizes(fit.named("hole")))
        of_hole, of_shaft = context.worst(fit.named("hole")), context.worst(fit.named("shaft"))
        least, most = of_hole.at("least", holes), of_hole.at("greatest", holes)
        small, large = of_shaft.at("least"), of_shaft.at("greatest")
        hole, shaft = (least, large) if fit.dangerous == "tight" else (most, small)
        notes = tuple(
            note for name in ("hole", "shaft") if (note := unseen_ovality(context, fit.named(name))) is not None
        )
        sizes, others = [place.mm for place in holes], [place.mm for place in context.local_sizes(fit.named("shaft"))]
        tightest, loosest = min(sizes) - max(others), max(sizes) - min(others)
        return Pair(hole.size - shaft.size, tightest, loosest, hole, shaft, notes=notes)

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
                least_metal = thinnest(side, context.worst(unmade))
                return stock(side, at, least_metal, expanded, *limits, fit_id, not _is_final(context, mate)), unmade
        return None, None

    def clearance_of(self, fit: Fit, halves: Sequence[list[float]]) -> float:
        holes, shafts = halves
        return min(holes) - max(shafts) if fit.dangerous == "tight" else max(holes) - min(shafts)

    def implied(self, rate: float, cte: float) -> float:
        return implied_difference(quantity(rate, ""), quantity(cte, "1/kelvin")).m


def _is_final(context: MeasuredBuild, ref: str) -> bool:
    feature = context.build.features[ref]
    if context.order.open_cuts(ref) or context.status(ref) != "current":
        return False
    if not feature.allowed:
        return True
    low, high = feature.allowed
    worst = context.worst(ref)
    return reaches(worst.at("least").mm, low) and reaches(high, worst.at("greatest").mm)
