"""Whose something shared is, and what the club changed of what comes with the tool, in words."""

from typing import Any

from gudgeon.records.base import Record
from gudgeon.records.cutting import Cutting
from gudgeon.records.model import Knowledge
from gudgeon.records.problems import shown

MOST = 90  # characters of a value that are shown
_STORES = {
    "rule": "rules",
    "caution": "cautions",
    "material": "materials",
    "family": "families",
    "source": "sources",
    "threshold": "judgement",
}


def mark(shelf: Knowledge, kind: str, name: str) -> str:
    """The quiet mark on the card of something shared."""
    key = f"{kind} {name}"
    if shelf.whose.get(key, "package") == "package":
        return "Gudgeon’s"
    if key not in shelf.in_place_of:
        return "ours"
    return "ours, in place of Gudgeon’s"


def differs(shelf: Knowledge, kind: str, name: str) -> str:
    """What stands below the mark of what is in place of the tool's: what differs, and whether that has changed; else nothing."""
    key = f"{kind} {name}"
    if key not in shelf.in_place_of:
        return ""
    says = "; ".join(changes(shelf, key)) or "it says the same as Gudgeon’s"
    return says + (". Gudgeon’s has changed since it was copied" if key in shelf.moved_below else "")


def changes(shelf: Knowledge, key: str) -> list[str]:
    """What the club's says otherwise than the tool's, field by field; nothing where there is nothing to compare."""
    if key not in shelf.replaced:
        return []
    own = _own(shelf, key)
    if own is None:
        return ["it cannot be read, and neither holds"]
    before, after = _fields(shelf.replaced[key]), _fields(own)
    return [
        f"{field.replace('_', ' ')} {_said(after.get(field))} instead of {_said(before.get(field))}"
        for field in {**before, **after}
        if before.get(field) != after.get(field)
    ]


def _own(shelf: Knowledge, key: str) -> Any:
    kind, _, name = key.partition(" ")
    if kind == "word":
        return next((word for word in shelf.words if word.anchor == name), None)
    if kind == "habit":
        return getattr(shelf.cutting, name, None) if isinstance(shelf.cutting, Cutting) else None
    return getattr(shelf, _STORES[kind]).get(name)


def _fields(record: Any) -> dict[str, Any]:
    if isinstance(record, Record):
        return record.model_dump(mode="json", by_alias=True)
    return dict(record) if isinstance(record, dict) else {"is": record}


def _said(value: Any) -> str:
    """A value as one says it on a line."""
    if value is None or value in ([], {}, ""):
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return shown(
            ", ".join(f"{key.replace('_', ' ')} {_said(inner)}" for key, inner in value.items() if inner is not None),
            MOST,
        )
    if isinstance(value, list | tuple):
        return shown(", ".join(_said(inner) for inner in value), MOST)
    return f"“{shown(value, MOST)}”" if isinstance(value, str) and " " in value else shown(str(value), MOST)


def in_place(shelf: Knowledge) -> list[tuple[str, str, list[str], bool]]:
    """(kind, name, what differs, whether the tool's has changed since it was copied) of all that stands in place of the tool's."""
    return [
        (*key.split(" ", 1), changes(shelf, key), key in shelf.moved_below)  # pyright: ignore[reportReturnType]
        for key in sorted(shelf.in_place_of)
    ]
