"""The story so far in five lines, made from findings: what the engine is, how far it is, what is closest to its limits, what went
wrong last and what comes next. A line says what was worked out, or that nothing was."""

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from gudgeon.assess.findings import BuildFindings, FitFinding
from gudgeon.records.model import Build
from gudgeon.wording import UnitFormatter, day_in_words, lower_first, minutes, number, upper_first

# A fit of which both halves are as they are to be, so that how near it stands to its limits means something.
JUDGED = ("in", "reads in", "reads out", "out", "conceded")


NOTHING = re.compile(r"(none|no|nothing|nil|-|–)\b|[-–]$", re.IGNORECASE)  # what people write of what was not lost


@dataclass(frozen=True)
class Line:
    """One of the five. about: the record that it tells of, for a link: its kind and its name."""

    asks: str
    says: str
    about: tuple[Literal["fit", "operation", "instalment", "instrument", "reading"], str] | None = None


def so_far(build: Build, findings: BuildFindings) -> list[Line]:
    """The five lines, in the order in which one would tell them."""
    return [_engine(build), _how_far(findings), _closest(findings), _went_wrong(build), _comes_next(build, findings)]


def _engine(build: Build) -> Line:
    head = build.sound_head
    engine = head.engine
    words = [engine.layout]
    if engine.bore and engine.stroke:
        words.append(f"bore {engine.bore}, stroke {engine.stroke}")
    elif engine.bore:
        words.append(f"bore {engine.bore}")
    if engine.speed:
        words.append(f"{engine.speed}")
    if engine.fuel:
        words.append(engine.fuel)
    invented = " It is invented, for demonstration." if head.club.invented else ""
    return Line("The engine", f"{upper_first(', '.join(words))}.{invented}")


def _how_far(findings: BuildFindings) -> Line:
    progress = findings.progress
    every = progress.done + progress.open
    if not every:
        return Line("How far", "No jobs are written yet, so nobody can say.")
    says = f"{progress.done} of {every} job{'' if every == 1 else 's'} {'is' if progress.done == 1 else 'are'} done"
    if progress.share is not None and progress.open:
        says += f", {number(progress.share * 100, 0)} % of the expected time; {minutes(progress.expected_open)} of work to go"
    return Line("How far", f"{says}.")


def _closest(findings: BuildFindings) -> Line:
    margins = sorted(_margins(findings), key=lambda pair: pair[0])
    if not margins:
        why = "No fit can be judged yet: none is read on both sides." if findings.fits else "No fits are written yet."
        return Line("Closest to its limits", why)
    margin, fit, end_name = margins[0]
    fmt = UnitFormatter(findings.units)
    end = next(end for end in fit.ends if end.end == end_name)
    judged = len({judged.id for _, judged, _ in margins})
    of = f"of {judged} fits that can be judged" if judged > 1 else "the only fit that can be judged"
    most = "at least" if end.end == "tight" else "at most"
    says = f"{fit.name}, {of}: {_in_both(end.clearance, findings.units)}, should have {most} {fmt.clearance_text(end.wanted or 0.0)}"
    if margin < 0:
        if fmt.clearance_text(end.clearance) == fmt.clearance_text(end.wanted or 0.0):
            says += ", outside by less than is shown"
        let_stand = "; it was let stand, for a stated reason" if fit.state == "conceded" else ""
        return Line("Furthest from what it should be", f"{says}{let_stand}.", ("fit", fit.id))
    spare = "nothing" if fmt.clearance_text(margin) == fmt.clearance_text(0.0) else _in_both(margin, findings.units)
    return Line("Closest to its limits", f"{says}: {spare} to spare.", ("fit", fit.id))


def _margins(findings: BuildFindings) -> Iterator[tuple[float, FitFinding, str]]:
    """By how much each end of each fit that can be judged lies inside what is wanted, mm; below nought where it is outside."""
    for fit in findings.fits.values():
        for end in fit.ends if fit.state in JUDGED else ():
            if end.wanted is not None:
                inside = end.clearance - end.wanted if end.end == "tight" else end.wanted - end.clearance
                yield inside, fit, end.end


def _in_both(mm: float, units: str) -> str:
    first, other = ("in", "mm") if units == "in" else ("mm", "in")
    return f"{UnitFormatter(first).clearance_text(mm)} ({UnitFormatter(other).clearance_text(mm)})"


def _went_wrong(build: Build) -> Line:
    asks = "Went wrong last"
    happened = sorted(_mishaps(build), key=lambda mishap: mishap[0])
    if not happened:
        nothing = build.newest_date is None
        return Line(asks, "Nothing is recorded yet." if nothing else "The records tell of no mishap.")
    day, says, about = happened[-1]
    return Line(asks, f"{day_in_words(day)}: {says}", about)


def _mishaps(build: Build) -> Iterator[tuple[dt.date, str, tuple]]:
    # Of one day a record tells it before the words of an instalment do: the last that is given here counts.
    for told in build.instalments:
        cost = told.head.cost
        lost = [words for words in ((cost.scrap, cost.rework) if cost else ()) if words and not NOTHING.match(words)]
        if lost:
            yield told.head.date, _sentence(lost[0]), ("instalment", told.slug)
    for op_id, operation in build.operations.items():
        if operation.rework and operation.done:
            yield (
                operation.done,
                f"{lower_first(operation.does)} was rework: {_sentence(operation.rework)}",
                ("operation", op_id),
            )
    for name, instrument in build.instruments.items():
        if instrument.found_off:
            how = _sentence(instrument.found_off.how)
            yield instrument.found_off.found, f"{instrument.name} was found wrong: {how}", ("instrument", name)
    for row_id, withdrawal in build.withdrawn.items():
        yield withdrawal.date, f"a reading was withdrawn: {_sentence(withdrawal.because)}", ("reading", row_id)


def _sentence(words: str) -> str:
    flat = " ".join(words.split())
    return flat if flat.endswith((".", "!", "?", "…")) else f"{flat}."


def _comes_next(build: Build, findings: BuildFindings) -> Line:
    asks = "Comes next"
    if not build.operations:
        return Line(asks, "No jobs are written yet.")
    if findings.next_jobs:
        job = findings.operations[findings.next_jobs[0]]
        takes = f", about {minutes(job.expected_minutes)}" if job.expected_minutes is not None else ""
        return Line(asks, f"{upper_first(job.does)}{takes}.", ("operation", job.id))
    left = findings.progress.open
    if not left:
        return Line(asks, "Nothing: all jobs that are written are done.")
    return Line(asks, f"No job can start now; {left} wait{'s' if left == 1 else ''}.")
