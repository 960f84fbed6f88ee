"""All units, from pint's own list."""

from contextlib import suppress
from typing import Any

import pint

from gudgeon_calc.own_folder import own_folder


def new_registry() -> "pint.UnitRegistry[Any]":
    """All units. What pint reads of its list is kept, because reading it anew takes longer than a line of readings."""
    folder = own_folder("units")
    if folder is not None:
        with suppress(Exception):  # whatever is wrong with what was kept: it is read anew
            return pint.UnitRegistry(cache_folder=folder)
    return pint.UnitRegistry(cache_folder=None)
