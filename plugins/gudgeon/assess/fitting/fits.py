"""Fits: clearance at the worst place, what is wanted, where it stands, and what it becomes hot."""

import math
from dataclasses import dataclass

from gudgeon_calc.expansion import clearance_at, size_at_reference
from gudgeon_calc.limits_and_fits import clearance_of_limits
from gudgeon_calc.rings import gap_at, gap_at_bore
from gudgeon_calc.tapers import mismatch
from gudgeon_calc.uncertainty import chance_outside, conformity, coverage_factor, effective_degrees
from gudgeon_calc.units import GRAIN, quantity, reaches

from gudgeon.assess.findings import Component, Corrected, FitFinding, FitMove, Formula, Stock
from gudgeon.assess.fitting.hot import hot_cases, hot_of_clearance
from gudgeon.assess.fitting.target_range import OWN_WORDS, copied_otherwise, out_of_range, target_range, wanted_before
from gudgeon.assess.measuring.forms import section_mean, sections
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.measuring.sizes import LocalSize, budget, expanded
from gudgeon.assess.measuring.stock import stock
from gudgeon.records.fits import Fit

LOOK_AT_CHANCE = (
    0.05  # chance of being out on the dangerous side from which somebody should look (common practice, no source)
)
COARSE = 0.25  # U over this share of the band asks for a better instrument (common practice, no source)


@dataclass
class _Pair:
    """The sizes that decide a fit: clearance as a number with uncertainty, and where it comes from."""

    clearance: object
    tightest: float
    loosest: float
    hole: LocalSize
    shaft: LocalSize
    gap_read: float | None = None
    gap_moved_by: float | None = None
    causes: tuple[str, ...] = ()

    @property
    def parts(self) -> tuple:
        """The clearance first, then the sizes behind it, as numbers with uncertainty."""
        return self.clearance, self.hole.size, self.shaft.size


def fit_finding(context: MeasuredBuild, fit_id: str, fit: Fit) -> FitFinding:
    """Assess one fit."""
    if fit.kind == "key_taper":
        return _key_taper(context, fit_id, fit)
    inner = fit.gap or fit.shaft
    want = target_range(context, fit)
    low, high = want.low, want.high
    pair = _pair(context, fit)
    finding = FitFinding(
        id=fit_id,
        name=fit.name,
        kind=fit.kind,
        hole=fit.hole,
        shaft=inner,
        **want.fields(),
        by_limits=_by_limits(context, fit),
        dangerous=fit.dangerous,
        formulas=_formulas(fit),
        moves=_moves(context, fit),
        wanted_before=wanted_before(context, fit),
        source=source(fit.where()),
    )
    _note_borrowed(context, fit, finding)
    if pair is None:
        missing = [ref for ref in (fit.hole, inner) if not context.local_sizes(ref)]
        stale = [ref for ref in missing if context.status(ref) == "stale"]
        finding.state = "stale" if stale else "no reading"
        finding.causes += [f"{ref}: {'its readings are stale' if ref in stale else 'no reading'}" for ref in missing]
        finding.look = bool(stale)
        return finding
    clearance = pair.clearance
    finding.clearance, finding.expanded = clearance.nominal_value, expanded(clearance)
    finding.tightest, finding.loosest = pair.tightest, pair.loosest
    finding.hole_at, finding.shaft_at = pair.hole.finding(), pair.shaft.finding()
    finding.gap_read, finding.gap_moved_by = pair.gap_read, pair.gap_moved_by
    finding.budget = budget(clearance)
    finding.degrees, finding.coverage = _degrees(context, finding.budget)
    finding.causes += pair.causes
    shared = None if fit.gap else context.scales.shared_error(pair.hole.size, pair.shaft.size)
    finding.shared_scale, scale_error = shared or (None, None)
    # Had they shared none, the scale error of one half would have stayed in.
    finding.expanded_unshared = math.hypot(finding.expanded, expanded(scale_error) if scale_error is not None else 0.0)
    finding.corrected = corrected(context, pair.parts, finding.clearance, finding.expanded, low, high)
    if low is None:
        finding.state = "no limit"
        finding.causes.append(f"rule {fit.rule} cannot be read: nothing says what is wanted")
        return finding
    finding.conformity = conformity(finding.clearance, finding.expanded, low, high)
    _set_chances(finding)
    if fit.shaft:
        _set_target(context, fit, finding, pair)
    finding.hot = hot_cases(context, fit, finding, pair.hole.size, pair.clearance if fit.gap else pair.shaft.size)
    finding.state = _state(context, fit_id, fit, finding)
    if high is not None and finding.expanded > COARSE * (high - low) + GRAIN:
        finding.advice.append(
            "the uncertainty is over a quarter of the wanted range: a better instrument, or both halves with one instrument, would tell more"
        )
    finding.advice += [each for each in (copied_otherwise(fit, want), _opens(finding)) if each]
    outside = out_of_range(context, fit)
    finding.causes += [outside] if outside else []
    danger = finding.chance_tight if fit.dangerous == "tight" else finding.chance_loose
    finding.look = (
        finding.state in ("out", "reads out")
        or (finding.state == "reads in" and danger > LOOK_AT_CHANCE)
        or bool(pair.causes)
        or any(case.fails for case in finding.hot)
        or outside is not None
        or moved(finding.corrected)
    )
    finding.causes += [f"{case.case.replace('_', ' ')}: {case.fails}" for case in finding.hot if case.fails]
    if moved(finding.corrected):
        finding.causes.append(_recall_words(context, finding))
    return finding


