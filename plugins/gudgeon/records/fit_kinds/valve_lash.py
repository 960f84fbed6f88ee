"""The lash between a valve and what lifts it, read with feelers."""

from gudgeon.records.fit_kinds.axes import AXIAL
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import read_gap

VALVE_LASH = FitKind(
    id="valve_lash",
    words="valve lash",
    called="lash",
    dangerous="tight",
    runs=True,
    axis=AXIAL,
    pairings=(read_gap("s", hot=True),),
    rules_count_on=None,
    held_half=None,
    shared=None,
    at_nought="the valve is held open",
    fails="it closes up: the valve is held off its seat",
    stated=None,
    torqued=False,
)
