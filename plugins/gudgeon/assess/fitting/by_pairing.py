"""Which arithmetic a fit is worked out with."""

from gudgeon.assess.fitting.pairings import Pairing
from gudgeon.assess.fitting.read_gap import ReadGap
from gudgeon.assess.fitting.ring_gap import RingGap
from gudgeon.assess.fitting.two_sizes import TwoSizes
from gudgeon.assess.fitting.two_tapers import TwoTapers
from gudgeon.records.fits import Fit

# By the id of the record's pairing.
PAIRINGS: dict[str, Pairing] = {
    "two sizes": TwoSizes(),
    "ring gap": RingGap(),
    "read gap": ReadGap(),
    "two tapers": TwoTapers(),
}


def pairing_of(fit: Fit) -> Pairing:
    """The arithmetic of a fit."""
    return PAIRINGS[fit.pairing.id]
