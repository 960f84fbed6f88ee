"""One boundary a build and a page: what fails inside becomes something that can be shown, and nothing else falls."""

import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from gudgeon.records.problems import Problem, Where, seen, shown

Result = TypeVar("Result")
CODE = Path(__file__).parent


@dataclass(frozen=True)
class Failure:
    """Something that could not be worked out or shown, through a fault of the tool.

    doing: what was being done, in words. says: the fault. code: where in the tool's code. where: the record, as near as known.
    """

    doing: str
    says: str
    code: str
    where: Where

    def problem(self) -> Problem:
        """The failure as a problem, told with the others."""
        return Problem(
            self.where,
            self.doing,
            f"this could not be done: {self.says} (in {self.code}). Nothing here was worked out or shown. The fault is in "
            "the tool: please report it with the record; until it is mended, look at what was written here last.",
        )


def attempt(doing: str, where: Where, do: Callable[..., Result], *given) -> Result | Failure:
    """What do(*given) gives, or the Failure that it ended in."""
    try:
        return do(*given)
    except Exception as error:  # whatever it is, the other builds and pages stand
        return failure(doing, where, error)


def failure(doing: str, where: Where, error: Exception) -> Failure:
    """An exception as a Failure. A step that names itself on the exception (`step`, `record`) is told too."""
    step = getattr(error, "step", None)
    return Failure(
        doing=f"{doing}, {step}" if step else doing,
        says=seen(shown(f"{type(error).__name__}: {error}", 200)),
        code=_code(error),
        where=getattr(error, "record", None) or where,
    )


def _code(error: Exception) -> str:
    """The innermost line of the tool's own code, or of the formulas, that the exception passed through."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if "gudgeon" in frame.filename]
    if not own:
        return "the tool"
    path = Path(own[-1].filename)
    name = path.relative_to(CODE.parent).as_posix() if path.is_relative_to(CODE.parent) else path.name
    return f"{name}:{own[-1].lineno}"
