"""Where programs keep what is this user's own, outside every project."""

import os
from pathlib import Path

from gudgeon_calc.own_folder import PLACE, platform_cache


def folder_of_user() -> Path | None:
    """The folder that was said, or the one of this platform; None where nothing is to be kept, or nowhere."""
    said = os.environ.get(PLACE)
    if said is not None:
        return Path(said) if said else None
    return platform_cache()
