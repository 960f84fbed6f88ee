"""What fits of one pairing have in common: which sizes decide, and what heat does to them. One class a pairing."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from gudgeon_calc.uncertainty import standard_from_limits
from gudgeon_calc.units import GRAIN
from uncertainties import ufloat

from gudgeon.assess.findings import Formula, Note
from gudgeon.assess.findings.fits import EndName
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import LocalSize
from gudgeon.records.build_file import Case
from gudgeon.records.fields import SpreadTemperature
from gudgeon.records.fits import Fit

# Two sizes at 20 °C, the outer first, to the clearance hot; mm, numbers with or without uncertainty.
Hot = Callable[[Any, Any], Any]


@dataclass(frozen=True)
class End:
    """One end of a fit: the clearance, a number with uncertainty in mm, where it is least or most, and the two places."""

    clearance: Any
    hole: LocalSize | None
    shaft: LocalSize | None

    @property
    def parts(self) -> tuple:
        """The clearance first, then the sizes behind it, as numbers with uncertainty."""
        return self.clearance, *(place.size for place in (self.hole, self.shaft) if place is not None)


@dataclass(frozen=True)
class Pair:
    """The sizes that decide a fit, at either end, and where they come from."""

    tight: End
    loose: End
    dangerous: EndName = "tight"  # the end that hurts: what the fit is said to have
    readings: tuple[float, float] | None = (
        None  # the tightest and loosest of the single readings; None where those decide
    )
    gap_read: float | None = None
    gap_moved_by: float | None = None
    notes: tuple[Note, ...] = ()  # what it rests on
    causes: tuple[Note, ...] = ()  # what spoils it

    @property
    def _end(self) -> End:
        return self.tight if self.dangerous == "tight" else self.loose

    @property
    def clearance(self) -> Any:
        """At the end that hurts, mm, with uncertainty."""
        return self._end.clearance

    @property
    def hole(self) -> LocalSize | None:
        """The place of the outer half at that end."""
        return self._end.hole

    @property
    def shaft(self) -> LocalSize | None:
        """The place of the inner half at that end."""
        return self._end.shaft


@dataclass(frozen=True)
class SizesWanted:
    """The least and most size of an unmade half, mm, that a fit leaves it."""

    of: str
    between: tuple[float, float]
    provisional: bool  # the mate is not final
    by_one_end: bool  # no size would be inside at both ends: by the tight end alone


class Pairing:
    """How fits of one pairing are worked out. Whatever a pairing does not say, it has not."""

    moving: tuple[str, ...] = ()  # keys of the halves whose readings move the clearance from day to day
    shares_scale = False  # whether one scale read both halves and cancels

    def formulas(self) -> list[Formula]:
        """The sums of this pairing beside those of every fit, with their sources."""
        return []

    def hot_formulas(self) -> list[Formula]:
        """The sums behind its temperature cases."""
        return []

    def missing(self, context: MeasuredBuild, fit: Fit) -> list[Note]:
        """What is lacking, feature by feature."""
        lacks = []
        for ref in (fit.outer, fit.inner):
            if ref and not context.local_sizes(ref):
                lacks.append(_lacks_size(context, ref))
            elif ref == fit.outer and ref and not in_sweep(context, ref, context.local_sizes(ref)):
                lacks.append(Note(code="not-read-in-travel", subject=ref))
        return lacks

    def pair(self, context: MeasuredBuild, fit: Fit) -> Pair:
        """The sizes that decide; asked for only where nothing is missing."""
        raise NotImplementedError

    def hot(self, context: MeasuredBuild, fit: Fit, case: str, ctes: tuple[float, float] | None = None) -> Hot | None:
        """What heat makes of two sizes in a temperature case; None where it cannot be worked out.

        ctes: other coefficients than the two parts' own, the outer first, /K.
        """
        raise NotImplementedError

    def inner_for(self, outer: Any, clearance: float) -> Any:
        """What stands inside an outer size, mm, where the pair has so much clearance cold."""
        return clearance

    def inner_size(self, pair: Pair) -> Any:
        """What of a pair heat is worked out from, beside its outer size: mm, with uncertainty."""
        return pair.clearance

    def by_limits(self, context: MeasuredBuild, fit: Fit) -> tuple[float, float] | None:
        """Least and most clearance that the halves' limits would allow, mm."""
        return None

    def limits_told(self, context: MeasuredBuild, fit: Fit, low: float, high: float | None) -> list[Note]:
        """Advice on what the limits of the halves do to what is wanted, mm."""
        return []

    def sizes_wanted(
        self, context: MeasuredBuild, fit: Fit, pair: Pair, low: float, high: float | None
    ) -> SizesWanted | None:
        """What the unmade half is to come to by this fit alone; None where both are made."""
        return None

    def clearance_of(self, fit: Fit, halves: Sequence[list[float]]) -> float:
        """The clearance at the dangerous end, mm, of sizes of the halves that move."""
        raise NotImplementedError

    def implied(self, rate: float, cte: float) -> float | None:
        """Temperature difference in K that a length per length stands for; None where a rule's length is no growth."""
        return None


