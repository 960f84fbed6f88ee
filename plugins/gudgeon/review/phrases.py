"""What a review slip says, line by line, for text and Markdown alike: two units, what matters most first."""

from collections.abc import Callable
from dataclasses import dataclass

from gudgeon.assess.findings import Source
from gudgeon.review.headline import CALLED, count
from gudgeon.review.slip import (
    Blocker,
    Cause,
    Caution,
    FitChange,
    FitSnapshot,
    Newer,
    NewReading,
    ReviewSlip,
    StaleReading,
    SubjectChange,
    ToldOtherwise,
    Verdict,
    WithdrawnElsewhere,
    WorkChange,
)
from gudgeon.review.subjects import AS_READ, LABELS
from gudgeon.review.values_in_words import figure, moved_value, value_in_words
from gudgeon.wording import UnitFormatter, minutes, number, probability

WITH_ANY = "Moves with any record"

NAMED_AS_CAUSE = 4
NAMED_IN_SUMMARY = 3  # of a list; the rest is counted, and stands in the detail


@dataclass(frozen=True)
class FitLine:
    """One fit in words."""

    fit: FitChange
    moved: str
    wanted: str
    place: str
    probability: str
    at: list[tuple[str, Source | None]]
    hot: str
    cause: str


def in_order(slip: ReviewSlip) -> list[FitChange]:
    """Fits by how much they ask for a look: what turned for the worse, then the likeliest to be out on the side that hurts."""

    def rank(fit: FitChange) -> tuple:
        now = fit.now
        return (
            not fit.alarm,
            not (now and now.look),
            -((now.chance_dangerous or 0.0) if now else 0.0),
            fit.build,
            fit.id,
        )

    return sorted(slip.fits, key=rank)


def subjects_in_order(slip: ReviewSlip) -> list[SubjectChange]:
    """What turned for the worse first and what says little last; otherwise as they stand."""
    return sorted(slip.subjects, key=lambda change: (not change.alarm, change.quiet))


def folded(slip: ReviewSlip) -> str:
    """What moves with any record and by itself says nothing to a reviewer, in one line; the detail has it entry by entry."""
    return "; ".join(subject_line(change, 99) for change in slip.subjects if change.quiet and not change.alarm)


def told_alone(slip: ReviewSlip) -> list[SubjectChange]:
    """The subjects that have a line of their own in a summary."""
    return [change for change in subjects_in_order(slip) if change.alarm or not change.quiet]


def fit_line(fit: FitChange, full: bool = True) -> FitLine:
    """One fit's change in words. full: with every cause; otherwise a long list of them is counted."""
    fmt, was, now = UnitFormatter(fit.units), fit.was, fit.now
    one = now or was
    assert one, "a fit that moved was there or is there"
    sides = [side for side in (was, now) if side]
    moved = _moved(fmt, was, now)
    wanted = _arrow(*(_wanted(fmt, side) for side in sides)) + _rule(fmt, was, now)
    conformity = _arrow(*(_conformity(side) for side in sides))
    chance = _arrow(*(probability(side.chance_out) for side in sides))
    hot = _hottest(fmt, sides)
    return FitLine(
        fit=fit,
        moved=moved + _beside(fmt, fit, [moved, wanted, conformity, chance, hot]),
        wanted=wanted,
        place=conformity,
        probability=chance,
        at=[
            (f"{at.of} {fmt.place_text(at.station, at.angle)}".strip() + f" ({', '.join(at.rows)})", at.source)
            for at in one.at
        ]
        or [("no reading", None)],
        hot=hot,
        cause=causes_in_words(fmt, fit.causes, fit.unproved, len(fit.causes) if full else NAMED_AS_CAUSE),
    )


def causes_in_words(fmt: UnitFormatter, causes: list[Cause], unproved: bool, most: int) -> str:
    """The records that moved something, each with how much of it it made; at most so many, the rest counted."""
    words = [cause_in_words(fmt, cause) for cause in causes]
    told = "; ".join(words[:most]) + (f"; and {len(words) - most} more" if len(words) > most else "")
    if unproved or not words:
        told += ("; " if told else "") + "not worked out which of the changed records"
    return told


