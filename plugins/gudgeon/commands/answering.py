"""What commands answer to a reading that they wrote: the line of the bench, from the build as it stood before it."""

from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import click

from gudgeon.entry.line import Entered
from gudgeon.records.model import Build
from gudgeon.records.readings import Row
from gudgeon.wording import MEANS, UnitFormatter

if TYPE_CHECKING:
    from gudgeon.assess.findings import BuildFindings
    from gudgeon.project.project import Project


class Answers:
    """Answers to the readings of one run. What was worked out of the build before a line serves the line that follows it."""

    def __init__(self, project: "Project", name: str, build: Build):
        self._project, self._name, self._before = project, name, build
        self._told: set[str] = set()

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
        first, *more = self._answer(before, build, events).split("\n")
        # What was told of this run already is told once; what makes scrap each time.
        click.echo("\n".join([first, *(line for line in more if line not in self._told or _of_scrap(line))]))
        self._told.update(more)
        for line in self._fits(build, events[-1]["of"]):
            click.echo(line)

    def _fits(self, build: Build, ref: str) -> list[str]:
        """Where the fits of a feature stand once nothing is to be cut of them any more."""
        if ref in cut_still(build) or not any(ref in (fit.hole, fit.shaft) for fit in build.fits.values()):
            return []
        from gudgeon.boundary import Failure
        from gudgeon.project.project import work_out

        findings = work_out(build, self._project.knowledge)
        return [] if isinstance(findings, Failure) else fits_told(build, findings, [ref])

    def _answer(self, before: Build, build: Build, events: Sequence[Mapping[str, Any]]) -> str:
        from gudgeon.bench.answer import answer

        data = self._data(before)
        if isinstance(data, str):
            return data
        of = data["features"][events[-1]["of"]]
        first_cut = of["plan"] is None and any("cut" in event for event in events)
        if of["side"] is not None and (of["target"] is None or first_cut):
            # What it is to come to may be known only now that it has been read, and in which passes only by its first cut.
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


def _of_scrap(line: str) -> bool:
    """Whether a sentence says what makes scrap, or how likely that is."""
    return "scrap" in line and "not worked out" not in line


def cut_still(build: Build) -> set[str]:
    """Features that an operation which is not done changes."""
    return {ref for op in build.operations.values() if not op.done for ref in build.touched_by(op)}


def fits_told(build: Build, findings: "BuildFindings", refs: Collection[str]) -> list[str]:
    """Where the fits of some features stand, a sentence each; of those alone of which no half is to be cut any more."""
    fmt, still = UnitFormatter(build.sound_head.units), cut_still(build)
    lines = []
    for fit in findings.fits.values():
        halves = {fit.hole, fit.shaft}
        if halves.isdisjoint(refs) or not halves.isdisjoint(still):
            continue
        if fit.clearance is None or fit.state in ("stale", "no reading"):
            lines.append(f"{fit.name} ({fit.id}): {fit.state}: {MEANS.get(fit.state, 'it is not known')}.")
            continue
        wanted = (
            "nothing says what is wanted"
            if fit.want_low is None
            else f"wanted {fmt.range_text(fit.want_low, fit.want_high)}"
        )
        size = (
            fmt.clearance_text(fit.clearance) if fit.expanded is None else fmt.plus_minus(fit.clearance, fit.expanded)
        )
        lines.append(f"{fit.name} ({fit.id}): {fit.state}; {size}, {wanted}.")
    return lines


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
