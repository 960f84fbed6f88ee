"""Compares two revisions of a club and gives the review slip."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import BuildFindings, FitFinding, OperationFinding, Source, SuspectedMistake
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Where, seen
from gudgeon.review.append_only import append_only, given_twice
from gudgeon.review.changes import causes, changes, new_reviews, rows_by_id
from gudgeon.review.slip import (
    At,
    Caution,
    FitChange,
    Line,
    NewReading,
    ReviewSlip,
    StaleReading,
    Standing,
    Trouble,
    WorkChange,
)

COUNTS = ("current", "frozen")  # statuses in which a row is used
SURE = 1e-6  # a chance that moved by less is the same chance


@dataclass
class Side:
    """A club in one revision, as far as it was read: the builds that an edit reaches, and their findings."""

    name: str
    shelf: Knowledge
    builds: dict[str, Build] = field(default_factory=dict)
    findings: dict[str, BuildFindings] = field(default_factory=dict)


def compare(
    base: Side,
    head: Side,
    *,
    files: int,
    renamed: dict[str, str] | None = None,
    main: dict[str, Build] | None = None,
) -> ReviewSlip:
    """The slip of two sides.

    files: how many files of records differ. renamed: a build's name now -> its name in the base.
    main: the builds as the tip of the main branch has them, where that is not the base: a reading id that was added
    there and here is a trouble.
    """
    slip = ReviewSlip(
        base=base.name,
        head=head.name,
        files=files,
        assessed=sorted(seen(each) for each in head.findings),
        notes=[],
        troubles=[_problem(None, each) for each in head.shelf.problems],
        readings=[],
        fits=[],
        cautions_new=[],
        cautions_cleared=[],
        stale=[],
        work=[],
        reviews=[],
    )
    renamed = renamed or {}
    slip.notes += [f"the build {seen(now)} was called {seen(was)} before" for now, was in sorted(renamed.items())]
    for name in sorted({*head.builds, *(each for each in base.builds if each not in renamed.values())}):
        old = renamed.get(name, name)
        was, now = base.builds.get(old), head.builds.get(name)
        if now is None:
            slip.notes.append(f"the build {seen(name)} is gone: its {len(was.rows)} readings are no longer in the club")
            continue
        pair = _Pair(seen(name), was, base.findings.get(old), now, head.findings.get(name))
        _records(slip, pair)
        if main is not None:
            slip.troubles += given_twice(pair.name, was, now, main.get(old) or main.get(name))
        if pair.found is not None:
            _numbers(slip, pair, base, head)
    slip.troubles.sort(key=lambda each: (each.file, each.line, each.column, each.says))
    return slip


@dataclass(frozen=True)
class _Pair:
    """One build in both revisions. was, found_was: None where it is new, or could not be read."""

    name: str
    was: Build | None
    found_was: BuildFindings | None
    now: Build
    found: BuildFindings | None


def _records(slip: ReviewSlip, pair: _Pair) -> None:
    """What the records alone say: problems, edited readings, new readings, what people said."""
    slip.troubles += [_problem(pair.name, each) for each in pair.now.problems]
    slip.troubles += append_only(pair.name, pair.was, pair.now)
    known = rows_by_id(pair.was)
    slip.readings += [
        NewReading(build=pair.name, row=row.id, of=row.of, supersedes=row.supersedes, source=_source(row.where()))
        for row in rows_by_id(pair.now).values()
        if row.id not in known
    ]
    slip.reviews += [
        Line(
            build=pair.name,
            date=each.date.isoformat(),
            who=each.who,
            verdict=each.verdict,
            about=list(each.about),
            says=each.says,
            source=_source(each.where()),
        )
        for each in new_reviews(pair.was, pair.now)
    ]
    if pair.found is None:
        slip.notes.append(f"{pair.name} has problems in its records: put them right, then its numbers can be compared")
    elif pair.was is not None and pair.found_was is None:
        slip.notes.append(f"{pair.name} had problems in its records in {slip.base}: everything in it counts as new")


def _numbers(slip: ReviewSlip, pair: _Pair, base: Side, head: Side) -> None:
    """What moved in the findings."""
    found, found_was = pair.found, pair.found_was
    slip.fits += _fits(pair, base, head)
    new, old = _cautions(pair.name, found), _cautions(pair.name, found_was) if found_was else {}
    slip.cautions_new += [each for key, each in new.items() if key not in old]
    slip.cautions_cleared += [each for key, each in old.items() if key not in new]
    slip.stale += [
        StaleReading(build=pair.name, row=row.id, of=row.of, status=row.status, why=row.why or "", source=row.source)
        for row in found.rows.values()
        if found_was
        and row.status not in COUNTS
        and row.id in found_was.rows
        and found_was.rows[row.id].status in COUNTS
    ]
    work = _work(pair.name, found_was, found)
    slip.work += [work] if work else []


def _fits(pair: _Pair, base: Side, head: Side) -> Iterator[FitChange]:
    """The fits that moved, with the records that caused it."""
    found, found_was = pair.found, pair.found_was
    fits_was = found_was.fits if found_was else {}
    differ = changes(pair.was, pair.now, base.shelf, head.shelf, found_was.metals, found.metals) if found_was else []
    for fit_id in {**found.fits, **fits_was}:
        before, after = _standing(found_was, fit_id), _standing(found, fit_id)
        if not moved(before, after):
            continue
        fit = found.fits.get(fit_id) or fits_was[fit_id]
        if found_was:
            why = causes(differ, fit_id, pair.was, pair.now)
        else:
            why = ["the build is new" if pair.was is None else "not comparable"]
        yield FitChange(
            build=pair.name,
            id=fit_id,
            name=fit.name,
            units=found.units,
            was=before,
            now=after,
            causes=why,
            source=_line_of(pair.now, fit_id, fit),
        )


def moved(was: Standing | None, now: Standing | None) -> bool:
    """Whether any number or state of a fit moved, beyond binary rounding."""
    if was is None or now is None:
        return was is not now

    def far(name: str, grain: float) -> bool:
        one, other = getattr(was, name), getattr(now, name)
        return one != other if one is None or other is None else abs(one - other) > grain

    return (
        (was.state, was.conformity, was.hot_case) != (now.state, now.conformity, now.hot_case)
        or any(
            far(name, GRAIN)
            for name in ("clearance", "expanded", "want_low", "want_high", "rule_low", "rule_high", "hot_least")
        )
        or any(far(name, SURE) for name in ("chance_out", "chance_dangerous"))
    )


def _standing(found: BuildFindings | None, fit_id: str) -> Standing | None:
    fit = found.fits.get(fit_id) if found else None
    if fit is None:
        return None
    rows = found.rows
    worst = min(fit.hot, key=lambda case: case.now, default=None)
    return Standing(
        state=fit.state,
        conformity=fit.conformity,
        clearance=fit.clearance,
        expanded=fit.expanded,
        want_low=fit.want_low,
        want_high=fit.want_high,
        want_from=fit.want_from,
        rule_low=fit.rule_low,
        rule_high=fit.rule_high,
        chance_out=None if fit.chance_inside is None else 1 - fit.chance_inside,
        dangerous=fit.dangerous,
        chance_dangerous=fit.chance_tight if fit.dangerous == "tight" else fit.chance_loose,
        at=[
            At(
                of=ref,
                station=cell.station,
                angle=cell.angle,
                rows=cell.rows,
                source=rows[cell.rows[0]].source if cell.rows else None,
            )
            for ref, cell in ((fit.hole, fit.hole_at), (fit.shaft, fit.shaft_at))
            if cell
        ],
        hot_least=worst.now if worst else None,
        hot_case=worst.case if worst else None,
        look=fit.look,
    )


def _cautions(name: str, found: BuildFindings) -> dict[tuple, Caution]:
    """Everything in a build's findings that warns, by what it is about."""
    cautions = {}
    for slip in found.mistakes:
        cautions[slip.kind, slip.about, slip.row, slip.operation] = Caution(
            build=name, kind=slip.kind, about=_about(slip), says=slip.cause, source=slip.source
        )
    for danger in found.dangers:
        if danger.hit:
            cautions[danger.caution, danger.calculation, danger.part, danger.over] = Caution(
                build=name,
                kind=danger.caution,
                about=danger.part or "engine",
                says=f"{danger.gives} is past its limit",
                source=None,
            )
    for fit in found.fits.values():
        for case in fit.hot:
            if case.fails:
                cautions["hot", fit.id, case.case, None] = Caution(
                    build=name,
                    kind="hot",
                    about=fit.id,
                    says=f"{case.fails} in the case {case.case}",
                    source=fit.source,
                )
    return cautions


