"""Kinds of fit: one file a kind, and its name in KINDS."""

import importlib
from typing import TYPE_CHECKING, Literal

from gudgeon.records.fit_kinds.kind import FitKind

# In the order in which pages show them. A kind's file has its name, and holds it under that name in capitals.
KINDS = (
    "skirt",
    "top_land",
    "ring_gap",
    "ring_side",
    "pin",
    "bearing",
    "stem",
    "press",
    "wheel_seat",
    "key_taper",
    "end_float",
    "valve_lash",
    "backlash",
)
FIT_KINDS: dict[str, FitKind] = {
    name: getattr(importlib.import_module(f"gudgeon.records.fit_kinds.{name}"), name.upper()) for name in KINDS
}
# A type checker reads a plain word here; which words there are stands above, once.
if TYPE_CHECKING:
    FitKindName = str
else:
    FitKindName = Literal[KINDS]
