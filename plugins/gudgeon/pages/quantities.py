"""Quantities other than lengths on the pages: in this build's units first, in the others beside them."""

from markupsafe import Markup

from gudgeon.pages.markup import NONE, both
from gudgeon.quantities import in_letters, in_numbers, text, texts
from gudgeon.wording import UnitFormatter


def quantity(fmt: UnitFormatter, value: float | None, kind: str) -> Markup:
    """A quantity in both units, the build's own first."""
    if value is None:
        return NONE
    said = texts(value, kind)
    if len(said) == 1:
        return Markup('<span class="g-q">{}</span>').format(said[0])
    return both(*said, inch_first=fmt.inch)


FILTERS = {
    "quantity": lambda value, fmt, kind: quantity(fmt, value, kind),
    "plain": lambda value, fmt, kind: text(fmt, value, kind),
    "in_letters": in_letters,
    "in_numbers": lambda calculation, fmt: in_numbers(fmt, calculation),
}