def _opens(finding: FitFinding) -> str | None:
    """A sentence where a pair opens hot beyond what is wanted of it cold."""
    if finding.want_high is None or finding.clearance is None:
        return None
    wide = [case for case in finding.hot if case.now > finding.want_high + case.expanded and case.change > 0]
    names = " and ".join(case.case.replace("_", " ") for case in wide)
    return f"{names}: it opens beyond the most that is wanted cold" if wide else None


def moved(found: Corrected | None) -> bool:
    """Whether an instrument found off moves a result; where its error cancels it does not."""
    return found is not None and abs(found.by) > GRAIN


def corrected(context: MeasuredBuild, parts, value: float, expanded: float, low, high) -> Corrected | None:
    """A result with the known errors of instruments found off taken out, or None where none of them was used.

    parts: the sizes that it was made from, of which the first is the result itself.
    """
    used = {root for size in parts for root in context.scales.known_error(size)}
    if not used:
        return None
    by = -sum(context.scales.known_error(parts[0]).values())
    if abs(by) <= GRAIN:
        by = 0.0
    return Corrected(
        instruments=sorted(used),
        by=by,
        value=value + by,
        conformity=conformity(value + by, expanded, low, high) if low is not None or high is not None else None,
    )


def _degrees(context: MeasuredBuild, lines: list[Component]) -> tuple[float | None, float | None]:
    """Effective degrees of freedom and the coverage factor that goes with them; None where no instrument says."""
    names = [line.name.removeprefix("use of ") for line in lines if line.name.startswith("use of ")]
    known = {f"use of {name}": context.build.instruments[name].use_readings for name in names}
    if not any(known.get(line.name) for line in lines):
        return None, None
    degrees = effective_degrees(
        [(line.standard, known[line.name] - 1 if known.get(line.name) else math.inf) for line in lines]
    )
    return degrees, coverage_factor(degrees, 0.9545)


def _recall_words(context: MeasuredBuild, finding: FitFinding) -> str:
    names = " and ".join(finding.corrected.instruments)
    return f"one half was read with {names}, found off afterwards, and the other was not: the error does not cancel"


def _set_chances(finding: FitFinding) -> None:
    low, high = finding.want_low, finding.want_high
    finding.chance_tight, finding.chance_loose = chance_outside(finding.clearance, finding.expanded, low, high)
    finding.chance_inside = max(0.0, 1 - finding.chance_tight - finding.chance_loose)
    over = [low - finding.clearance] + ([finding.clearance - high] if high is not None else [])
    finding.short_by = max(0.0, *over) if not reaches(0.0, max(over)) else 0.0


def _formulas(fit: Fit) -> list[Formula]:
    """The sums behind a fit, with their sources."""
    if fit.kind == "key_taper":
        return [Formula(what="mismatch of two tapers over a length", source=mismatch.source)]
    found = [Formula(what="sizes at 20 °C", source=size_at_reference.source)]
    if fit.gap:
        found.append(Formula(what="gap carried to another bore", source=gap_at_bore.source))
    found += [
        Formula(what="in, reads in, reads out, out", source="iso-14253-1"),
        Formula(what="standard uncertainties and coverage k = 2", source="nist-tn-1297"),
        Formula(what="combining them, effective degrees of freedom", source="jcgm-100"),
        Formula(what="use or resolution, the larger of the two", source="iso-14253-2"),
        Formula(what="chance of being out", source="jcgm-106"),
    ]
    if fit.hot:
        found.append(Formula(what="clearance hot", source=(gap_at if fit.gap else clearance_at).source))
    return found


