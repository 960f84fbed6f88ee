"""What commands answer to a reading that they wrote: the line of the bench, from the build as it stood before it."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from gudgeon.entry.line import Entered
from gudgeon.records.model import Build
from gudgeon.records.readings import Row

if TYPE_CHECKING:
    from gudgeon.project.project import Project


class Answers:
    """Answers to the readings of one run. What was worked out of the build before a line serves the line that follows it."""

    def __init__(self, project: "Project", name: str, build: Build):
        self._project, self._name, self._before = project, name, build

    def now_stands(self, build: Build) -> None:
        """The build was changed otherwise, and nothing is to be answered."""
        self._before = build

    def tell(self, build: Build, events: Sequence[Mapping[str, Any]]) -> None:
        """Print the answer to what was written. build: with it. events: as `answer` takes them, the reading last."""
        before, self._before = self._before, build
        if before.problems or build.problems:
            click.echo(
                f"No answer: {build.path} has problems, so that nothing is worked out. gudgeon check tells them.",
                err=True,
            )
            return
        click.echo(self._answer(before, build, events))

    def _answer(self, before: Build, build: Build, events: Sequence[Mapping[str, Any]]) -> str:
        from gudgeon.bench.answer import answer

        data = self._data(before)
        if isinstance(data, str):
            return data
        of = data["features"][events[-1]["of"]]
        if of["target"] is None and of["side"] is not None:
            # What it is to come to may be known only now that it has been read.
            after = self._data(build)
            if not isinstance(after, str):
                # Only what it is to come to is of the build with it: the places and the state are those before it.
                after["features"][events[-1]["of"]] |= {"places": of["places"], "state": of["state"]}
                return answer(after, events).words
        return answer(data, events).words

    def _data(self, build: Build) -> dict[str, Any] | str:
        """The bench data of a build, or why there is none."""
        from gudgeon.bench.data import bench_data
        from gudgeon.boundary import Failure
        from gudgeon.project.project import work_out

        findings = work_out(build, self._project.knowledge)
        if isinstance(findings, Failure):
            return f"No answer: the build could not be worked out. {findings.problem()}"
        return bench_data(build, self._project.knowledge, findings)


def reading_event(build: Build, entered: Entered) -> dict[str, Any]:
    """A row that was written, as the answer takes it. build: with the row in it."""
    row: Row = next(row for row in build.rows if row.id == entered.text("id"))
    return {
        "row": row.id,
        "of": row.of,
        "station": None if row.station is None else float(row.station),
        "angle": None if row.angle is None else float(row.angle),
        "reads": [float(read) for read in row.reads],
        "part_temp": None if row.part_temp is None else float(row.part_temp),
        "gauge_temp": None if row.gauge_temp is None else float(row.gauge_temp),
        "gauge": row.gauge,
        "by": row.by,
        "day": row.date.isoformat(),
        "thermometer": row.thermometer,
    }