def _about(slip: SuspectedMistake) -> str:
    return " ".join(dict.fromkeys(each for each in (slip.row or slip.operation, slip.about) if each))


def _work(name: str, was: BuildFindings | None, now: BuildFindings) -> WorkChange | None:
    before = {op.id for op in was.operations.values() if op.state == "can start"} if was else set()
    after = {op.id for op in now.operations.values() if op.state == "can start"}

    def still_open(op: OperationFinding | None) -> bool:
        return op is not None and op.state != "done"

    minutes = was.progress.expected_open if was else None
    change = WorkChange(
        build=name,
        was=minutes,
        now=now.progress.expected_open,
        ready=[op_id for op_id in now.next_jobs if op_id in after - before],
        no_longer_ready=sorted(each for each in before - after if still_open(now.operations.get(each))),
    )
    same = minutes is not None and abs(minutes - change.now) < 1e-6
    return None if same and not change.ready and not change.no_longer_ready else change


def _problem(build: str | None, problem) -> Trouble:
    text = f"{problem.about}: {problem.text}" if problem.about else problem.text
    return Trouble.at("record", build, text, problem.where)


def _source(where: Where) -> Source:
    return Source(file=where.file, line=where.line)


def _line_of(now: Build, fit_id: str, finding: FitFinding) -> Source:
    """Where a fit stands now; its file's first line where it is gone."""
    return finding.source if fit_id in now.fits else Source(file=f"builds/{now.id}/fits.yaml", line=1)
