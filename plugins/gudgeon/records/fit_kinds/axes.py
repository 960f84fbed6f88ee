"""The axes along which the number of a fit is measured."""

from gudgeon.records.fit_kinds.kind import Axis

DIAMETRAL = Axis(id="diametral", measured="on diameter", per_side=True)
AXIAL = Axis(id="axial", measured="in all", per_side=False)
RING_GAP = Axis(id="ring gap", measured="between the ends", per_side=False)
TAPER = Axis(id="taper", measured="over the length", per_side=False)
PITCH_CIRCLE = Axis(id="pitch circle", measured="along the pitch circle", per_side=False)