def cause_in_words(fmt: UnitFormatter, cause: Cause) -> str:
    """A record with its share: "new reading a074 (−0.1 thou; U ±0.0)"."""
    share = []
    if cause.by is not None:
        share.append(f"{'−' if cause.by < 0 else '+'}{figure(fmt, cause.kind, abs(cause.by), share=True)}")
    if cause.expanded_by is not None:
        share.append(f"U {fmt.clearance_text(cause.expanded_by, sign=True)}")
    words = cause.says + (f" [{', '.join(share)}]" if share else "")
    if cause.together_with:
        words += f" (with {', '.join(cause.together_with)}, without which it cannot stand)"
    return words


def _moved(fmt: UnitFormatter, was: FitSnapshot | None, now: FitSnapshot | None) -> str:
    if was is None:
        return f"new: {_gap(fmt, now)}" if now else ""
    return _arrow(_gap(fmt, was), _gap(fmt, now)) if now else f"gone; was {_gap(fmt, was)}"


def _beside(fmt: UnitFormatter, fit: FitChange, columns: list[str]) -> str:
    """What else moved of a fit: always where an instrument was found off, and otherwise where no column shows a move, for
    then nobody would see what did."""
    if fit.was is None or fit.now is None:
        return ""
    shown = any("→" in column for column in columns)
    values = [value for value in fit.values if not shown or value.label == LABELS[AS_READ]]
    return "".join(f"; {moved_value(fmt, value)}" for value in values)


def _both(fmt: UnitFormatter, said: Callable[[UnitFormatter], str]) -> str:
    """What said(fmt) gives in the build's unit, with the other beside it."""
    return f"{said(fmt)} ({said(_other(fmt))})"


def _other(fmt: UnitFormatter) -> UnitFormatter:
    return UnitFormatter("mm" if fmt.inch else "in")


def _arrow(was: str, now: str | None = None) -> str:
    return was if now is None or was == now else f"{was} → {now}"


def _gap(fmt: UnitFormatter, side: FitSnapshot) -> str:
    if side.clearance is None or side.expanded is None:
        return "no reading"
    return f"{fmt.plus_minus(side.clearance, side.expanded)} ({_other(fmt).clearance_text(side.clearance)})"


def _wanted(fmt: UnitFormatter, side: FitSnapshot) -> str:
    if side.want_low is None:
        return "not said"
    return _both(fmt, lambda unit: unit.range_text(side.want_low, side.want_high))


def _rule(fmt: UnitFormatter, was: FitSnapshot | None, now: FitSnapshot | None) -> str:
    """What the cited rule gives, where that moved."""
    if was is None or now is None:
        return ""
    gives = [fmt.range_text(side.rule_low, side.rule_high) for side in (was, now)]
    return f"; the rule gives {_arrow(*gives)}" if gives[0] != gives[1] else ""


def _conformity(side: FitSnapshot) -> str:
    return side.state if side.conformity in (None, side.state) else f"{side.state} ({side.conformity})"


def _hottest(fmt: UnitFormatter, sides: list[FitSnapshot]) -> str:
    """The least clearance hot, was and now; empty where no case was ever worked out."""
    if all(side.hot_least is None for side in sides):
        return ""
    return f"hot least {_arrow(*(_hot(fmt, side) for side in sides))}"


def _hot(fmt: UnitFormatter, side: FitSnapshot) -> str:
    least, case = side.hot_least, side.hot_case
    if least is None or case is None:
        return "none"
    return f"{_both(fmt, lambda unit: unit.clearance_text(least))}, {case.replace('_', ' ')}"


