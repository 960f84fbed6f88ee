"""Files beside their places: written whole, flushed, and only then renamed into them."""

import os
import secrets
from contextlib import suppress
from pathlib import Path

PART = ".gudgeon-part"  # how the names of files end that are being written


def keep(folder: Path, name: str, content: bytes, durable: bool = False) -> None:
    """Write a file of the tool's own, whole or not at all, for this user alone. Raises OSError."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    part = staged(folder / name, content, 0o600, durable)
    try:
        os.replace(part, folder / name)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def lay_out(path: Path, content: bytes = b"", size: int | None = None) -> None:
    """Write a new file into a folder that was made for the purpose. size: hollow, of this many bytes. Raises OSError."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with os.fdopen(_new(path), "wb") as file:
        file.write(content)
        if size is not None:
            file.truncate(size)


def part_of(path: Path) -> Path:
    return path.with_name(f".{secrets.token_hex(6)}{PART}")


def _new(path: Path) -> int:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0)
    return os.open(path, flags, 0o666)


def staged(path: Path, content: bytes, mode: int | None, durable: bool, part: Path | None = None) -> Path:
    """The content in a file beside its place, ready to be renamed."""
    part = part or part_of(path)
    try:
        with os.fdopen(_new(part), "wb") as file:
            file.write(content)
            file.flush()
            if durable:
                os.fsync(file.fileno())
        if mode is not None:
            os.chmod(part, mode)
    except BaseException:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise
    return part


def flush_folder(folder: Path) -> None:
    """So that a renaming is on the disk too, where a system can do that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
