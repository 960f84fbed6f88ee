"""Quantities other than lengths on the pages: in this build's units first, in the others beside them."""

from markupsafe import Markup

from gudgeon.danger_words import danger_head, danger_line, danger_tally, danger_words
from gudgeon.pages.markup import NONE, both
from gudgeon.quantities import Spread, in_letters, in_numbers, spread_of, text, texts
from gudgeon.wording import UnitFormatter


def quantity(fmt: UnitFormatter, value: float | None, kind: str, spread: Spread = None) -> Markup:
    """A quantity in both units, the build's own first. spread: its least and most, which tell how many figures it carries."""
    if value is None:
        return NONE
    said = texts(value, kind, spread)
    if len(said) == 1:
        return Markup('<span class="g-q">{}</span>').format(said[0])
    return both(*said, inch_first=fmt.inch)


FILTERS = {
    "quantity": lambda value, fmt, kind, spread=None: quantity(fmt, value, kind, spread),
    "plain": lambda value, fmt, kind, spread=None: text(fmt, value, kind, spread),
    "spread_of": spread_of,
    "danger_words": danger_words,
    "danger_head": danger_head,
    "danger_line": danger_line,
    "danger_tally": danger_tally,
    "in_letters": in_letters,
    "in_numbers": lambda calculation, fmt: in_numbers(fmt, calculation),
}
