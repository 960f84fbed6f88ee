"""The stem of a valve in its guide."""

from gudgeon.records.fit_kinds.axes import DIAMETRAL
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import HOLE_AND_SHAFT

STEM = FitKind(
    id="stem",
    words="valve stem in guide",
    called="clearance",
    dangerous="tight",
    runs=True,
    axis=DIAMETRAL,
    pairings=(HOLE_AND_SHAFT,),
    rules_count_on="shaft",
    held_half=None,
    shared=None,
    at_nought="it sticks",
    fails="it closes up: metal on metal",
    stated=None,
    torqued=False,
)
