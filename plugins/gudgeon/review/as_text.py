"""The review slip for a terminal."""

from collections.abc import Callable

from gudgeon.review.headline import count, headline
from gudgeon.review.phrases import (
    WITH_ANY,
    FitLine,
    blocker_lines,
    by_change,
    causes_in_words,
    caution,
    fit_line,
    folded,
    in_order,
    lines,
    newer_line,
    reading_line,
    subject_line,
    subjects_in_order,
    told_alone,
    told_line,
    trouble,
    verdict_line,
    withdrawn_line,
    work,
)
from gudgeon.review.slip import ReviewSlip, SubjectChange
from gudgeon.wording import UnitFormatter

MOST = 15  # lines of a slip in a terminal
NAMED_AS_CAUSE = 3


def plain(text: str, role: str) -> str:
    """No colour."""
    return text


def tone(slip: ReviewSlip) -> str:
    """How the headline is to look: good only where nothing is amiss."""
    if slip.blockers or slip.not_worked_out or any(change.alarm for change in (*slip.fits, *slip.subjects)):
        return "bad"
    if (
        slip.cautions_new
        or slip.cautions_removed
        or slip.cautions_reworded
        or slip.told_otherwise
        or slip.withdrawn_elsewhere
        or any(fit.now and fit.now.look for fit in slip.fits)
    ):
        return "look"
    return "good"


