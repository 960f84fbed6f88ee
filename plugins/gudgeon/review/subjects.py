"""What moved beside the fits, subject by subject: sizes, calculations, cuts, operations, instruments, times ..."""

from collections.abc import Callable, Iterable, Iterator

from gudgeon.assess.findings import BuildFindings, Note, Source
from gudgeon.ledger.comparison import Pair
from gudgeon.ledger.difference import Move
from gudgeon.ledger.values import below_subject, entry_name
from gudgeon.notes import in_words
from gudgeon.review.slip import FitSnapshot, MovedValue, SubjectChange
from gudgeon.wording import UnitFormatter

# Subjects that have a section of their own in the slip.
OWN_SECTION = ("fit", "reading", "mistake")
# Subject -> the values that tell it, the most telling first; of the others the first that moved are told.
TELLING = {
    "feature": ("state", "size", "expanded", "chance_below", "chance_above", "limits", "stock"),
    "calculation": ("value", "low", "high", "missing"),
    "danger": ("hit", "margin", "value", "limit"),
    "cut": ("next_ask", "next_divisions", "next_cut", "to_take", "scrap_after", "missing"),
    "operation": ("state", "expected_minutes", "waits_for", "hold_point"),
    "instrument": ("overdue", "scale"),
    "rule": ("low", "high", "within", "hot_least"),
    "ring": ("side_clearance", "back_clearance"),
    "build": ("next_jobs", "as_of"),
    "forecast": ("corrected_minutes", "evenings", "days"),
    "progress": ("expected_open", "share"),
}
ORDER = ("feature", "danger", "calculation", "cut", "operation", "instrument", "ring", "rule", "material")
LABELS = {
    "expanded": "U",
    "chance_below": "chance under the least",
    "chance_above": "chance over the most",
    "hit": "past it",
}
NOTE_TABLES = tuple(name for name in Note.model_fields if name not in ("code", "subject"))
ENDS = ("least", "most")  # of a range
CHANCES = ("at 50 %", "at 80 %")  # of the forecast
SIZES = (
    "size",
    "size_after",
    "target_low",
    "target_mid",
    "target_high",
    "mean",
    "least",
    "greatest",
    "pattern",
)  # lengths that are the size of something
TOLD = 4  # values of a subject that the slip holds
WORSE = {"in": 0, "reads in": 1, "reads out": 2, "out": 3}
Causes = Callable[..., tuple[list, bool]]


def fit_alarm(was: FitSnapshot | None, now: FitSnapshot | None) -> str | None:
    """Why somebody should look at a fit first; None where nothing turned for the worse."""
    if now is None:
        return "this fit is gone: nobody watches it any more"
    before = was.conformity if was else None
    if (
        now.state != "conceded"
        and now.conformity in ("out", "reads out")
        and WORSE[now.conformity] > WORSE.get(before or "in", 0)
    ):
        return f"now {now.conformity}"
    if now.look and not (was and was.look):
        return "now asks for a look"
    if was is not None and was.clearance is not None and now.clearance is None:
        return "no longer has a reading"
    return None


def subject_changes(pair: Pair, causes: Causes) -> Iterator[SubjectChange]:
    """Every subject but fits, readings, mistakes and verdicts of which a value moved, in a fixed order."""
    by_subject: dict[tuple[str, str], list[Move]] = {}
    for move in pair.moves.values():
        if not move.is_text and move.subject[0] not in OWN_SECTION:
            by_subject.setdefault(move.subject, []).append(move)

    def rank(subject: tuple[str, str]) -> tuple:
        return (ORDER.index(subject[0]) if subject[0] in ORDER else len(ORDER), subject)

    for subject in sorted(by_subject, key=rank):
        yield _change(pair, subject, by_subject[subject], causes)


