"""Moved values in words, in the unit of the build."""

from gudgeon.quantities import SHOWN, text
from gudgeon.review.slip import MovedValue
from gudgeon.wording import UnitFormatter, minutes, number, probability

NAMED_OF_A_LIST = 4


def moved_value(fmt: UnitFormatter, value: MovedValue) -> str:
    """What a value was and is; of a list what came to it and what went, for nobody compares two lists by eye."""
    was, now = (value_in_words(fmt, value, side) for side in (value.was, value.now))
    if isinstance(value.was, list) and isinstance(value.now, list) and set(value.was) != set(value.now):
        came = [entry for entry in value.now if entry not in value.was]
        went = [entry for entry in value.was if entry not in value.now]
        sides = [f"now {_listed(came)}"] if came else []
        sides += [f"no longer {_listed(went)}"] if went else []
        return f"{value.label} {', '.join(sides)}"
    return f"{value.label} {was} → {now}" if was != now else f"{value.label} {now}, by less than is shown"


def value_in_words(fmt: UnitFormatter, value: MovedValue, side) -> str:
    """One side of a moved value, in the build's unit."""
    if side is None:
        return "none"
    if isinstance(side, bool):
        return "yes" if side else "no"
    if isinstance(side, list):
        return _listed(side)
    if isinstance(side, str):
        return side
    return figure(fmt, value.kind, float(side))


def _listed(entries: list[str]) -> str:
    return (
        ", ".join(entries[:NAMED_OF_A_LIST])
        + (f" and {len(entries) - NAMED_OF_A_LIST} more" if len(entries) > NAMED_OF_A_LIST else "")
        or "none"
    )


def figure(fmt: UnitFormatter, kind: str, value: float, share: bool = False) -> str:
    """A figure of a kind in the build's unit. share: it is a difference, so that a size is told as finely as a clearance."""
    if kind == "size" and not share:
        return fmt.size_text(value)
    if kind in ("length", "size"):
        return fmt.clearance_text(value)
    if kind == "chance" and share:
        return f"{number(100 * value, 1)} %"
    if kind == "chance":
        return probability(min(1.0, max(0.0, value)))
    if kind == "minutes":
        return minutes(value)
    if kind == "share":
        return f"{number(100 * value, 1)} %"
    if kind in SHOWN or kind == "temperature":
        return text(fmt, value, kind)
    return f"{value:.4g}"
