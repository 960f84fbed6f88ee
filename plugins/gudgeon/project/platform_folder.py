"""Where programs keep what is this user's own, outside every project."""

import os
import sys
from pathlib import Path

PLACE = "GUDGEON_CACHE"  # environment variable: the folder to use instead; empty for none


def folder_of_user() -> Path | None:
    """The folder that was said, or the one of this platform; None where nothing is to be kept, or nowhere."""
    said = os.environ.get(PLACE)
    if said is not None:
        return Path(said) if said else None
    try:
        if sys.platform == "win32":
            base = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
        elif sys.platform == "darwin":
            base = Path.home() / "Library" / "Caches"
        else:
            base = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    except RuntimeError:  # nobody's home
        return None
    return base / "gudgeon" if base.is_absolute() else None
