"""A taper key in its keyway: one taper on both, or it bears at one end."""

from gudgeon.records.fit_kinds.axes import TAPER
from gudgeon.records.fit_kinds.kind import FitKind, Stated
from gudgeon.records.fit_kinds.pairings import KEY_AND_KEYWAY

KEY_TAPER = FitKind(
    id="key_taper",
    words="key taper",
    called="mismatch",
    dangerous="loose",
    runs=False,
    axis=TAPER,
    pairings=(KEY_AND_KEYWAY,),
    rules_count_on=None,
    held_half=None,
    shared=None,
    at_nought="the tapers agree",
    fails="the tapers part",
    stated=Stated(
        agrees="the two tapers agree over the length they bear on",
        parts="the tapers part by {value} over the length they bear on, so the key bears at one end only",
        wants="one taper on both",
    ),
    torqued=False,
)
