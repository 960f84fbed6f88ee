"""The closed gap of a ring, carried to the smallest bore that it travels."""

from gudgeon.records.fit_kinds.axes import RING_GAP as RING_GAP_AXIS
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import RING_IN_BORE

RING_GAP = FitKind(
    id="ring_gap",
    words="ring gap",
    called="gap",
    dangerous="tight",
    runs=True,
    axis=RING_GAP_AXIS,
    pairings=(RING_IN_BORE,),
    rules_count_on="hole",
    held_half=None,
    shared=None,
    at_nought="the ends butt",
    fails="it closes up: metal on metal",
    stated=None,
    torqued=False,
)
