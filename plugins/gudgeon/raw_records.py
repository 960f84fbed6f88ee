"""What lies in the folder of pages and is no page: the files that the records are read from."""

from collections.abc import Iterable
from pathlib import Path


def leave_out(files, folders: Iterable[Path]) -> None:
    """Take the files below some folders out of a generator's list, so that none is published as it stands."""
    within = [folder.resolve() for folder in folders]
    for file in list(files):
        path = Path(file.abs_src_path).resolve() if file.abs_src_path else None
        if path and any(path.is_relative_to(folder) for folder in within):
            files.remove(file)
