"""A gap that is read as one, with feelers or an indicator: nothing is subtracted."""

from collections.abc import Sequence

from gudgeon_calc.expansion import growth

from gudgeon.assess.findings import Formula
from gudgeon.assess.fitting.pairings import End, Hot, Pair, Pairing, heat
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import LocalSize
from gudgeon.records.fits import Fit

REFERENCE = 20.0  # °C


def _mm(place: LocalSize) -> float:
    return place.mm


class ReadGap(Pairing):
    """Heat opens it by what the outer length grows and closes it by what the inner length grows."""

    moving = ("gap",)

    def hot_formulas(self) -> list[Formula]:
        return [Formula(what="gap hot, from the growth of two lengths", source=growth.source)]

    def pair(self, context: MeasuredBuild, fit: Fit) -> Pair:
        places = context.local_sizes(fit.named("gap"))
        least, most = min(places, key=_mm), max(places, key=_mm)
        return Pair(End(least.size, None, least), End(most.size, None, most), fit.dangerous)

    def hot(self, context: MeasuredBuild, fit: Fit, case: str, ctes: tuple[float, float] | None = None) -> Hot | None:
        outer, inner = (_length(context, ref) for ref in fit.grows)
        if outer is None or inner is None:
            return None
        outer_temp, inner_temp, outer_cte, inner_cte = heat(context, fit, case, ctes)
        opens = growth.on_numbers(outer, outer_cte, outer_temp - REFERENCE)
        closes = growth.on_numbers(inner, inner_cte, inner_temp - REFERENCE)
        return lambda _, gap: gap + opens - closes

    def clearance_of(self, fit: Fit, halves: Sequence[list[float]]) -> float:
        return min(halves[0]) if fit.dangerous == "tight" else max(halves[0])


def _length(context: MeasuredBuild, ref: str | None) -> float | None:
    """A length in mm as read, else as intended: its growth hardly feels the difference."""
    if ref is None:
        return None
    places = context.local_sizes(ref)
    return places[0].mm if places else context.build.features[ref].size
