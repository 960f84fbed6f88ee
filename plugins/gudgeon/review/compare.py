"""The comparison of two revisions as a review slip: what moved by subject, and the records that are proved to have moved it."""

import functools
from collections.abc import Callable, Iterator
from typing import Any, get_origin

from gudgeon.assess.findings import BuildFindings, FitFinding, OperationFinding, Source, SuspectedMistake
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon.ledger.difference import Move
from gudgeon.ledger.values import below_subject
from gudgeon.notes import all_in_words
from gudgeon.notes import in_words as note_in_words
from gudgeon.records.edits import LISTS as WITHOUT_ID
from gudgeon.records.edits import rows_by_id
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problem, seen
from gudgeon.review import of_the_shelf
from gudgeon.review.append_only import append_only, cuts_kept, verdicts_kept
from gudgeon.review.causes import CausesInWords
from gudgeon.review.edited_records import in_words
from gudgeon.review.new_records import new_reading, new_verdicts, rows_by_place, source_of
from gudgeon.review.slip import (
    Blocker,
    BlockerKind,
    Cause,
    Caution,
    FitChange,
    FitSnapshot,
    IdleRecord,
    LimitingPoint,
    ReviewSlip,
    StaleReading,
    ToldOtherwise,
    WorkChange,
)
from gudgeon.review.subjects import Lists, address_told, fit_alarm, fit_values, subject_changes
from gudgeon.review.two_at_once import conflicts, given_twice, places_given_twice, withdrawn_twice
from gudgeon.story.numbers import NumbersOfStory
from gudgeon.wording import UnitFormatter

COUNTS = ("current", "frozen")  # statuses in which a row is used


def slip_of(comparison: Comparison, tell: Callable[[int, int], None] = lambda done, of: None) -> ReviewSlip:
    """The slip of two revisions. tell(done, of): called as builds are worked out."""
    slip = _empty(comparison)
    slip.not_worked_out += sorted({*comparison.not_worked_out, *comparison.in_conflict})
    slip.notes += comparison.notes
    slip.blockers += conflicts(comparison)
    slip.blockers += [_problem("record", None, problem) for problem in comparison.knowledge.problems]
    slip.notes += [f"the build {now} was called {was} before" for now, was in sorted(comparison.renamed.items())]
    if comparison.not_worked_out and not comparison.in_conflict:
        slip.notes.append(
            f"{len(comparison.not_worked_out)} builds do not name what changed in the shared knowledge and were not worked out: "
            "a rule stands in their tables too"
        )
    of_the_shelf.add_texts_of_cautions(slip, comparison)
    for of_build in comparison.over_pairs(functools.partial(_slip_of_pair, comparison), tell):
        for name in LISTS:
            getattr(slip, name).extend(getattr(of_build, name))
        slip.moved += of_build.moved
    slip.withdrawn_elsewhere += of_the_shelf.withdrawn_since(
        comparison.knowledge_was, comparison.knowledge, slip.withdrawn_elsewhere
    )
    slip.blockers.sort(
        key=lambda blocker: (blocker.kind != "merge conflict", blocker.file, blocker.line, blocker.column, blocker.says)
    )
    slip.idle = list({(idle.build, idle.record): idle for idle in slip.idle}.values())
    return slip


# What is told build by build.
LISTS = tuple(name for name, field in ReviewSlip.model_fields.items() if get_origin(field.annotation) is list)


def _empty(comparison: Comparison) -> ReviewSlip:
    told: dict[str, Any] = {name: [] for name in LISTS}
    told["other_files"] = list(comparison.other_files)
    return ReviewSlip(base=comparison.base, head=comparison.head, files=comparison.files, moved=0, **told)


def _slip_of_pair(comparison: Comparison, pair: Pair) -> ReviewSlip:
    """What is to be told of one build."""
    slip = _empty(comparison)
    slip.other_files = []  # told once, not with each build
    _add_pair(slip, pair, comparison)
    return slip


