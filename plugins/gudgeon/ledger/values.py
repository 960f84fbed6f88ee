"""The ledger of a build: every value that its findings hold, by address."""

import functools
import types
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Union, cast, get_args, get_origin

from gudgeon.assess.findings import BuildFindings, Finding, Source
from gudgeon.assess.findings.base import Kind

# What a store of the findings holds, in the singular: the first part of an address. What is not named keeps its name.
SUBJECTS = {
    "features": "feature",
    "fits": "fit",
    "rows": "reading",
    "mistakes": "mistake",
    "operations": "operation",
    "rules": "rule",
    "rings": "ring",
    "gauges": "instrument",
    "recalls": "found off",
    "metals": "material",
    "calculations": "calculation",
    "dangers": "danger",
    "timing_marks": "timing mark",
    "timing_settings": "timing setting",
    "patterns": "pattern",
    "cut_plans": "cut",
    "cuts": "cut made",
    "due": "due date",
    "outcomes": "outcome",
}
NAMED = frozenset(SUBJECTS.values())  # of these a build has many, each with a name


@dataclass(frozen=True, slots=True)
class Value:
    """One value of the findings.

    address: parts from the outside in, such as ("fit", "A-F01", "clearance"). value: a number in the unit of its kind, a
    word, a truth, a name or a tuple of names; None where nothing stands there yet.
    """

    address: tuple[str, ...]
    value: Any
    kind: Kind

    @property
    def subject(self) -> tuple[str, str]:
        """What the value is of: ("fit", "A-F01"); of the build as a whole ("build", "")."""
        return subject_of(self.address)


Ledger = dict[tuple[str, ...], Value]


def ledger_of(findings: BuildFindings) -> Ledger:
    """Every value of a build's findings by its address: about 5,400 for a build with sixteen fits."""
    ledger: Ledger = {}
    for address, value, kind in _walk(findings, ()):
        ledger[address] = Value(address, value, kind)
    return ledger


def ledgers_where_unequal(was: BuildFindings, now: BuildFindings) -> tuple[Ledger, Ledger]:
    """The parts of two ledgers in which they can differ: what is equal to the last bit is passed over unread.

    Most of a build does not move with an edit; comparing whole findings costs a tenth of laying them out.
    """
    ledgers: tuple[Ledger, Ledger] = ({}, {})
    for name, kind in _fields(BuildFindings):
        sides = [getattr(findings, name) for findings in (was, now)]
        if sides[0] == sides[1]:
            continue
        if all(isinstance(side, dict) for side in sides):
            differ = {key for key in {**sides[0], **sides[1]} if sides[0].get(key) != sides[1].get(key)}
            sides = [{key: entry for key, entry in side.items() if key in differ} for side in sides]
        for ledger, side in zip(ledgers, sides, strict=True):
            for address, value, value_kind in _value(side, kind, (SUBJECTS.get(name, name),)):
                ledger[address] = Value(address, value, value_kind)
    return ledgers


def subject_of(address: tuple[str, ...]) -> tuple[str, str]:
    """What an address is of: one of many by its name, something that a build has one of, or the build itself."""
    if address[0] in NAMED:
        return address[0], address[1]
    return (address[0], "") if len(address) > 1 else ("build", "")


def below_subject(address: tuple[str, ...]) -> tuple[str, ...]:
    """What of its subject an address is: ("clearance",)."""
    return address[2:] if address[0] in NAMED else address[1:] if len(address) > 1 else address


def label_of(address: tuple[str, ...]) -> str:
    """An address in words: "fit A-F01: clearance"."""
    subject, name = subject_of(address)
    words = ", ".join(part.replace("_", " ") for part in below_subject(address))
    return words if subject == "build" else f"{subject} {name}".strip() + f": {words}"


def _walk(model: Finding, above: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any, Kind]]:
    for name, kind in _fields(type(model)):
        yield from _value(getattr(model, name), kind, (*above, SUBJECTS.get(name, name) if not above else name))


def _value(value: Any, kind: Kind | None, address: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any, Kind]]:
    if isinstance(value, Source):
        return  # a position in a file: that a line moved moves no value
    if isinstance(value, Finding):
        yield from _walk(value, address)
    elif isinstance(value, dict):
        for key, entry in cast(dict[Any, Any], value).items():
            yield from _value(entry, kind, (*address, str(key)))
    elif isinstance(value, (list, tuple)):
        entries = cast(Sequence[Any], value)
        if any(isinstance(entry, Finding) for entry in entries):
            yield from _entries(entries, address)
        elif kind is not None and _are_numbers(entries):
            for index, entry in enumerate(entries):
                yield (*address, str(index)), entry, kind
        elif kind is not None:
            yield address, tuple(_fixed(entry) for entry in entries), kind
    elif kind is not None:
        yield address, value, kind


def _are_numbers(entries: Sequence[Any]) -> bool:
    """Whether entries are numbers, of which some may not be known."""
    numbers = [entry for entry in entries if entry is not None]
    return bool(numbers) and all(isinstance(entry, float) for entry in numbers)


def _fixed(entry: Any) -> Any:
    return tuple(cast(Sequence[Any], entry)) if isinstance(entry, (list, tuple)) else entry


def _entries(models: Sequence[Finding], address: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any, Kind]]:
    """Entries of a list by what tells them apart; the second of the same name is numbered."""
    names: dict[str, int] = {}
    for index, model in enumerate(models):
        name = entry_name(model) or str(index + 1)
        names[name] = names.get(name, 0) + 1
        yield from _walk(model, (*address, name if names[name] == 1 else f"{name} #{names[name]}"))


def entry_name(model: Finding) -> str:
    """What tells an entry of a list from the others; empty where only its place does."""
    return " ".join(_word(getattr(model, field)) for field in getattr(type(model), "key", ()))


def _word(value: Any) -> str:
    if value is None:
        return "-"
    if isinstance(value, (list, tuple)):
        return "+".join(_word(entry) for entry in cast(Sequence[Any], value)) or "-"
    return f"{value:.6g}" if isinstance(value, float) else str(value)


@functools.cache
def _fields(model: type[Finding]) -> tuple[tuple[str, Kind | None], ...]:
    """The fields of a model with the kind of value that each declares; None where it holds models, or a position."""
    return tuple(
        (
            name,
            next((note for note in field.metadata if isinstance(note, Kind)), None) or kind_in(field.annotation),
        )
        for name, field in model.model_fields.items()
    )


def kind_in(annotation: Any) -> Kind | None:
    """The kind of value that a type declares, wherever in it that stands."""
    if get_origin(annotation) is Annotated:
        base, *notes = get_args(annotation)
        return next((note for note in notes if isinstance(note, Kind)), None) or kind_in(base)
    if get_origin(annotation) in (Union, types.UnionType, list, tuple, dict):
        return next((kind for part in get_args(annotation) if (kind := kind_in(part)) is not None), None)
    return None