def _pair(context: MeasuredBuild, fit: Fit) -> _Pair | None:
    holes, inner = (
        _in_sweep(context, fit.hole, context.local_sizes(fit.hole)),
        context.local_sizes(fit.gap or fit.shaft),
    )
    if not holes or not inner:
        return None
    if fit.gap:
        return _ring_gap(context.local_sizes(fit.hole), holes, inner)
    least, most = min(holes, key=lambda each: each.mm), max(holes, key=lambda each: each.mm)
    small, large = min(inner, key=lambda each: each.mm), max(inner, key=lambda each: each.mm)
    hole, shaft = (least, large) if fit.dangerous == "tight" else (most, small)
    return _Pair(hole.size - shaft.size, least.mm - large.mm, most.mm - small.mm, hole, shaft)


def _in_sweep(context: MeasuredBuild, ref: str, found: list[LocalSize]) -> list[LocalSize]:
    """The places of a bore that its mate travels; all of them where the spec does not say."""
    swept = context.build.features[ref].swept
    if swept is None:
        return found
    low, high = (float(each) for each in swept)
    return [each for each in found if each.station is None or low - GRAIN <= each.station <= high + GRAIN]


def _ring_gap(bore: list[LocalSize], travel: list[LocalSize], gaps: list[LocalSize]) -> _Pair:
    """The gap carried from where it was read, anywhere in the bore, to the smallest section that the ring travels."""
    means = {station: section_mean(each) for station, each in sections(bore).items()}
    smallest = min(sections(travel), key=lambda station: means[station].nominal_value)
    hole = sections(travel)[smallest][0]
    carried = []
    for gap in gaps:
        read_in = _mean_at(means, gap.station)
        causes = []
        if read_in is None:
            moved, size = 0.0, gap.size
            causes.append("the gap was read at no known station of the bore and cannot be carried to the smallest bore")
        else:
            moved = (means[smallest] - read_in).nominal_value
            size = gap_at_bore(quantity(gap.size, "mm"), quantity(read_in, "mm"), quantity(means[smallest], "mm")).m
        carried.append(_Pair(size, 0.0, 0.0, hole, gap, gap.mm, moved, tuple(causes)))
    tight = min(carried, key=lambda each: each.clearance.nominal_value)
    tight.tightest, tight.loosest = tight.clearance.nominal_value, max(each.clearance.nominal_value for each in carried)
    return tight


def _mean_at(means: dict, station: float | None):
    """The section mean at a station, between two sections by straight line; None outside them."""
    if station is None:
        return None
    along = sorted(each for each in means if each is not None)
    for each in along:
        if abs(each - station) <= GRAIN:
            return means[each]
    for before, after in zip(along, along[1:], strict=False):
        if before < station < after:
            share = (station - before) / (after - before)
            return means[before] * (1 - share) + means[after] * share
    return None


def _by_limits(context: MeasuredBuild, fit: Fit) -> tuple[float, float] | None:
    halves = [context.build.features[ref].allowed for ref in (fit.hole, fit.shaft) if ref]
    if len(halves) < 2 or None in halves:
        return None
    least, most = clearance_of_limits(*(quantity(each, "mm") for limits in halves for each in limits))
    return least.m, most.m


def _is_final(context: MeasuredBuild, ref: str) -> bool:
    feature, found = context.build.features[ref], context.local_sizes(ref)
    if context.order.open_cuts(ref) or context.status(ref) != "current":
        return False
    if not feature.allowed:
        return True
    low, high = feature.allowed
    return all(reaches(each.mm, low) and reaches(high, each.mm) for each in found)


def _set_target(context: MeasuredBuild, fit: Fit, finding: FitFinding, pair: _Pair) -> None:
    """The size that the unmade half is to have, from its mate."""
    for unmade, mate, at in ((fit.shaft, fit.hole, pair.shaft), (fit.hole, fit.shaft, pair.hole)):
        side = context.build.features[unmade].metal_side
        if side and context.order.open_cuts(unmade) and finding.want_low is not None:
            low, high = finding.want_low, finding.want_high if finding.want_high is not None else finding.want_low
            hole, shaft = pair.hole.mm, pair.shaft.mm
            limits = (hole - high, hole - low) if unmade == fit.shaft else (shaft + low, shaft + high)
            finding.target = stock(side, at.mm, finding.expanded, *limits, finding.id, not _is_final(context, mate))
            finding.target_of = unmade
            return