def subject_line(change: SubjectChange, most: int = 3) -> str:
    """What moved of something that is no fit, in words, without its causes. most: values that are told; the rest is counted."""
    fmt = UnitFormatter(change.units)
    called = CALLED.get(change.subject, change.subject)
    what = "" if called in ("feature", "calculation", "build") else f"{called} "
    name = change.name if change.subject in ("calculation", "danger") and change.name else change.id
    title = f" {change.name}" if change.name and change.subject == "feature" else ""
    head = f"{change.build} {what}{name}{title}".strip()
    alarm = f" {change.alarm.upper()}" if change.alarm else ""
    if change.alarm and change.limits is not None:
        alarm += f" of {fmt.limits_text(*change.limits)}"
    if change.alarm and change.held_against is not None and change.alarm.endswith("limit"):
        alarm += f" of {value_in_words(fmt, change.held_against, change.held_against.now)}"
    if change.is_new or change.is_gone:
        values = f"{'new' if change.is_new else 'gone'}: " + ", ".join(
            f"{value.label} {value_in_words(fmt, value, value.now if change.is_new else value.was)}"
            for value in change.values[:2]
        )
    else:
        values = ", ".join(moved_value(fmt, value) for value in change.values[:most])
    more = change.more + max(0, len(change.values) - most)
    return f"{head}:{alarm + ';' if alarm else ''} {values}" + (f" and {count(more, 'more value')}" if more else "")


def reading_line(reading: NewReading, several: bool) -> str:
    """A new reading: its value, place, gauge, who, and what was read there before."""
    fmt = UnitFormatter(reading.units)
    place = ", ".join(part for part in (reading.station and f"at {reading.station}", reading.angle) if part)
    words = f"{reading.build + ' ' if several else ''}{reading.row} {reading.of}{' ' + place if place else ''}: {reading.reads}"
    words += f" by {reading.by} with {reading.gauge}, {reading.date}"
    words += f", part / gauge {reading.temperatures}" if reading.temperatures else ", no temperatures"
    if reading.size is not None:
        words += f"; {fmt.size_text(reading.size)} at 20 °C"
    if reading.status not in (None, "current"):
        words += f"; {reading.status}"
    if reading.supersedes:
        words += f"; puts {reading.supersedes} right"
    before = reading.before
    if before is None:
        return words + "; nothing was read there before"
    change = ""
    if before.size is not None and reading.size is not None:
        change = f", {fmt.clearance_text(reading.size - before.size, sign=True)}"
    return words + f"; before: {before.reads} ({before.row}, {before.by}, {before.date}{change})"


def verdict_line(said: Verdict, several: bool) -> str:
    """What a person said: of a concession with what it lets stand and when it ends; with who committed it where that is
    another."""
    fmt = UnitFormatter(said.units)
    words = f"{said.build + ' ' if several else ''}{said.verdict} by {said.who}, {said.date}"
    words += f", on {' '.join(said.about)}" if said.about else ", on the build"
    if said.allow:
        words += f", lets {fmt.range_text(*said.allow)} stand"
    if said.ends:
        words += f", ends {said.ends}"
    if said.committed_by:
        words += f", COMMITTED BY {said.committed_by}"
    return words


def trouble(blocker: Blocker) -> str:
    """Something to put right, with its place."""
    return f"{blocker.file}:{blocker.line}:{blocker.column}: {blocker.says}"


def caution(slip_caution: Caution, several: bool) -> str:
    """A caution in words."""
    return (
        f"{slip_caution.build + ' ' if several else ''}{slip_caution.kind}, {slip_caution.about}: {slip_caution.says}"
    )


def work(change: WorkChange) -> str:
    """Work to go of a build, was and now."""
    if change.was is None:
        return f"{minutes(change.now)} to go in a new build"
    by = change.now - change.was
    if abs(by) < 0.5:
        return f"{minutes(change.now)} to go, as before"
    return f"{minutes(change.was)} → {minutes(change.now)} to go ({number(by, 0, sign=True)} min)"


def several_builds(slip: ReviewSlip) -> bool:
    """Whether the slip speaks of more than one build, so that each line has to name its own."""
    return len(slip.assessed) > 1


def blocker_lines(slip: ReviewSlip) -> list[tuple[str, str]]:
    """What comes before all numbers: (what, words)."""
    rows = []
    if slip.blockers:
        more = f" (and {len(slip.blockers) - 1} more)" if len(slip.blockers) > 1 else ""
        rows.append((f"{len(slip.blockers)} to put right before merging", trouble(slip.blockers[0]) + more))
    if slip.not_worked_out:
        rows.append(("Not worked out, nothing is said of", _some(slip.not_worked_out)))
    return rows


