"""Two halves with a size each, such as a bore and a journal.

At its tightest the smallest hole meets the largest shaft, at its loosest the largest hole the smallest shaft. Of a hole only
the length that its mate travels counts, at either end.
"""

from collections.abc import Sequence
from typing import Any

from gudgeon_calc.expansion import clearance_at, implied_difference
from gudgeon_calc.limits_and_fits import clearance_of_limits
from gudgeon_calc.units import GRAIN, quantity, reaches
from uncertainties import nominal_value

from gudgeon.assess.findings import Formula
from gudgeon.assess.fitting.pairings import (
    End,
    Hot,
    Pair,
    Pairing,
    SizesWanted,
    heat,
    in_sweep,
    lobing_note,
    unseen_ovality,
)
from gudgeon.assess.measuring.lobing import working, works_by
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import LocalSize
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
        least, most = (self._works(context, fit.named("hole"), of_hole.at(end, holes)) for end in ("least", "greatest"))
        small, large = (self._works(context, fit.named("shaft"), of_shaft.at(end)) for end in ("least", "greatest"))
        notes = tuple(
            note
            for name in ("hole", "shaft")
            for told in (unseen_ovality, lobing_note)
            if (note := told(context, fit.named(name))) is not None
        )
        sizes, others = (
            [self._works(context, ref, place).mm for place in places]
            for ref, places in (
                (fit.named("hole"), holes),
                (fit.named("shaft"), context.local_sizes(fit.named("shaft"))),
            )
        )
        return Pair(
            End(least.size - large.size, least, large),
            End(most.size - small.size, most, small),
            fit.dangerous,
            readings=(min(sizes) - max(others), max(sizes) - min(others)),
            notes=notes,
        )

    @staticmethod
    def _works(context: MeasuredBuild, ref: str, place: LocalSize) -> LocalSize:
        """A place as it works: lobes that two points do not see make a shaft larger and a bore smaller."""
        return working(place, context.lobing(ref), context.build.features[ref].least_decides)

    def hot(self, context: MeasuredBuild, fit: Fit, case: str, ctes: tuple[float, float] | None = None) -> Hot:
        warmth = heat(context, fit, case, ctes)
        return lambda outer, inner: clearance_at.on_numbers(outer, inner, *warmth)

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

    def sizes_wanted(
        self, context: MeasuredBuild, fit: Fit, pair: Pair, low: float, high: float | None
    ) -> SizesWanted | None:
        """From the mate's size at both ends: nowhere too tight and nowhere too loose."""
        tight, loose = pair.tight, pair.loose
        assert tight.hole and tight.shaft and loose.hole and loose.shaft, "a pair of two sizes has both"
        most = low if high is None else high
        for unmade, mate, by_both, by_tight in (
            (
                fit.named("shaft"),
                fit.named("hole"),
                (loose.hole.mm - most, tight.hole.mm - low),
                (tight.hole.mm - most, tight.hole.mm - low),
            ),
            (
                fit.named("hole"),
                fit.named("shaft"),
                (tight.shaft.mm + low, loose.shaft.mm + most),
                (tight.shaft.mm + low, tight.shaft.mm + most),
            ),
        ):
            if context.build.features[unmade].metal_side and context.order.open_cuts(unmade):
                # Without a most, and where no size is inside at both ends, cutting can put right the tight end alone.
                impossible = high is not None and by_both[0] > by_both[1] + GRAIN
                working_sizes = by_tight if impossible or high is None else by_both
                # Gauges read two points: the size to turn to is theirs, with the lobes that it has now left in.
                lobes = nominal_value(works_by(context.lobing(unmade), context.build.features[unmade].least_decides))
                between = (working_sizes[0] - lobes, working_sizes[1] - lobes)
                return SizesWanted(unmade, between, not _is_final(context, mate), impossible)
        return None

    def clearance_of(self, fit: Fit, halves: Sequence[list[float]]) -> float:
        holes, shafts = halves
        return min(holes) - max(shafts) if fit.dangerous == "tight" else max(holes) - min(shafts)

    def implied(self, rate: float, cte: float) -> float:
        return implied_difference.on_numbers(rate, cte)


def _is_final(context: MeasuredBuild, ref: str) -> bool:
    feature = context.build.features[ref]
    if context.order.open_cuts(ref) or context.status(ref) != "current":
        return False
    if not feature.allowed:
        return True
    low, high = feature.allowed
    worst = context.worst(ref)
    return reaches(worst.at("least").mm, low) and reaches(high, worst.at("greatest").mm)
