"""Two tapers over the length that they bear on, both as stated."""

from gudgeon_calc.tapers import mismatch
from gudgeon_calc.units import quantity
from uncertainties.core import AffineScalarFunc, LinearCombination

from gudgeon.assess.findings import Formula, Note
from gudgeon.assess.fitting.pairings import End, Pair, Pairing
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fits import Fit


class TwoTapers(Pairing):
    """The tapers are as stated, cut or filed to a figure: no uncertainty is known, and none is invented."""

    def formulas(self) -> list[Formula]:
        return [Formula(what="mismatch of two tapers over a length", source=mismatch.source)]

    def missing(self, context: MeasuredBuild, fit: Fit) -> list[Note]:
        features = context.build.features
        lacks = [
            Note(code="taper-not-stated", subject=ref)
            for ref in (fit.named("keyway"), fit.named("key"))
            if features[ref].size is None
        ]
        if _length(context, fit) is None:
            lacks.append(Note(code="no-size", subject=fit.named("bears_over")))
        return lacks

    def pair(self, context: MeasuredBuild, fit: Fit) -> Pair:
        keyway, key = context.build.features[fit.named("keyway")], context.build.features[fit.named("key")]
        length = _length(context, fit)
        apart = mismatch(quantity(keyway.size, ""), quantity(key.size, ""), quantity(length, "mm")).m
        assert keyway.nominal and key.nominal, "both tapers are stated where nothing is missing"
        stated = Note(code="tapers-as-stated", words={"keyway": keyway.nominal, "key": key.nominal})
        mismatched = End(AffineScalarFunc(apart, LinearCombination({})), None, None)
        return Pair(mismatched, mismatched, notes=(stated,))


def _length(context: MeasuredBuild, fit: Fit) -> float | None:
    read = context.local_sizes(fit.named("bears_over"))
    return max((place.mm for place in read), default=context.build.features[fit.named("bears_over")].size)