def slip_text(slip: ReviewSlip, paint: Callable[[str, str], str] = plain) -> str:
    """The slip in at most 15 lines. paint(text, role): colours a text; role is bad, look, good or quiet."""
    above, below = blocker_lines(slip), lines(slip)
    head = [f"{slip.head} against {slip.base}", paint(headline(slip), tone(slip))]
    head += [f"{paint(what, 'bad')}: {words}" for what, words in above]
    room = max(MOST - len(head), 0)
    # What turned for the worse, then fits, then the other subjects; what stands below keeps at least a third of the room.
    alone, with_any = told_alone(slip), folded(slip)
    below = below[: max(room // 3, room - 2 * len(slip.fits) - len(alone) - bool(with_any))]
    room -= len(below)
    middle: list[str] = []
    entries = [
        *((not change.alarm, 1, _subject_text(change, paint)) for change in alone),
        *((not fit.alarm, 0, _two_lines(fit_line(fit, full=False), paint)) for fit in in_order(slip)),
    ]
    entries += [(True, 2, [f"{paint(WITH_ANY, 'quiet')}: {with_any}"])] if with_any else []
    entries.sort(key=lambda entry: entry[:2])
    for index, (_, _, texts) in enumerate(entries):
        left = len(entries) - index
        if len(middle) + len(texts) + (1 if left > 1 else 0) > room:
            middle.append(f"{count(left, 'more change')}: --details shows them all")
            break
        middle += texts
    return "\n".join([*head, *middle, *(f"{paint(what, 'quiet')}: {words}" for what, words in below)][:MOST]) + "\n"


def details_text(slip: ReviewSlip, paint: Callable[[str, str], str] = plain) -> str:
    """Everything, a line each."""
    out = []
    for title, items in sections(slip):
        if items:
            out += ["", paint(title, "quiet"), *(f"  {item}" for item in items)]
    return "\n".join(out).lstrip("\n") + ("\n" if out else "")


def sections(slip: ReviewSlip) -> list[tuple[str, list[str]]]:
    """(title, lines) of the full detail."""
    fits = [line for fit in in_order(slip) for line in _all(fit_line(fit))]
    first, *others = other_sections(slip)
    return [first, ("Fits", fits), *others]


def other_sections(slip: ReviewSlip) -> list[tuple[str, list[str]]]:
    """(title, lines) of the full detail without the fits."""
    return [
        ("To put right before merging", [trouble(blocker) for blocker in slip.blockers]),
        ("Not worked out", slip.not_worked_out),
        ("Notes", slip.notes),
        (
            "Sizes, sums, cuts and the rest",
            [
                f"{subject_line(change)}{_at(change)}; cause: {subject_causes(change)}"
                for change in subjects_in_order(slip)
            ],
        ),
        *(
            (f"{change.capitalize()} in the tool", [newer_line(one) for one in newer])
            for change, newer in by_change(slip).items()
        ),
        ("New readings", [reading_line(reading, True) + _at(reading) for reading in slip.readings]),
        ("New cautions", [caution(one, True) + _at(one) for one in slip.cautions_new]),
        ("Cautions that say something else", [caution(one, True) + _at(one) for one in slip.cautions_reworded]),
        ("Cautions no longer watched for", [caution(one, True) + _at(one) for one in slip.cautions_removed]),
        ("Cleared cautions", [caution(one, True) + _at(one) for one in slip.cautions_cleared]),
        (
            "Readings no longer valid",
            [f"{one.build} {one.row}: {one.of}, {one.status}: {one.why}{_at(one)}" for one in slip.stale],
        ),
        (
            "Work to go",
            [
                f"{one.build}: {work(one)}{'; ready now: ' + ', '.join(one.ready) if one.ready else ''}"
                f"{'; no longer ready: ' + ', '.join(one.no_longer_ready) if one.no_longer_ready else ''}"
                for one in slip.work
            ],
        ),
        ("Said by people", [f"{verdict_line(said, True)}. {said.says}" for said in slip.reviews]),
        ("Numbers told otherwise than the records", [told_line(one, True) + _at(one) for one in slip.told_otherwise]),
        ("Withdrawn where it came from", [withdrawn_line(one, True) for one in slip.withdrawn_elsewhere]),
        (
            "Changed, and moves no number",
            [
                f"{one.build or 'shared'}: {one.says}{'; a text that is shown differs' if one.text else ''}{_at(one)}"
                for one in slip.idle
            ],
        ),
        ("Files outside the records", slip.other_files),
        ("Builds worked out for this", [", ".join(slip.assessed)] if slip.assessed else []),
    ]


def subject_causes(change: SubjectChange, most: int = 99) -> str:
    """The records that moved a subject, in words."""
    if change.causes or change.unproved:
        return causes_in_words(UnitFormatter(change.units), change.causes, change.unproved, most)
    return "not worked out which of the changed records"


def _at(entry) -> str:
    return f" ({entry.source.file}:{entry.source.line})" if entry.source else ""


def _places(line: FitLine) -> str:
    return "; ".join(words for words, _ in line.at)


def _subject_text(change: SubjectChange, paint) -> list[str]:
    text = f"{subject_line(change)}; cause: {subject_causes(change, NAMED_AS_CAUSE)}"
    return [paint(text, "bad") if change.alarm else text]


def _two_lines(line: FitLine, paint) -> list[str]:
    fit = line.fit
    name = f"{fit.build} {fit.id} {fit.name}"
    alarm = f" {fit.alarm.upper()};" if fit.alarm else ""
    role = "bad" if fit.alarm else "look" if fit.now and fit.now.look else "good"
    return [
        f"{paint(name, role)}:{alarm} {line.moved}; should have {line.wanted}; {line.place}; chance out {line.probability}",
        f"    at {_places(line)}{'; ' + line.hot if line.hot else ''}; cause: {line.cause}",
    ]


def _all(line: FitLine) -> list[str]:
    fit = line.fit
    return [
        f"{fit.build} {fit.id} {fit.name}{_at(fit)}{': ' + fit.alarm if fit.alarm else ''}",
        f"  clearance {line.moved}",
        f"  should have {line.wanted}; {line.place}; chance out {line.probability}",
        f"  at {_places(line)}",
        *([f"  {line.hot}"] if line.hot else []),
        f"  cause: {line.cause}",
        *(f"  moved: {', '.join(fit.moved)}" for _ in range(1 if fit.moved and fit.was and fit.now else 0)),
    ]
