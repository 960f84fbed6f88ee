"""What moved beside the fits, subject by subject: sizes, calculations, cuts, operations, instruments, times ..."""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from gudgeon.assess.findings import AsRead, BuildFindings, Calculation, DangerFinding, Finding, Note, Source
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
    # Of a fit what the slip shows beside its clearance: of the rest, what is known to be off, then the loosest and tightest.
    "fit": ("as_read", "short_by", "loosest", "tightest", "target", "hot", "by_limits", "class_low", "class_high"),
    "feature": (
        "state",
        "size",
        "form least size",
        "form greatest size",
        "expanded",
        "chance_below",
        "chance_above",
        "limits",
        "as_read",
        "missing_cells",
        "advice",
        "form",
        "stock",
    ),
    "calculation": ("value", "low", "high", "missing", "outside"),
    "danger": ("value", "state", "limit", "chance", "low", "high", "missing", "margin", "hit"),
    "cut": ("next_ask", "next_divisions", "next_cut", "to_take", "scrap_after", "missing"),
    "operation": ("state", "expected_minutes", "waits_for", "hold_point"),
    "instrument": ("overdue", "scale"),
    "due date": ("state", "day", "at", "run"),
    "found off": ("reads_high", "features", "moves", "cancels", "rows"),
    "outcome": ("result", "counts", "minutes", "clearance", "rule"),
    "rule": ("low", "high", "within", "hot_least"),
    "ring": ("side_clearance", "back_clearance"),
    "build": ("next_jobs", "as_of"),
    "forecast": ("corrected_minutes", "evenings", "days"),
    "progress": ("expected_open", "share"),
}
ORDER = ("found off", "feature", "danger", "calculation", "cut", "operation", "instrument", "ring", "rule", "material")
# Subject -> values that move with any reading or input and by themselves say nothing to a reviewer: who sees only those is told last.
QUIET = {"calculation": ("terms",), "instrument": ("rows",), "build": ("as_of",)}
# Values of a fit that the slip has a column for.
SHOWN_OF_A_FIT = (
    *("state", "conformity", "clearance", "expanded", "want_low", "want_high", "rule_low", "rule_high"),
    *("chance_inside", "chance_tight", "chance_loose", "hole_at", "shaft_at", "look"),
)
AS_READ = "as_read"  # a result before the known errors of instruments found off were taken out of it
LABELS = {
    AS_READ: "was read",
    "form least size": "least place",
    "form greatest size": "greatest place",
    "mapped": "has a map",
    "expanded": "U",
    "chance_below": "chance under the least",
    "chance_above": "chance over the most",
    "hit": "past it",
}
ENDS = ("least", "most")  # of a range
CHANCES = ("at 50 %", "at 80 %")  # of the forecast
SIZES = (
    "size",
    "size_after",
    "target_low",
    "target_mid",
    "turn_to",
    "target_high",
    "mean",
    "least",
    "greatest",
    "pattern",
)  # lengths that are the size of something
TOLD_OF_A_FIT = 2  # values that the slip holds beside those that it has columns for
TOLD = 4  # values of a subject that the slip holds
WORSE = {"in": 0, "reads in": 1, "reads out": 2, "out": 3}
FROM_THE_FIGURE = ("margin", "hit")  # values of a danger that follow from its figure, its limit and its state
DANGER_ALARMS = {
    "past": "now past the limit",
    "may be past": "may now be past the limit",
    "not worked out": "no longer worked out",
}
Causes = Callable[..., tuple[list, bool]]


def fit_alarm(was: FitSnapshot | None, now: FitSnapshot | None) -> str | None:
    """Why somebody should look at a fit first; None where nothing turned for the worse."""
    if now is None:
        return "this fit is gone: nobody watches it any more"
    before, after = (_judged(side) for side in (was, now))
    if after in ("out", "reads out") and WORSE[after] > WORSE[before]:
        return f"now {after}"
    if now.look and not (was and was.look):
        return "now asks for a look"
    if was is not None and was.clearance is not None and now.clearance is None:
        return "no longer has a reading"
    return None


