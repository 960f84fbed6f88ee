"""Why values differ between two versions: the tool itself, or records of its shelf, each put back over the later one and tried."""

import shutil
from collections.abc import Callable, Iterable
from pathlib import Path

from gudgeon.ledger.difference import Move
from gudgeon.project.project import Project
from gudgeon.review.slip import Cause
from gudgeon.upgrade.shelves import differing_files, record_of
from gudgeon.upgrade.values import SHELF, Head

MOST_TRIALS = 12  # each works all builds out in a process: some seconds
Address = tuple[str, ...]
Moved = dict[str, set[Address] | None]  # build -> what differs; None where a side was not worked out
# Has the later version work the club out with some files of the earlier shelf over its own: what differs then from what was, and from what is now.
Trial = Callable[[Path], tuple[Moved, Moved]]


class Causes:
    """What is known to have moved each value, as far as trials went."""

    def __init__(self, was: Head, now: Head):
        self.tool = Cause(
            record="tool",
            says=f"the tool, {was.name} → {now.name}",
            together_with=[],
            by=None,
            expanded_by=None,
            source=None,
        )
        self.shelf_differs = bool(differing_files(was, now))
        self.by_record: dict[str, Moved] = {}
        self.by_tool: Moved | None = None  # None: nothing was tried
        self.untried: list[str] = []

    def of(self, build: str, moves: list[Move]) -> tuple[list[Cause], bool]:
        """The causes of some moved values, and whether some could not be told."""
        if not self.shelf_differs:
            return [self.tool], False
        addresses = {move.address for move in moves}
        causes: list[Cause] = []
        explained: set[Address] = set()
        for record, moved in self.by_record.items():
            if hit := addresses & (moved.get(build) or set()):
                explained |= hit
                says = f"{record} of the tool's shelf"
                causes.append(Cause(record=record, says=says, together_with=[], by=None, expanded_by=None, source=None))
        if hit := addresses & ((self.by_tool or {}).get(build) or set()):
            explained |= hit
            causes.append(self.tool)
        return causes, bool(addresses - explained)


def try_causes(
    project: Project, was: Head, now: Head, causes: Causes, trial: Trial, place: Path, tell: Callable[[int, int], None]
) -> None:
    """Put the files of the earlier shelf back over the later one, all and then each, and note what each moves.

    A file that is new there cannot be taken away so, and one that the club has of its own moves nothing.
    """
    own = project.root / project.settings.knowledge
    back = [file for file in differing_files(was, now) if file in was.shelf and not (own / file).is_file()]
    back = [file for file in back if (SHELF / file).is_file()]
    records: dict[str, list[str]] = {}
    for file in back:
        records.setdefault(" ".join(record_of(file)), []).append(file)
    together = list(records)[:MOST_TRIALS]
    causes.untried = list(records)[MOST_TRIALS:]
    if back:
        still, _ = trial(_with(project, back, place / "all"))
        causes.by_tool = still
    for done, record in enumerate(together, 1):
        tell(done, len(together))
        _, moved = trial(_with(project, records[record], place / str(done)))
        causes.by_record[record] = moved


def _with(project: Project, files: Iterable[str], place: Path) -> Path:
    """A copy of the club with some files of this version's shelf among its own, which hold before the tool's."""
    settings = project.settings
    ignore = shutil.ignore_patterns(".git", "*.part")
    for folder in (settings.builds, settings.knowledge):
        if (project.root / folder).is_dir():
            shutil.copytree(project.root / folder, place / folder, symlinks=True, ignore=ignore)
    if settings.file is not None:
        shutil.copyfile(settings.file, place / settings.file.name)
    for file in files:
        to = place / settings.knowledge / file
        to.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(SHELF / file, to)
    return place
