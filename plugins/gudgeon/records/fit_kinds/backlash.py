"""The backlash of a pair of gears, read on a tooth."""

from gudgeon.records.fit_kinds.axes import PITCH_CIRCLE
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import read_gap

BACKLASH = FitKind(
    id="backlash",
    words="backlash of gears",
    called="backlash",
    dangerous="tight",
    runs=True,
    axis=PITCH_CIRCLE,
    pairings=(read_gap("j", hot=False),),
    rules_count_on=None,
    held_half=None,
    shared=None,
    at_nought="the teeth bind",
    fails="it closes up: the teeth bind",
    stated=None,
    torqued=False,
)