def _state(context: MeasuredBuild, fit_id: str, fit: Fit, finding: FitFinding) -> str:
    if finding.conformity in ("out", "reads out") and conceded(context, fit_id, finding.clearance):
        return "conceded"
    target: Stock | None = finding.target
    # A pair that cannot go together as wanted is unfinished, not wrong: nothing has been decided by cutting yet.
    cannot_go_together = finding.clearance < 0 or finding.want_low is not None and finding.want_low < 0
    if target and finding.conformity == "out" and target.to_first_limit > 0 and cannot_go_together:
        return "metal on"
    return finding.conformity


def conceded(context: MeasuredBuild, name: str, value: float) -> bool:
    """Whether a person has let a value in mm stand for a fit or feature, up to the build's newest day."""
    today = context.build.newest_date
    for review in context.reviews_of(name):
        # How long an engine has run is not in the records: a concession by hours stands until somebody writes the next review.
        open_still = review.verdict == "concession" and (
            today is None or review.recheck is None or today <= review.recheck
        )
        if open_still:
            low, high = (float(each) for each in review.allow)
            if reaches(value, low) and reaches(high, value):
                return True
    return False


def _moves(context: MeasuredBuild, fit: Fit) -> list[FitMove]:
    """The clearance after each operation that gave one half a new size."""
    if not fit.shaft:
        return []
    events = []
    for ref in (fit.hole, fit.shaft):
        for after, found in context.history(ref).items():
            found = _in_sweep(context, ref, found)
            if not found:
                continue
            rows = [row for each in found for row in each.rows]
            events.append((max(context.rows[row].date for row in rows), after, ref, found, rows))
    events.sort(key=lambda each: (each[0], each[1] or ""))
    latest, moves = {}, []
    for date, after, ref, found, rows in events:
        latest[ref] = found
        if len(latest) == 2:
            holes, shafts = ([each.mm for each in latest[half]] for half in (fit.hole, fit.shaft))
            clearance = min(holes) - max(shafts) if fit.dangerous == "tight" else max(holes) - min(shafts)
            hot = hot_of_clearance(context, fit, clearance)
            worst = min(hot, key=hot.get) if hot else None
            moves.append(
                FitMove(
                    date=date.isoformat(),
                    after=after,
                    rows=rows,
                    clearance=clearance,
                    hot_least=hot[worst] if worst else None,
                    hot_case=worst,
                )
            )
    return moves


def borrowed(context: MeasuredBuild, fit: Fit) -> str | None:
    """The feature whose size this fit takes although it mates with another; None where it takes its own."""
    if not fit.hole or not fit.shaft:
        return None
    mates = context.build.features[fit.hole].mates
    part = fit.shaft.partition(".")[0]
    return None if not mates or fit.shaft in mates or part in mates else fit.shaft


def _note_borrowed(context: MeasuredBuild, fit: Fit, finding: FitFinding) -> None:
    if borrowed(context, fit):
        own = ", ".join(context.build.features[fit.hole].mates)
        finding.causes.append(f"{fit.hole} mates with {own}, but this fit borrows the size of {fit.shaft}")


def _key_taper(context: MeasuredBuild, fit_id: str, fit: Fit) -> FitFinding:
    keyway, key, over = (context.build.features[ref] for ref in (fit.keyway, fit.key, fit.bears_over))
    finding = FitFinding(
        id=fit_id,
        name=fit.name,
        kind=fit.kind,
        hole=fit.keyway,
        shaft=fit.key,
        want_low=0.0,
        want_high=float(fit.want[1]) if fit.want else 0.0,
        want_from=fit.because or "one taper on both",
        want_basis=OWN_WORDS if fit.because else "derived",
        dangerous=fit.dangerous,
        formulas=_formulas(fit),
        moves=[],
        source=source(fit.where()),
    )
    read = context.local_sizes(fit.bears_over)
    length = max((each.mm for each in read), default=over.size)
    if keyway.size is None or key.size is None or length is None:
        return finding
    finding.clearance = mismatch(quantity(keyway.size, ""), quantity(key.size, ""), quantity(length, "mm")).m
    finding.tightest = finding.loosest = finding.clearance
    # The tapers are as stated, cut or filed to a figure: no uncertainty is known, and none is invented.
    finding.expanded = finding.expanded_unshared = 0.0
    finding.state = finding.conformity = conformity(finding.clearance, 0.0, 0.0, finding.want_high)
    _set_chances(finding)
    finding.look = finding.state == "out"
    finding.causes.append(f"keyway {keyway.nominal} and key {key.nominal}, as stated; neither taper was measured")
    return finding
