"""The end float of a shaft between its faces: from two lengths, or read as one with an indicator or feelers."""

from gudgeon.records.fit_kinds.axes import AXIAL
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.records.fit_kinds.pairings import between_faces, read_gap

END_FLOAT = FitKind(
    id="end_float",
    words="end float",
    called="end float",
    dangerous="tight",
    runs=True,
    axis=AXIAL,
    pairings=(
        between_faces("Lhousing", "Lshaft"),
        read_gap("F", hot=True),
    ),
    rules_count_on="shaft",
    held_half=None,
    shared="both ends share it",
    at_nought="the faces bind",
    fails="it closes up: the faces bind",
    stated=None,
    torqued=False,
)
