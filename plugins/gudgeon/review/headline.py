"""The one line that heads a slip: everything a reviewer has to know of, counted, what matters most first."""

from collections import Counter

from gudgeon.review.slip import ReviewSlip

COUNTED = {"feature": "size", "calculation": "sum", "cut": "cut", "danger": "danger"}  # told one by one in the headline
CALLED = {"found off": "instrument"}  # subject -> what it is, where its name says what became of it


def headline(slip: ReviewSlip) -> str:
    """What matters most, counted: what is to be put right, what was not worked out, what turned for the worse, what moved."""
    if slip.nothing_moved:
        outside = f" {_told_otherwise(slip)}." if slip.told_otherwise else ""
        if slip.withdrawn_elsewhere:
            outside += f" {_withdrawn_elsewhere(slip)}."
        outside += f" {count(len(slip.other_files), 'file')} outside the records." if slip.other_files else ""
        if slip.cautions_reworded or slip.cautions_removed:
            changed = count(len(slip.cautions_reworded) + len(slip.cautions_removed), "caution")
            return f"{changed} reworded or removed. No number moves.{outside}"
        if slip.readings or slip.reviews or slip.idle or slip.files:
            return f"No number moves. {count(slip.files, 'file')} of records differ.{outside}"
        return f"No number moves. The records are the same.{outside}"
    conflicts = sum(1 for blocker in slip.blockers if blocker.kind == "merge conflict")
    words = [f"{count(conflicts, 'file')} in conflict with the main branch"] if conflicts else []
    others = len(slip.blockers) - conflicts
    words += [f"{count(others, 'thing')} to put right before merging"] if others else []
    if slip.not_worked_out:
        words.append(f"{count(len(slip.not_worked_out), 'build')} not worked out")
    words += [count(slip.new_builds, "new build")] if slip.new_builds else []
    words += _turned_for_the_worse(slip)
    if len(slip.assessed) > slip.new_builds or slip.fits or slip.subjects:
        words += _counts(slip)
    words += [f"{count(len(slip.readings), 'new reading')}"] if slip.readings else []
    words += _beside_the_numbers(slip)
    first = ", ".join(words or ["nothing was compared"])
    return first[:1].upper() + first[1:] + "."


def _turned_for_the_worse(slip: ReviewSlip) -> list[str]:
    """Alarms by what they say, each counted; "to look at" stands with the fits that moved."""
    alarms = Counter(
        ("fit", "gone" if fit.now is None else fit.alarm)
        for fit in slip.fits
        if fit.alarm and fit.alarm != "now asks for a look"
    )
    alarms += Counter(
        (COUNTED.get(change.subject) or CALLED.get(change.subject, change.subject), change.alarm)
        for change in slip.subjects
        if change.alarm
    )
    out: Counter[str] = Counter()
    for (word, alarm), times in alarms.items():
        if alarm in ("now out", "now reads out"):
            out[word] += times
    words = [f"{count(times, word)} WENT OUT" for word, times in out.items()]
    return words + [
        f"{count(times, word)} {alarm.upper()}"
        for (word, alarm), times in alarms.items()
        if alarm not in ("now out", "now reads out")
    ]


def _beside_the_numbers(slip: ReviewSlip) -> list[str]:
    """What a reviewer has to know of beside what moved, counted."""
    held_back = sum(1 for reading in slip.readings if reading.status == "held back")
    changed = len(slip.cautions_reworded) + len(slip.cautions_removed)
    counted = (
        (held_back, f"{held_back} of them held back"),
        (len(slip.stale), f"{count(len(slip.stale), 'reading')} no longer valid"),
        (len(slip.cautions_new), count(len(slip.cautions_new), "new caution")),
        (changed, f"{count(changed, 'caution')} reworded or removed"),
        (len(slip.told_otherwise), _told_otherwise(slip)),
        (len(slip.withdrawn_elsewhere), _withdrawn_elsewhere(slip)),
        (len(slip.other_files), f"{count(len(slip.other_files), 'file')} outside the records"),
    )
    return [words for number_of, words in counted if number_of]


def _told_otherwise(slip: ReviewSlip) -> str:
    return f"{count(len(slip.told_otherwise), 'number')} told otherwise than the records"


def _withdrawn_elsewhere(slip: ReviewSlip) -> str:
    return f"{count(len(slip.withdrawn_elsewhere), 'notice')} of withdrawal elsewhere"


def _counts(slip: ReviewSlip) -> list[str]:
    looks = sum(1 for fit in slip.fits if fit.now and fit.now.look)
    words = [f"{count(len(slip.fits), 'fit')} moved" if slip.fits else "no fit moved"]
    words += [f"{looks} to look at"] if looks else []
    for subject, word in COUNTED.items():
        moved = sum(1 for change in slip.subjects if change.subject == subject and not change.quiet)
        words += [f"{count(moved, word)} moved"] if moved else []
    others = sum(1 for change in slip.subjects if change.subject not in COUNTED and not change.quiet)
    words += [f"{others} other{'' if others == 1 else 's'}"] if others else []
    return words


def count(number_of: int, what: str) -> str:
    """A count with its word."""
    return f"{number_of} {what}{'' if number_of == 1 else 's'}"