def _lacks_size(context: MeasuredBuild, ref: str) -> Note:
    """Why a feature has no size."""
    if context.status(ref) == "stale":
        return Note(code="readings-stale", subject=ref)
    held = tuple(row.id for row in context.rows_of(ref, "held back"))
    if held:
        return Note(code="all-held-back", subject=ref, names={"rows": held}, because=context.held[held[0]])
    return Note(code="not-read", subject=ref)


def metals_of(context: MeasuredBuild, fit: Fit) -> list[str]:
    """The materials of the two parts that grow, the outer first; empty where the fit does not name them both."""
    outer, inner = fit.grows
    return [context.materials.of_part(outer), context.materials.of_part(inner)] if outer and inner else []


def heat(context: MeasuredBuild, fit: Fit, case_name: str, ctes: tuple[float, float] | None) -> list:
    """Both temperatures (°C) and both coefficients (1/K) of a case. How well they are known is in them."""
    case = context.build.sound_head.cases[case_name]
    # Printed coefficients are compared as they stand: how well the temperatures are known has no part in it.
    outer_temp, inner_temp = (float(case.hole), float(case.shaft)) if ctes else case_temperatures(context, case_name)
    outer_cte, inner_cte = ctes or [context.materials.cte(material) for material in metals_of(context, fit)]
    return [outer_temp, inner_temp, outer_cte, inner_cte]


def case_temperatures(context: MeasuredBuild, name: str) -> tuple[Any, Any]:
    """How hot the outer and the inner part are in a case, °C, each with what it may be off by on its own."""
    case, usual = context.build.sound_head.cases[name], float(context.shelf.judgement["case_share"])
    outer, inner = (
        ufloat(float(temp), standard_from_limits(within), tag=f"temperature of the {which} part, {name}")
        if (within := case_spread(case, temp, usual))
        else float(temp)
        for which, temp in (("outer", case.hole), ("inner", case.shaft))
    )
    return outer, inner


def case_spread(case: Case, temp: SpreadTemperature, usual: float) -> float:
    """How well a temperature of a case is known, ± K: as it says, as its case says, else the usual share of its way from 20 °C."""
    stated = case.within if temp.within is None else temp.within
    return usual * abs(float(temp) - 20) if stated is None else float(stated)


def unseen_ovality(context: MeasuredBuild, ref: str) -> Note | None:
    """A note where a half was read at three points alone, which see no ovality: how much of it stands in the uncertainty."""
    if not context.three_points_alone(ref):
        return None
    may_be = context.unseen_ovality(ref, context.local_sizes(ref))
    if may_be:
        return Note(code="ovality-not-seen", subject=ref, lengths={"may_be": may_be})
    return Note(code="ovality-not-known", subject=ref)


def lobing_note(context: MeasuredBuild, ref: str) -> Note | None:
    """A note of lobes that two points do not see: what a vee block shows of them, or that none was used on three-jaw work."""
    lobing = context.lobing(ref)
    if lobing and lobing.unseen:
        return lobing.note(ref, context.build.features[ref].least_decides)
    in_three_jaws = context.jaws_left_lobes(ref)
    return Note(code="lobes-not-known", subject=ref, names={"after": (in_three_jaws,)}) if in_three_jaws else None


def in_sweep(context: MeasuredBuild, ref: str, places: list[LocalSize]) -> list[LocalSize]:
    """The places of a bore that its mate travels; all of them where the spec does not say."""
    swept = context.build.features[ref].swept
    if swept is None:
        return places
    low, high = (float(end) for end in swept)
    return [place for place in places if place.station is None or low - GRAIN <= place.station <= high + GRAIN]