def _change(pair: Pair, subject: tuple[str, str], moves: list[Move], causes: Causes) -> SubjectChange:
    kind, name = subject
    assert pair.found, "what moved is told of what was worked out"
    told = sorted((move for move in moves if not _inside_note(move)), key=lambda move: _telling(kind, move)) or moves
    main = next((move.address for move in told if move.by is not None), None)
    spread = (kind, name, "expanded")
    entry = _entry(pair.found, kind, name) or _entry(pair.found_was, kind, name)
    source = getattr(entry, "source", None)
    fmt = UnitFormatter(pair.found.units)
    values = [_value(move, entry, _entry(pair.found_was, kind, name), fmt) for move in told]
    leading = next((value.kind for value, move in zip(values, told, strict=True) if move.address == main), "length")
    proved, unproved = causes(moves, main, spread if main != spread else None, leading)
    return SubjectChange(
        build=pair.name,
        subject=kind,
        id=name,
        name=str(getattr(entry, "name", None) or getattr(entry, "gives", None) or getattr(entry, "does", None) or ""),
        units=pair.found.units,
        is_new=all(move.new for move in moves),
        is_gone=all(move.gone for move in moves),
        alarm=_alarm(kind, moves, entry),
        values=values[:TOLD],
        more=max(0, len(moves) - TOLD),
        causes=proved,
        unproved=unproved,
        source=source if isinstance(source, Source) else None,
    )


def _inside_note(move: Move) -> bool:
    """Whether a value is one of those that a note's sentence is made of: the sentence tells it."""
    *above, last = move.address
    return last == "subject" or (len(above) > 3 and above[-1] in NOTE_TABLES)


def _telling(subject: str, move: Move) -> tuple:
    """How much a value tells of its subject: the smaller the more."""
    part = below_subject(move.address)[0]
    names = TELLING.get(subject, ())
    return (names.index(part) if part in names else len(names), len(move.address), move.address)


def _entry(found: BuildFindings | None, subject: str, name: str):
    """The finding that a subject stands for."""
    if found is None:
        return None
    stores = {
        "feature": found.features,
        "operation": found.operations,
        "instrument": found.gauges,
        "material": found.metals,
    }
    if subject in stores:
        return stores[subject].get(name)
    lists: dict[str, Iterable] = {
        "calculation": found.calculations,
        "danger": found.dangers,
        "cut": found.cut_plans,
        "rule": found.rules,
    }
    for entry in lists.get(subject, ()):
        if entry_name(entry) == name:
            return entry
    return None


def _value(move: Move, entry, entry_was, fmt: UnitFormatter) -> MovedValue:
    parts = below_subject(move.address)
    last = parts[-1]
    if last == "code" and len(parts) > 2:
        return _note(move, entry, entry_was, fmt, parts[0])
    words = [LABELS.get(part, part.replace("_", " ")) for part in parts]
    if last in ("0", "1") and len(parts) > 1:
        words[-1] = (CHANCES if move.address[0] == "forecast" else ENDS)[int(last)]
    return MovedValue(
        label=" ".join(words),
        kind=_kind(move, entry, parts),
        was=_plain(move.was),
        now=_plain(move.now),
    )


def _note(move: Move, entry, entry_was, fmt: UnitFormatter, field: str) -> MovedValue:
    """A note that came, went or says something else, by its sentence."""

    def sentence(of, code) -> str | None:
        notes = getattr(of, field, None) or ()
        note = next((note for note in notes if getattr(note, "code", None) == code), None)
        return in_words(note, fmt) if note is not None else None if code is None else str(code)

    label = field.removesuffix("s") if field != "usual" else "taken as usual"
    return MovedValue(label=label, kind="words", was=sentence(entry_was, move.was), now=sentence(entry, move.now))


def _kind(move: Move, entry, parts: tuple[str, ...]) -> str:
    """The kind of a moved value; of a number in a calculation the kind of quantity that stands beside it."""
    if move.kind.name != "number":
        is_size = parts[-1] in SIZES or parts[0] == "limits"
        return "size" if is_size and move.kind.name == "length" else move.kind.name
    term = next(
        (term for term in getattr(entry, "terms", ()) if parts[0] == "terms" and term.argument == parts[1]), entry
    )
    return getattr(term, "kind", "number")


def _plain(value):
    return [str(entry) for entry in value] if isinstance(value, tuple) else value


def _alarm(subject: str, moves: list[Move], entry) -> str | None:
    """What turned for the worse. A feature without limits of its own stands as its fit does: the fit tells it."""
    if subject == "feature" and getattr(entry, "limits", None) is None:
        return None
    for move in moves:
        last = move.address[-1]
        judged = subject in ("feature", "ring") and last in ("state", "conformity")
        if judged and move.now in ("out", "reads out") and WORSE[move.now] > WORSE.get(move.was, 0):
            return f"now {move.now}"
        if subject == "operation" and last == "state" and move.now == "blocked":
            return "now blocked"
        if subject == "danger" and last == "hit" and move.now is True:
            return "now past its limit"
        if subject == "instrument" and last == "overdue" and move.now is True:
            return "now overdue for its check"
    return None