def _add_pair(slip: ReviewSlip, pair: Pair, comparison: Comparison) -> None:
    if pair.now is None:
        rows = len(pair.was.rows) if pair.was else 0
        slip.notes.append(f"the build {pair.name} is gone: its {rows} readings are no longer in the club")
        return
    _add_records(slip, pair, comparison)
    if pair.found is None:
        slip.not_worked_out.append(pair.name)
        return
    if pair.was is not None and pair.found_was is None:
        slip.notes.append(
            f"{pair.name} could not be worked out in {slip.base}: nothing can be said of what moved in it"
        )
        slip.not_worked_out.append(pair.name)
        return
    slip.assessed.append(pair.name)
    causes = CausesInWords(pair)
    slip.moved += sum(1 for move in pair.moves.values() if not move.is_text)
    slip.fits += _fits(pair, causes)
    if pair.was is not None:
        slip.subjects += subject_changes(pair, causes.of)
        slip.idle += _idle(pair)
    _add_cautions(slip, pair, comparison.knowledge)
    _add_stale(slip, pair)
    slip.told_otherwise += _told_otherwise(pair)
    slip.withdrawn_elsewhere += of_the_shelf.withdrawn_in(pair.now, comparison.knowledge)
    work = _work(pair.name, pair.found_was, pair.found)
    slip.work += [work] if work else []
    if pair.proof and pair.proof.together:
        slip.notes.append(
            f"{len(pair.proof.together)} of the changed records of {pair.name} were put back together and not one by one: "
            "they are too many to prove each"
        )


def _add_records(slip: ReviewSlip, pair: Pair, comparison: Comparison) -> None:
    """What the records alone say: problems, edited readings and verdicts, new readings, what people said."""
    now = pair.now
    assert now, "a build that is gone has no records"
    none_twice = (None, None, None)
    sides = comparison.sides.get(comparison.renamed.get(pair.name, pair.name)) or comparison.sides.get(
        pair.name, none_twice
    )
    told_below = places_given_twice(*sides)
    problems = [problem for problem in now.problems if problem.where not in told_below]
    slip.blockers += [_problem("record", pair.name, problem) for problem in (*problems, *pair.pictures)]
    if pair.failed:
        slip.blockers.append(_problem("tool", pair.name, pair.failed))
    slip.blockers += append_only(pair.name, pair.was, now)
    slip.blockers += verdicts_kept(pair.name, pair.was, now)
    slip.blockers += cuts_kept(pair.name, pair.was, now)
    slip.blockers += given_twice(pair.name, *sides)
    slip.blockers += withdrawn_twice(pair.name, pair.was, now, sides[2])
    known, at_place = rows_by_id(pair.was), rows_by_place(now)
    slip.readings += [new_reading(pair, row, at_place) for row in rows_by_id(now).values() if row.id not in known]
    slip.reviews += new_verdicts(pair, comparison)


def _told_otherwise(pair: Pair) -> Iterator[ToldOtherwise]:
    """The tied numbers of new and edited instalments that the records of their day do not say."""
    assert pair.now, "a build that is gone tells nothing"
    words = NumbersOfStory(pair.told, pair.now.sound_head.units)
    for number in pair.told:
        tied = words.in_words(number)
        if not tied.agrees:
            yield ToldOtherwise(
                build=pair.name,
                instalment=number.instalment,
                says=seen(number.says),
                about=f"{number.of} {number.about}",
                why=tied.doubt,
                source=number.source,
                column=number.column,
            )


