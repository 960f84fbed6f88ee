"""Why values differ between two versions: the tool itself, or records of its shelf, each put back in the later one and tried."""

import shutil
from collections.abc import Callable
from pathlib import Path

from gudgeon.ledger.difference import Move
from gudgeon.review.slip import Cause
from gudgeon.upgrade.other_tool import OtherTool
from gudgeon.upgrade.shelves import differing_files, record_of
from gudgeon.upgrade.values import SHELF, Head

MOST_TRIALS = 12  # each works all builds out in a process: some seconds
Address = tuple[str, ...]
Moved = dict[str, set[Address] | None]  # build -> what differs; None where a side was not worked out
# What a version makes of the club: what differs then from what was, and from what is now.
Trial = Callable[[OtherTool], tuple[Moved, Moved]]


class Causes:
    """What is known to have moved each value, as far as trials went.

    by_tool: what still differs with the earlier shelf as a whole in the later version; None where that was not tried. untried: records
    that were too many to try.
    """

    def __init__(self, was: Head, now: Head):
        self.was, self.now = was, now
        self.tool = _cause("tool", f"the tool, {was.name} → {now.name}")
        self.files = differing_files(was, now)
        self.by_record: dict[str, Moved] = {}
        self.by_tool: Moved | None = None
        self.untried: list[str] = []

    def of(self, build: str, moves: list[Move]) -> tuple[list[Cause], bool]:
        """The causes of some moved values, and whether some could not be told."""
        if not self.files:
            return [self.tool], False
        addresses = {move.address for move in moves}
        causes: list[Cause] = []
        explained: set[Address] = set()
        for record, moved in self.by_record.items():
            if hit := addresses & (moved.get(build) or set()):
                explained |= hit
                causes.append(_cause(record, f"{record} of the tool's shelf"))
        if hit := addresses & ((self.by_tool or {}).get(build) or set()):
            explained |= hit
            causes.append(self.tool)
        return causes, bool(addresses - explained)

    def try_each(self, other: OtherTool, trial: Trial, place: Path, tell: Callable[[int, int], None]) -> None:
        """Put the earlier shelf into a copy of the later version's code, as a whole and then record by record, and note what moves."""
        package = Path(self.now.package)
        if not (package / "knowledge").is_dir() or not SHELF.is_dir():
            return
        self.by_tool, _ = trial(other.with_code(_copy(package, place / "all", self.files)))
        records: dict[str, list[str]] = {}
        for file in self.files:
            records.setdefault(" ".join(record_of(file)), []).append(file)
        tried = list(records)[:MOST_TRIALS]
        self.untried = list(records)[MOST_TRIALS:]
        for done, record in enumerate(tried, 1):
            _, self.by_record[record] = trial(other.with_code(_copy(package, place / str(done), records[record])))
            tell(done, len(tried))


def _cause(record: str, says: str) -> Cause:
    return Cause(record=record, says=says, together_with=[], by=None, expanded_by=None, source=None)


def _copy(package: Path, place: Path, files: list[str]) -> Path:
    """A folder with the code of a version, in whose shelf some files are as this version has them, or are not there."""
    to = place / package.name
    shutil.copytree(package, to, symlinks=True, ignore=shutil.ignore_patterns("__pycache__"))
    for file in files:
        (to / "knowledge" / file).unlink(missing_ok=True)
        if (SHELF / file).is_file():
            (to / "knowledge" / file).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(SHELF / file, to / "knowledge" / file)
    return place
