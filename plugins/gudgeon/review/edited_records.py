"""A record that differs between two revisions, in words."""

from collections.abc import Iterable

from gudgeon_calc.units import Measure

from gudgeon.records.base import Record
from gudgeon.records.build_file import FoundOff
from gudgeon.records.edits import LISTS, WITHDRAWAL, Edit, differing, rows_by_id
from gudgeon.records.model import Build
from gudgeon.records.readings import Row
from gudgeon.records.rule_forms import Form
from gudgeon.records.rule_words import form

NOT_READ = ("note", "photo")  # said beside a reading, not part of it: may be added later, not changed
LONGEST_TEXT = 160  # of a sentence
LONGEST = 50  # characters of a value that is told


def in_words(edit: Edit, now: Build) -> str:
    """What became of a record, with what it was and is where that is short."""
    was, here = edit.was, edit.now
    if edit.what == "reading":
        return _reading(edit, now)
    if edit.what == WITHDRAWAL:
        row = here or was
        return f"{'' if here else 'removed: '}{row.id} withdraws {row.withdraws} ({row.because})"
    if edit.what == "verdict":
        return " ".join(
            f"{'' if here else 'removed: '}{(here or was).verdict} by {(here or was).who}, {(here or was).date}".split()
        )
    if edit.what == LISTS["review_withdrawals"]:
        withdrawal = here or was
        return f"{'' if here else 'removed: '}{withdrawal.who} withdraws the verdict {withdrawal.withdraws}, {withdrawal.date}"
    if edit.what == "cut":
        cut = here or was
        dialled = f"{cut.asked} dialled" if cut.asked.value else "spring cut"
        got = f", took {cut.got}" if cut.got is not None else ""
        return f"{'new cut' if here else 'a cut is gone'}: {cut.of}, {cut.date}, {dialled}{got}"
    if edit.what == LISTS["cut_withdrawals"]:
        withdrawal = here or was
        return f"{'' if here else 'removed: '}the cut {withdrawal.withdraws} withdrawn, {withdrawal.date}"
    if edit.what == LISTS["runs"]:
        return f"{'new run' if here else 'a run is gone'}: {(here or was).date}, {(here or was).hours}"
    if edit.what == LISTS["run_withdrawals"]:
        withdrawal = here or was
        return f"{'' if here else 'removed: '}the run {withdrawal.withdraws} withdrawn, {withdrawal.date}"
    if edit.what == LISTS["outcomes"]:
        outcome = here or was
        ran = f" after {outcome.hours}" if outcome.hours is not None else ""
        said = f"{outcome.about} {outcome.result.replace('_', ' ')}{ran}, said by {outcome.by}"
        return f"{'new outcome' if here else 'an outcome is gone'}: {outcome.date}, {said}"
    if edit.what == LISTS["outcome_withdrawals"]:
        withdrawal = here or was
        return f"{'' if here else 'removed: '}the outcome {withdrawal.withdraws} withdrawn, {withdrawal.date}"
    if edit.what == "operation" and was is not None and here is not None and was.done is None and here.done is not None:
        return f"operation {edit.id} done {here.done}"
    what = {"feature": "spec", "engine": "engine's", "build": "build.yaml:"}.get(edit.what, edit.what)
    if edit.what in ("engine", "build", "knowledge"):
        return f"{what} {edit.id.replace('_', ' ')}{_arrow(was, here)}"
    if was is None:
        return f"new {what} {edit.id}"
    if here is None:
        return f"{what} {edit.id} is gone"
    fields = [field for field in edit.fields if field != "features"]
    return f"{what} {edit.id}: {', '.join(field_in_words(was, here, field) for field in fields) or 'its text'}"


def name_in_words(edit: Edit) -> str:
    """A record by its name; one without an id by its day and what it says."""
    record = edit.now or edit.was
    if edit.what == "cut":
        return f"cut {record.id}" if record.id else record.label
    if edit.what == LISTS["runs"]:
        return f"run {record.id or f'of {record.date}'}"
    if edit.what == LISTS["outcomes"]:
        return f"outcome {record.id or f'of {record.about}, {record.date}'}"
    if edit.what == LISTS["reviews"]:
        return f"verdict {record.id or f'of {record.who}, {record.date}'}"
    if edit.what in LISTS.values():
        return f"{edit.what.replace(' a ', ' the ')} {record.withdraws}"
    return f"{edit.what} {edit.id}"


def _reading(edit: Edit, now: Build) -> str:
    was, row = edit.was, edit.now
    if row is None:
        return f"reading {edit.id} is gone"
    if was is not None:
        fields = ", ".join(field_in_words(was, row, field) for field in edit.fields)
        return f"reading {edit.id}: {fields}"
    says = f"new reading {edit.id}"
    if row.supersedes:
        other: Row | None = rows_by_id(now).get(row.supersedes)
        differs = [
            field for field in differing(other, row) if field not in (*NOT_READ, "id", "supersedes", "by", "date")
        ]
        says += f", puts {row.supersedes} right"
        if other is not None and differs:
            says += f" ({', '.join(field_in_words(other, row, field) for field in differs)})"
    return says


def field_in_words(before: Record, after: Record, field: str) -> str:
    """A field with what it was and is, where both are short."""
    if field == "formerly" and (names := getattr(after, field)):
        return f"called {', '.join(names)} before"
    if isinstance(getattr(after, field), FoundOff) and getattr(before, field) is None:
        return f"found off ({_short(getattr(after, field))})"
    if isinstance(before, Row) and isinstance(after, Row) and field == "reads":
        return f"reads {reads_in_words(before.reads)} → {reads_in_words(after.reads)}"
    return field.replace("_", " ") + _arrow(getattr(before, field), getattr(after, field))


def reads_in_words(reads: Iterable[Measure]) -> str:
    """Readings as they are written in a row: a unit that all have stands once, behind the last."""
    reads = list(reads)
    units = {reading.unit for reading in reads}
    texts = [str(reading) for reading in reads]
    if len(units) == 1 and (unit := f" {units.pop()}") and all(text.endswith(unit) for text in texts):
        texts = [text.removesuffix(unit) for text in texts[:-1]] + texts[-1:]
    return " ".join(texts) or "nothing"


def text_in_words(before: Record, after: Record, field: str) -> str:
    """A field that holds sentences, with what it said and says between quotes: nobody sees else where one ends."""
    sides = [_short(getattr(record, field), LONGEST_TEXT) for record in (before, after)]
    said = " → ".join(f'"{side}"' for side in sides) if all(sides) else "says something else"
    return f"{field.replace('_', ' ')}: {said}"


def _arrow(before, after) -> str:
    old, new = _short(before), _short(after)
    return f" {old} → {new}" if old and new else ""


def _short(value, longest: int = LONGEST) -> str | None:
    if isinstance(value, Form):
        text, longest = form(value), LONGEST_TEXT  # a rule in steps is a long saying
    elif isinstance(value, FoundOff):
        way = "low" if value.reads_high.value < 0 else "high"
        text = f"reads {str(value.reads_high).lstrip('-−')} {way}, {value.found}"
    elif isinstance(value, tuple):
        texts = [_short(entry) for entry in value]
        text = " to ".join(entry for entry in texts if entry) if len(texts) < 3 and all(texts) else None
    elif isinstance(value, (dict, Record)):
        return None
    elif isinstance(value, float) and 0 < abs(value) < 1e-3:
        text = f"{value * 1e6:g}e-6"  # an expansion, as its file has it
    else:
        text = "nothing" if value is None else str(value)
    return text if text and len(text) <= longest else None
