"""Works a club out with the version that runs and with another, and gives the review slip of what moves."""

import tempfile
from collections.abc import Callable
from pathlib import Path

from gudgeon.project.project import Project
from gudgeon.records.problems import seen
from gudgeon.review.slip import ReviewSlip
from gudgeon.upgrade.causes import Causes, Moved
from gudgeon.upgrade.compare import add_build, empty_slip, moved_addresses
from gudgeon.upgrade.other_tool import CannotCompare, OtherTool
from gudgeon.upgrade.shelves import newer
from gudgeon.upgrade.values import Head, NoValues, read_values, values_of

Tell = Callable[[int, int], None]


def slip_between(project: Project, other: OtherTool, tell: Tell = lambda done, of: None) -> ReviewSlip:
    """What moves in a club with another version of the tool. tell(done, of): told of the trials. Raises CannotCompare."""
    with tempfile.TemporaryDirectory(prefix="gudgeon-") as folder:
        place = Path(folder)
        was_file, now_file = place / "was.jsonl", place / "now.jsonl"
        with was_file.open("w", encoding="utf-8") as file:
            file.writelines(f"{line}\n" for line in values_of(project))
        other.values(project.root, now_file)
        try:
            return _slip(project, other, was_file, now_file, place, tell)
        except NoValues as fault:
            raise CannotCompare(f"{other.said} cannot be compared: {fault}") from None


def _slip(project: Project, other: OtherTool, was_file: Path, now_file: Path, place: Path, tell: Tell) -> ReviewSlip:
    was, now = _head(was_file), _head(now_file)
    if was.builds != now.builds:
        raise NoValues("it reads other builds than this version: " + seen(", ".join({*was.builds} ^ {*now.builds})))
    causes = Causes(was, now)
    if causes.files and any(moved for moved in _moved(was_file, now_file).values()):

        def trial(version: OtherTool) -> tuple[Moved, Moved]:
            tried = place / "tried.jsonl"
            version.values(project.root, tried)
            return _moved(was_file, tried), _moved(tried, now_file)

        causes.try_each(other, trial, place / "trials", tell)
    slip = empty_slip(was, now, other.said)
    slip.newer += newer(was, now, project.root / project.settings.knowledge)
    for before, after in _pairs(was_file, now_file):
        add_build(slip, before, after, project.path_of(after.build), causes.of)
    if causes.untried:
        slip.notes.append(
            f"too many records of the tool's shelf differ to try each: {', '.join(causes.untried)} were not tried"
        )
    if now.records_format > was.records_format and project.build_names():
        slip.notes.append(
            f"the later version writes records of format {now.records_format}, this one {was.records_format}: "
            "after the upgrade run gudgeon migrate --show"
        )
    slip.blockers.sort(key=lambda blocker: (blocker.file, blocker.line, blocker.column, blocker.says))
    return slip


def _head(file: Path) -> Head:
    with file.open(encoding="utf-8") as lines:
        return read_values(lines)[0]


def _pairs(one: Path, other: Path):
    """Each build as both files have it. Raises NoValues."""
    with one.open(encoding="utf-8") as before, other.open(encoding="utf-8") as after:
        yield from zip(read_values(before)[1], read_values(after)[1], strict=False)


def _moved(one: Path, other: Path) -> Moved:
    return {after.build: moved_addresses(before, after) for before, after in _pairs(one, other)}
