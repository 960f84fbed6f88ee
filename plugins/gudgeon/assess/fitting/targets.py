"""What an unmade half is to come to: one answer, within all fits that it is to go into and its own limits."""

from dataclasses import dataclass

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import Note, Stock
from gudgeon.assess.fitting.by_pairing import pairing_of
from gudgeon.assess.fitting.pairings import Pair, SizesWanted
from gudgeon.assess.fitting.target_range import target_range
from gudgeon.assess.measuring.coverage import doubt_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.stock import stock, thinnest
from gudgeon.records.fits import Fit

LIMITS = "limits"


@dataclass(frozen=True)
class Target:
    """The metal on an unmade half, which half that is, and what is to be told of it."""

    stock: Stock | None = None
    of: str | None = None
    advice: tuple[Note, ...] = ()


def target_for(context: MeasuredBuild, fit: Fit, pair: Pair) -> Target:
    """The target of the half of a fit that is still to be cut; none where both are made."""
    own = _wanted_by(context, fit, pair)
    if own is None:
        return Target()
    by_fits = {fit_id: _wanted_by(context, context.build.fits[fit_id]) for fit_id in context.fits_of(own.of)}
    wanted = {fit_id: sizes for fit_id, sizes in by_fits.items() if sizes is not None and sizes.of == own.of}
    ranges = {fit_id: sizes.between for fit_id, sizes in wanted.items()}
    feature, worst = context.build.features[own.of], context.worst(own.of)
    if feature.allowed:
        ranges = {LIMITS: feature.allowed} | ranges
    low, high = max(least for least, _ in ranges.values()), min(most for _, most in ranges.values())
    advice = [Note(code="one-end-only", subject=own.of)] if own.by_one_end else []
    if low > high + GRAIN:
        advice.append(Note(code="no-size-for-all", subject=own.of, names={"by": tuple(ranges)}))
        low, high = next(iter(ranges.values()))
    elif len(ranges) > 1:
        advice.append(Note(code="size-for-all", subject=own.of, names={"by": tuple(ranges)}))
    side = feature.metal_side
    assert side, "a half that is still to be cut has a metal side"
    metal = stock(
        side,
        worst.at("greatest" if side == "external" else "least").mm,
        thinnest(side, worst),
        doubt_of(context, pair.tight.clearance).expanded,
        low,
        high,
        next(iter(wanted)),
        any(sizes.provisional for sizes in wanted.values()),
    )
    return Target(metal, own.of, tuple(advice))


def _wanted_by(context: MeasuredBuild, fit: Fit, pair: Pair | None = None) -> SizesWanted | None:
    """What one fit wants of its unmade half; None where a size or the range is missing."""
    want, pairing = target_range(context, fit), pairing_of(fit)
    if want.low is None or (pair is None and pairing.missing(context, fit)):
        return None
    return pairing.sizes_wanted(context, fit, pair or pairing.pair(context, fit), want.low, want.high)
