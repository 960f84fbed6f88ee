"""The skirt of a piston in its bore."""

from gudgeon.records.fit_kinds.axes import DIAMETRAL
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import HOLE_AND_SHAFT

SKIRT = FitKind(
    id="skirt",
    words="skirt in bore",
    called="clearance",
    dangerous="tight",
    runs=True,
    axis=DIAMETRAL,
    pairings=(HOLE_AND_SHAFT,),
    rules_count_on="hole",
    held_half=None,
    shared=None,
    at_nought="it seizes",
    fails="it closes up: metal on metal",
    stated=None,
    torqued=False,
)