def _judged(side: FitSnapshot | None) -> str:
    """How a fit stands against what it wants; "in" too where nothing can be held against it: with metal still on, or conceded."""
    if side is None or side.conformity is None or side.state in ("metal on", "conceded"):
        return "in"
    return side.conformity


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


def fit_values(pair: Pair, fit_id: str, moves: list[Move]) -> list[MovedValue]:
    """What moved of a fit that no column of the slip shows."""
    assert pair.found, "what moved is told of what was worked out"
    now, was = (findings.fits.get(fit_id) if findings else None for findings in (pair.found, pair.found_was))
    told = [move for move in moves if says_something(move) and below_subject(move.address)[0] not in SHOWN_OF_A_FIT]
    # Its history only repeats what moved, where something else did.
    told = [move for move in told if below_subject(move.address)[0] != "moves"] or told
    told.sort(key=lambda move: telling_order("fit", move))
    return list(_values(_by_what_tells(told, was, now), was, now, UnitFormatter(pair.found.units)).values())[
        :TOLD_OF_A_FIT
    ]


def _change(pair: Pair, subject: tuple[str, str], moves: list[Move], causes: Causes) -> SubjectChange:
    kind, name = subject
    assert pair.found, "what moved is told of what was worked out"
    entry_was, entry_now = _entry(pair.found_was, kind, name), _entry(pair.found, kind, name)
    entry = entry_now or entry_was
    telling = (
        sorted((move for move in moves if says_something(move)), key=lambda move: telling_order(kind, move)) or moves
    )
    alarm = alarm_of(kind, moves, getattr(entry, "limits", None) is not None)
    if kind == "danger":  # an alarm says the state
        repeated = (*FROM_THE_FIGURE, "state") if alarm else FROM_THE_FIGURE
        telling = [move for move in telling if below_subject(move.address)[0] not in repeated] or telling
    told = _by_what_tells(_without_twins(telling) if kind == "feature" else telling, entry_was, entry_now)
    main = next((address for address, move in told.items() if address == move.address and move.by is not None), None)
    spread = (kind, name, "expanded")
    source = getattr(entry, "source", None)
    shown = {address: move for place, (address, move) in enumerate(told.items()) if place < TOLD or address == main}
    values = _values(shown, entry_was, entry_now, UnitFormatter(pair.found.units))
    leading = values[main].kind if main else "length"
    proved, unproved = causes(moves, main, spread if main != spread else None, leading)
    return SubjectChange(
        build=pair.name,
        subject=kind,
        id=name,
        name=_called(entry),
        units=pair.found.units,
        # What has no name there is one of in every build; and what only gained a note or lost one is neither new nor gone.
        is_new=bool(name) and entry_was is None and all(move.new for move in moves),
        is_gone=bool(name) and entry_now is None and all(move.gone for move in moves),
        alarm=alarm,
        quiet=all(below_subject(move.address)[0] in QUIET.get(kind, ()) for move in moves),
        limits=getattr(entry, "limits", None) if kind == "feature" else None,
        held_against=MovedValue(label="limit", kind=entry.kind, was=entry_was and entry_was.limit, now=entry.limit)
        if isinstance(entry, DangerFinding)
        else None,
        values=list(values.values())[:TOLD],
        more=max(0, len(told) - TOLD),
        causes=proved,
        unproved=unproved,
        source=source if isinstance(source, Source) else None,
    )


def _called(entry: Finding | None) -> str:
    """What a subject is called: of a sum or a danger with its part, for two rings have one each."""
    name = getattr(entry, "name", None) or getattr(entry, "gives", None) or getattr(entry, "does", None) or ""
    part = getattr(entry, "part", None) if isinstance(entry, Calculation | DangerFinding) else None
    return f"{name} ({part})" if part else str(name)