def _fits(pair: Pair, causes: CausesInWords) -> Iterator[FitChange]:
    """The fits of which a value moved."""
    findings, findings_was = pair.found, pair.found_was
    assert findings and pair.now, "what moved is told of what was worked out"
    fits_was = findings_was.fits if findings_was else {}
    by_fit: dict[str, list[Move]] = {}
    for move in pair.moves.values():
        subject, name = move.subject
        if subject == "fit" and not move.is_text:
            by_fit.setdefault(name, []).append(move)
    for fit_id in [*findings.fits, *(name for name in fits_was if name not in findings.fits)]:
        if pair.was is not None and fit_id not in by_fit:
            continue
        fit = findings.fits.get(fit_id) or fits_was[fit_id]
        moves = by_fit.get(fit_id, [])
        told, unproved = causes.of(moves, ("fit", fit_id, "clearance"), ("fit", fit_id, "expanded"))
        if pair.was is None:
            told = [
                Cause(record="build", says="the build is new", together_with=[], by=None, expanded_by=None, source=None)
            ]
        before, after = _snapshot(findings_was, fit_id), _snapshot(findings, fit_id)
        lists: Lists = {}
        yield FitChange(
            build=pair.name,
            id=fit_id,
            name=fit.name,
            units=findings.units,
            was=before,
            now=after,
            alarm=fit_alarm(before, after),
            moved=sorted(
                {
                    _label(address_told(move, fits_was.get(fit_id), findings.fits.get(fit_id), lists=lists))
                    for move in moves
                }
            )[:200],
            values=fit_values(pair, fit_id, moves),
            causes=told,
            unproved=unproved,
            source=_line_of(pair.now, fit_id, fit),
        )


def _label(address: tuple[str, ...]) -> str:
    return " ".join(below_subject(address)).removesuffix(" -")


def _snapshot(findings: BuildFindings | None, fit_id: str) -> FitSnapshot | None:
    fit = findings.fits.get(fit_id) if findings else None
    if findings is None or fit is None:
        return None
    rows = findings.rows
    worst = min(fit.hot, key=lambda case: case.now, default=None)
    return FitSnapshot(
        state=fit.state,
        conformity=fit.conformity,
        clearance=fit.clearance,
        expanded=fit.expanded,
        want_low=fit.want_low,
        want_high=fit.want_high,
        want_from=all_in_words(fit.want_from, UnitFormatter(findings.units)),
        rule_low=fit.rule_low,
        rule_high=fit.rule_high,
        chance_out=None if fit.chance_inside is None else min(1.0, max(0.0, 1 - fit.chance_inside)),
        dangerous=fit.dangerous,
        chance_dangerous=fit.chance_tight if fit.dangerous == "tight" else fit.chance_loose,
        at=[
            LimitingPoint(
                of=ref,
                station=cell.station,
                angle=cell.angle,
                rows=list(cell.rows),
                source=rows[cell.rows[0]].source if cell.rows and cell.rows[0] in rows else None,
            )
            for ref, cell in ((fit.hole, fit.hole_at), (fit.shaft, fit.shaft_at))
            if cell and ref
        ],
        hot_least=worst.now if worst else None,
        hot_case=worst.case if worst else None,
        look=fit.look,
    )


def _idle(pair: Pair) -> Iterator[IdleRecord]:
    """Records that differ and move no number, each said to do so only where it was put back and worked out, or is
    of a kind of which no number is worked out."""
    if pair.proof is None:
        return
    movers = {
        id(edit)
        for groups in ([*pair.proof.groups], *pair.proof.joint.values())
        for group in groups
        if any(not move.is_text for move in group.moves.values())
        for edit in group.edits
    }
    readings = rows_by_id(pair.was)
    assert pair.now, "a build that is gone has no records"
    for edit in pair.edits:
        if id(edit) in movers or (pair.proof.unproved and any(edit is other for other in pair.proof.together)):
            continue
        if edit.what in ("verdict", "caution") or (edit.what == "reading" and edit.id not in readings):
            continue  # told in a section of its own
        text = any(edit in group.edits and group.moves for group in pair.proof.groups)
        yield IdleRecord(
            build=None if edit.shared else pair.name,
            record=f"{edit.what} {edit.id}" if edit.what not in WITHOUT_ID.values() else edit.what,
            says=in_words(edit, pair.now),
            text=text,
            source=source_of(edit.where) if edit.where else None,
        )


