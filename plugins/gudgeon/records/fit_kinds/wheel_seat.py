"""A flywheel on its seat."""

from gudgeon.records.fit_kinds.axes import DIAMETRAL
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import HOLE_AND_SHAFT

WHEEL_SEAT = FitKind(
    id="wheel_seat",
    words="flywheel seat",
    called="clearance",
    dangerous="loose",
    runs=False,
    axis=DIAMETRAL,
    pairings=(HOLE_AND_SHAFT,),
    rules_count_on="shaft",
    held_half="hole",
    shared=None,
    at_nought="it lets go",
    fails="it lets go: no interference is left",
    stated=None,
    torqued=False,
)
