"""The version that a club's repository pins, changed to another: its requirements.txt, and the wheel in tool/."""

from dataclasses import dataclass
from pathlib import Path

from gudgeon.club.tool import FOLDER, NoWheel, Tool, of_wheel, pinned
from gudgeon.project.writing import Desk
from gudgeon.records.problems import seen, shown

REQUIREMENTS = "requirements.txt"


class CannotPin(Exception):
    """The pin cannot be changed; the message says why, and what to do. Nothing was written."""


@dataclass(frozen=True)
class Pin:
    """A change of the pin. old: the wheel in the repository that it takes the place of, from the root; None where there is none."""

    new: Tool
    old: str | None

    def write(self, desk: Desk) -> None:
        """Write all of it, or nothing. Raises NotWritten."""
        path, wheel = self.new.path, self.new.wheel
        assert path is not None and wheel is not None, "a tool that was read from a wheel has its content"
        gone = [self.old] if self.old and self.old != path else []
        desk.write({REQUIREMENTS: self.new.requirements()}, gone=gone, pictures={path: wheel})


def new_pin(root: Path, wheel: Path) -> Pin:
    """What pins a wheel in a club's repository. Raises CannotPin: also where the requirements were edited by hand, so that an edit is not lost."""
    try:
        new = of_wheel(wheel)
    except NoWheel as lack:
        raise CannotPin(str(lack)) from None
    try:
        text = (root / REQUIREMENTS).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        raise CannotPin(
            f"there is no {REQUIREMENTS} in {seen(str(root))} that could be read: this is no club's repository as gudgeon new club "
            "writes one. Say --show to see what moves."
        ) from None
    place = pinned(text)
    if place is None:
        raise CannotPin(f"{REQUIREMENTS} pins no wheel of the tool. Say --show to see what moves.")
    in_repository = "://" not in place
    if in_repository and (root / place).is_file():
        edit = _edited(text, root / place)
        if edit is not None:
            raise CannotPin(
                f'{REQUIREMENTS} was edited by hand: "{shown(edit)}" would be lost. Take the line out, run this, and add it again.'
            )
    return Pin(new, place if in_repository and (root / place).is_file() else None)


def unpinned_wheel(root: Path) -> Path | None:
    """The one wheel in tool/ that requirements.txt does not name; None where there is none, or several."""
    try:
        place = pinned((root / REQUIREMENTS).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError):
        return None
    wheels = [path for path in sorted((root / FOLDER).glob("*.whl")) if path.relative_to(root).as_posix() != place]
    return wheels[0] if len(wheels) == 1 else None


def _edited(text: str, wheel: Path) -> str | None:
    """The first line of a requirements.txt that the pinned wheel does not give."""
    try:
        given = set(of_wheel(wheel).requirements().splitlines())
    except NoWheel:
        return None
    return next(
        (line for line in text.splitlines() if line.strip() and line not in given and not line.startswith("#")), None
    )