def _add_cautions(slip: ReviewSlip, pair: Pair, knowledge: Knowledge) -> None:
    new = _cautions(pair.name, pair.found) if pair.found else {}
    old = _cautions(pair.name, pair.found_was) if pair.found_was else {}
    slip.cautions_new += [caution for key, caution in new.items() if key not in old]
    for key, caution in old.items():
        if key not in new:
            watched = _still_watched(key, pair, knowledge)
            (slip.cautions_cleared if watched else slip.cautions_removed).append(caution)


def _still_watched(key: tuple, pair: Pair, knowledge: Knowledge) -> bool:
    """Whether what brought a caution up is still there to bring it up again: if not, nothing was cleared."""
    kind, about = key[0], key[1]
    assert pair.now, "a build that is gone is told as gone"
    if kind == "hot":
        fit = pair.now.fits.get(about)
        return fit is not None and key[2] in fit.hot
    if kind == "danger":
        return about in knowledge.cautions
    row, operation = key[2], key[3]
    return (row is None or row in rows_by_id(pair.now)) and (operation is None or operation in pair.now.operations)


def _cautions(name: str, findings: BuildFindings) -> dict[tuple, Caution]:
    """Everything in a build's findings that warns, by what it is about."""
    cautions, fmt = {}, UnitFormatter(findings.units)
    for mistake in findings.mistakes:
        # An operation may have been done before two that it needs: each is a caution of its own.
        cautions[mistake.kind, mistake.about, mistake.row, mistake.operation, mistake.cause.subject] = Caution(
            build=name,
            kind=mistake.kind,
            about=_about(mistake),
            says=note_in_words(mistake.cause, fmt),
            source=mistake.source,
        )
    for danger in findings.dangers:
        if danger.state in ("past", "may be past"):
            cautions["danger", danger.caution, danger.calculation, danger.part, danger.over] = Caution(
                build=name,
                kind=danger.caution,
                about=danger.part or "engine",
                says=f"{danger.gives} {'is' if danger.hit else 'may be'} past its limit",
                source=None,
            )
    for fit in findings.fits.values():
        for case in fit.hot:
            if case.fails:
                cautions["hot", fit.id, case.case, None] = Caution(
                    build=name,
                    kind="hot",
                    about=fit.id,
                    says=f"{note_in_words(case.fails, fmt)} in the case {case.case}",
                    source=fit.source,
                )
    return cautions


def _about(mistake: SuspectedMistake) -> str:
    return " ".join(dict.fromkeys(part for part in (mistake.row or mistake.operation, mistake.about) if part))


def _add_stale(slip: ReviewSlip, pair: Pair) -> None:
    findings, findings_was = pair.found, pair.found_was
    if findings is None or findings_was is None:
        return
    fmt = UnitFormatter(findings.units)
    slip.stale += [
        StaleReading(
            build=pair.name,
            row=row.id,
            of=row.of,
            status=row.status,
            why=note_in_words(row.why, fmt) if row.why else "",
            source=row.source,
        )
        for row in findings.rows.values()
        if row.status not in COUNTS and row.id in findings_was.rows and findings_was.rows[row.id].status in COUNTS
    ]


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
        no_longer_ready=sorted(op_id for op_id in before - after if still_open(now.operations.get(op_id))),
    )
    same = minutes is not None and abs(minutes - change.now) < 1e-6
    return None if same and not change.ready and not change.no_longer_ready else change


def _problem(kind: BlockerKind, build: str | None, problem: Problem) -> Blocker:
    text = f"{problem.about}: {problem.text}" if problem.about else problem.text
    return Blocker.at(kind, build, text, problem.where)


def _line_of(now: Build, fit_id: str, finding: FitFinding) -> Source:
    """Where a fit stands now; its file's first line where it is gone."""
    return finding.source if fit_id in now.fits else Source(file=seen(f"{now.path}/fits.yaml"), line=1)