Lists = dict[
    int, dict[str, Finding]
]  # of each list of findings that was looked into, by its identity: its entries by name


def address_told(move: Move, *entries: Finding | None, lists: Lists) -> tuple[str, ...]:
    """The address of what tells a value: the note, or what was read, that it is part of, or else its own. entries: its subject,
    then and now. lists: of these entries; a list of a thousand is looked through once and not for each value in it."""
    parts = below_subject(move.address)
    for entry in entries:
        for depth in range(1, len(parts) + 1):
            if isinstance(_at(entry, parts[:depth], lists), Note | AsRead):
                return move.address[: len(move.address) - len(parts) + depth]
    return move.address


def _at(entry: Finding | None, parts: tuple[str, ...], lists: Lists) -> Any:
    """What stands at an address in an entry; None where nothing does."""
    here: Any = entry
    for part in parts:
        if isinstance(here, tuple):
            if id(here) not in lists:
                named = [(entry_name(one), one) for one in here if isinstance(one, Finding)]
                lists[id(here)] = dict(reversed(named))  # of two of one name the first
            here = lists[id(here)].get(part)
        else:
            here = here.get(part) if isinstance(here, dict) else getattr(here, part, None)
    return here


def _by_what_tells(moves: list[Move], *entries: Finding | None) -> dict[tuple[str, ...], Move]:
    """What is shown -> the first value that moved in it; a note is one thing."""
    told: dict[tuple[str, ...], Move] = {}
    lists: Lists = {}
    for move in moves:
        told.setdefault(address_told(move, *entries, lists=lists), move)
    return told


def _without_twins(told: list[Move]) -> list[Move]:
    """Of a feature's values those that repeat its size last: its least or greatest place is the size that decides."""
    size = next((move for move in told if below_subject(move.address) == ("size",)), None)
    twins = [
        move
        for move in told
        if size is not None and move is not size and (move.kind, move.was, move.now) == (size.kind, size.was, size.now)
    ]
    return [move for move in told if not any(move is twin for twin in twins)] + twins


def _values(
    told: dict[tuple[str, ...], Move], entry_was: Finding | None, entry_now: Finding | None, fmt: UnitFormatter
) -> dict[tuple[str, ...], MovedValue]:
    """What is shown of each, by its address."""
    return {
        address: _value(move, entry_now or entry_was, fmt)
        if address == move.address
        else _read_value(entry_was, entry_now, fmt)
        if below_subject(address) == (AS_READ,)
        else _note_value(below_subject(address), entry_was, entry_now, fmt)
        for address, move in told.items()
    }


def says_something(move: Move) -> bool:
    """Whether a value says something: one that came or went and held nothing does not."""
    return not (move.was is None and move.now is None)


def telling_order(subject: str, move: Move) -> tuple:
    """How much a value tells of its subject: the smaller the more."""
    parts = below_subject(move.address)
    names = TELLING.get(subject, ())
    told = next((name for name in (" ".join(parts), parts[0]) if name in names), None)
    return (names.index(told) if told else len(names), len(move.address), move.address)


def _entry(findings: BuildFindings | None, subject: str, name: str):
    """The finding that a subject stands for."""
    if findings is None:
        return None
    stores = {
        "feature": findings.features,
        "operation": findings.operations,
        "instrument": findings.gauges,
        "material": findings.metals,
    }
    if subject in stores:
        return stores[subject].get(name)
    lists: dict[str, Iterable] = {
        "calculation": findings.calculations,
        "danger": findings.dangers,
        "cut": findings.cut_plans,
        "rule": findings.rules,
        "outcome": findings.outcomes,
    }
    for entry in lists.get(subject, ()):
        if entry_name(entry) == name:
            return entry
    return None


