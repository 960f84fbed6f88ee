"""The side play of a ring in its groove."""

from gudgeon.records.fit_kinds.axes import AXIAL
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import between_faces

RING_SIDE = FitKind(
    id="ring_side",
    words="ring in groove",
    called="side clearance",
    dangerous="tight",
    runs=True,
    axis=AXIAL,
    pairings=(between_faces("wgroove", "wring"),),
    rules_count_on="shaft",
    held_half=None,
    shared="the two sides of the ring share it",
    at_nought="it sticks",
    fails="it closes up: metal on metal",
    stated=None,
    torqued=False,
)
