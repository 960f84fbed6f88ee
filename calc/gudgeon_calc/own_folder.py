"""A folder in which nobody but this user can have put anything: what lies there may be code."""

import os
import stat
import sys
from pathlib import Path

PLACE = "GUDGEON_CACHE"  # environment variable: another folder for what is kept, or empty for none


def platform_cache() -> Path | None:
    """Where programs keep on this platform what can be made again; None where there is no such place."""
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


def own_folder(name: str) -> Path | None:
    """A folder of this name in the platform's own place, made where it is missing.

    None where another place was said (a project's settings may say one), below the folder that one stands in, through a link,
    or where another user or a group owns it or could write there.
    """
    base = platform_cache()
    if base is None or PLACE in os.environ or not hasattr(os, "geteuid"):
        return None
    folder = base / name
    try:
        if folder.is_relative_to(Path.cwd()):
            return None
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for place in (folder, base):
            state = place.lstat()
            own = stat.S_ISDIR(state.st_mode) and state.st_uid == os.geteuid()
            if not own or state.st_mode & (stat.S_IWGRP | stat.S_IWOTH):
                return None
        inside = list(folder.iterdir())
        if any(path.is_symlink() or path.lstat().st_uid != os.geteuid() for path in inside):
            return None
    except OSError:
        return None
    return folder