def _value(move: Move, entry, fmt: UnitFormatter) -> MovedValue:
    parts = below_subject(move.address)
    last = parts[-1]
    words = [LABELS.get(part, part.replace("_", " ")) for part in parts]
    term = _term(entry, parts)
    if term is not None:
        words[:2] = [f"with {term.name}"]
        words = words[:1] if last == "value" else words
    if last in ("0", "1") and len(parts) > 1:
        words[-1] = (CHANCES if move.address[0] == "forecast" else ENDS)[int(last)]
    return MovedValue(
        label=LABELS.get(" ".join(parts)) or " ".join(words),
        kind=_kind(move, entry, parts),
        was=_plain(move.was, fmt),
        now=_plain(move.now, fmt),
    )


def _read_value(entry_was, entry_now, fmt: UnitFormatter) -> MovedValue:
    """What the known error of an instrument found off makes of a result, as one thing."""

    def sentence(entry) -> str | None:
        if entry is None:
            return None
        read: AsRead | None = getattr(entry, AS_READ, None)
        if read is None:
            return "without a known error"
        with_these = " and ".join(read.instruments)
        if not read.by:
            return f"the same, as the error of {with_these} cancels"
        return f"{fmt.clearance_text(abs(read.by))} {'larger' if read.by > 0 else 'smaller'} with {with_these}"

    return MovedValue(label=LABELS[AS_READ], kind="words", was=sentence(entry_was), now=sentence(entry_now))


def _note_value(parts: tuple[str, ...], entry_was, entry_now, fmt: UnitFormatter) -> MovedValue:
    """A note that came, went or says something else, by its sentence. parts: its address in its subject."""

    def sentence(entry) -> str | None:
        note = _at(entry, parts, {})
        return in_words(note, fmt) if isinstance(note, Note) else None

    field = " ".join(parts[:1] if len(parts) < 3 else parts[:-1])
    label = "taken as usual" if field == "usual" else field.removesuffix("s").replace("_", " ")
    return MovedValue(label=label, kind="words", was=sentence(entry_was), now=sentence(entry_now))


def _kind(move: Move, entry, parts: tuple[str, ...]) -> str:
    """The kind of a moved value; of a number in a calculation the kind of quantity that stands beside it."""
    if move.kind.name != "number":
        is_size = parts[-1] in SIZES or parts[0] == "limits"
        return "size" if is_size and move.kind.name == "length" else move.kind.name
    return getattr(_term(entry, parts) or entry, "kind", "number")


def _term(entry, parts: tuple[str, ...]):
    """The number that a sum takes of which a value moved; None where it is another value of the sum."""
    if parts[0] != "terms":
        return None
    return next((term for term in getattr(entry, "terms", ()) if term.argument == parts[1]), None)


def _plain(value, fmt: UnitFormatter):
    """A list as words; the places in it in the unit of the build."""
    if not isinstance(value, tuple):
        return value
    return [
        fmt.place_text(*entry).replace(",", "") or "no place" if isinstance(entry, tuple) else str(entry)
        for entry in value
    ]


def alarm_of(subject: str, moves: list[Move], has_limits: bool) -> str | None:
    """What turned for the worse. A feature without limits of its own stands as its fit does: the fit tells it."""
    if subject == "feature" and not has_limits:
        return None
    for move in moves:
        last = move.address[-1]
        judged = subject in ("feature", "ring") and last in ("state", "conformity")
        if judged and move.now in ("out", "reads out") and WORSE[move.now] > WORSE.get(move.was, 0):
            return f"now {move.now}"
        if subject == "operation" and last == "state" and move.now == "blocked":
            return "now blocked"
        if subject == "danger" and last == "state" and move.now in DANGER_ALARMS:
            better = move.now == "may be past" and move.was == "past"
            never_was = move.now == "not worked out" and move.new
            return None if better or never_was else DANGER_ALARMS[move.now]
        if subject == "found off" and move.new:
            return "now found off"
        if subject == "instrument" and last == "overdue" and move.now is True:
            return "now overdue for a check"
    return None