def told_line(told: ToldOtherwise, with_build: bool) -> str:
    """A number of the story that the records of its day do not say."""
    return f'{told.build + " " if with_build else ""}{told.instalment}, "{told.says}" tied to {told.about}: {told.why}'


def withdrawn_line(one: WithdrawnElsewhere, with_build: bool) -> str:
    """Something brought that was withdrawn where it came from, and what counts on it."""
    by = f" ({', '.join(one.used_by[:6])}{' …' if len(one.used_by) > 6 else ''})" if one.used_by else ""
    return f"{f'{one.build} ' if with_build and one.build else ''}{one.says}{by}"


def by_change(slip: ReviewSlip) -> dict[str, list[Newer]]:
    """What another version of the tool has otherwise, by what became of it."""
    changes: dict[str, list[Newer]] = {}
    for one in slip.newer:
        changes.setdefault(one.change, []).append(one)
    return changes


def newer_line(newer: Newer) -> str:
    """One of them, with whether it holds for this club."""
    return f"{newer.what} {newer.id}" + (" (the club has its own)" if newer.own else "")


def lines(slip: ReviewSlip) -> list[tuple[str, str]]:
    """What stands below the fits and the sizes: (what, words), one line each, only what there is."""
    several = several_builds(slip)

    def named(change, word: str) -> str:
        return f"{change.build} {word}" if several else word

    rows = []
    for note in slip.notes[:1]:
        more = f" (and {len(slip.notes) - 1} more)" if len(slip.notes) > 1 else ""
        rows.append(("Note", note + more))
    if slip.other_files:
        rows.append((f"Files outside the records ({len(slip.other_files)})", _some(slip.other_files, 5)))
    for what, cautions in (
        ("New cautions", slip.cautions_new),
        ("Cautions that say something else", slip.cautions_reworded),
        ("Cautions no longer watched for", slip.cautions_removed),
        ("Cleared cautions", slip.cautions_cleared),
    ):
        if cautions:
            rows.append((f"{what} ({len(cautions)})", _some([caution(one, several) for one in cautions])))
    for change, newer in by_change(slip).items():
        rows.append((f"{change.capitalize()} in the tool ({len(newer)})", _some([newer_line(one) for one in newer], 6)))
    if slip.told_otherwise:
        told = [told_line(one, several) for one in slip.told_otherwise]
        rows.append((f"Numbers told otherwise than the records ({len(told)})", _some(told, 2)))
    if slip.withdrawn_elsewhere:
        withdrawn = [withdrawn_line(one, several) for one in slip.withdrawn_elsewhere]
        rows.append((f"Withdrawn where it came from ({len(withdrawn)})", _some(withdrawn, 2)))
    if slip.readings:
        rows.append(
            (f"New readings ({len(slip.readings)})", _some([reading_line(one, several) for one in slip.readings], 2))
        )
    if slip.stale:
        rows.append(
            (
                f"Readings no longer valid ({len(slip.stale)})",
                _some([f"{named(one, one.row)} ({_why(one)})" for one in slip.stale], 8),
            )
        )
    if slip.reviews:
        rows.append(("Said by people", _some([verdict_line(one, several) for one in slip.reviews])))
    ready = [named(one, op) for one in slip.work for op in one.ready]
    lost = [named(one, op) for one in slip.work for op in one.no_longer_ready]
    if ready:
        rows.append(("Ready now", _some(ready, 6)))
    if lost:
        rows.append(("No longer ready", _some(lost, 6)))
    if slip.work:
        rows.append(("Work to go", _some([named(one, work(one)) for one in slip.work])))
    if slip.idle:
        rows.append(
            (
                f"Changed, and moves nothing ({len(slip.idle)})",
                _some([(one.build + " " if several and one.build else "") + one.says for one in slip.idle]),
            )
        )
    return rows


def _why(row: StaleReading) -> str:
    """Why a reading counts no more: of a withdrawn one in the words of who withdrew it."""
    return f"withdrawn: {row.why}" if row.status == "withdrawn" and row.why else row.status


def _some(words: list[str], most: int = NAMED_IN_SUMMARY) -> str:
    more = len(words) - most
    return "; ".join(words[:most]) + (f"; and {more} more" if more > 0 else "")
