"""Rules of thumb on one axis, in the build's own unit for the size at hand."""

import textwrap
from collections.abc import Sequence

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding, RuleFinding
from gudgeon.drawing.canvas import WIDTH
from gudgeon.drawing.dimensions import LETTER
from gudgeon.drawing.scales import RIGHT, Axis
from gudgeon.pages.drawings import svg
from gudgeon.wording import UnitFormatter, best_first, number, slug

LINE = 13  # height of a line of words, or of a size below its bar
BAR = 14  # from the words to their bar, and as much below it
LETTERS = 54  # of a line of words


def by_size(rules: Sequence[RuleFinding]) -> dict[tuple[str, ...], list[RuleFinding]]:
    """The rules of a kind by the fits that they were worked out for: each such set is one size and pair of metals."""
    sets: dict[tuple[str, ...], list[RuleFinding]] = {}
    for rule in rules:
        sets.setdefault(rule.fits, []).append(rule)
    return sets


def in_lengths(
    rules: Sequence[RuleFinding], fmt: UnitFormatter, name: str, fit: FitFinding | None = None
) -> Markup | None:
    """What rules give, a bar each under its own words; None where none gives anything. fit: its wanted range lies behind.

    Withdrawn rules are left to the table.
    """
    given = [rule for rule in best_first(list(rules)) if rule.low is not None and rule.grade != "withdrawn"]
    if not given:
        return None
    scale, unit, places = fmt.factor()
    ends = [(rule.low / scale, (rule.low if rule.high is None else rule.high) / scale) for rule in given]
    wanted = None
    if fit is not None and fit.want_low is not None:
        wanted = fit.want_low / scale, None if fit.want_high is None else fit.want_high / scale
    seen = [*ends, *([(wanted[0], wanted[0] if wanted[1] is None else wanted[1])] if wanted else [])]
    axis = Axis(min(0.0, *(low for low, _ in seen)), max(high for _, high in seen))
    rows, said, top = [], [], 6
    for rule, (low, high) in zip(given, ends, strict=True):
        size = number(low, places) + (f" to {number(high, places)}" if high > low else "") + f" {unit}"
        cited = fit.id in rule.cited_by if fit is not None else bool(rule.cited_by)
        words = _words(rule, cited)
        first, last = axis.at(low), axis.at(high)
        lines = textwrap.wrap(words, LETTERS)
        y, wide = top + LINE * len(lines) + BAR - 2, 10 + LETTER * len(size)
        # Beside the bar where there is room, else below it.
        if last + wide < WIDTH:
            stands = {"at": last + 10, "size_y": y + 4, "anchor": "start"}
        elif first > wide:
            stands = {"at": first - 10, "size_y": y + 4, "anchor": "end"}
        else:
            stands = {"at": 14, "size_y": y + 5 + LINE, "anchor": "start"}
        rows.append(
            {
                **stands,
                "y": y,
                "lines": [(top + LINE * (number_of + 1), line) for number_of, line in enumerate(lines)],
                "first": first,
                "last": last,
                "size": size,
                "cited": cited,
            }
        )
        said.append(f"{words}: {size}")
        top = y + BAR + (LINE if stands["size_y"] > y + LINE else 0)
    behind = f" Wanted: {fmt.range_text(fit.want_low, fit.want_high)}." if fit is not None and wanted else ""
    return svg(
        "rule_lengths",
        id=f"rules-{slug(name)}",
        title=f"What rules of thumb give, {unit}",
        described="; ".join(said) + "." + behind,
        rows=rows,
        axis=axis,
        unit=unit,
        wanted=(axis.at(wanted[0]), RIGHT if wanted[1] is None else axis.at(wanted[1])) if wanted else None,
        nought=axis.at(0.0) if axis.low < 0 and any(low < 0 for low, _ in seen) else None,
        bottom=top + 4,
    )


def _words(rule: RuleFinding, cited: bool) -> str:
    """A rule as members say it, with what is to be known of it first."""
    standing = "cited: " if cited else ""
    if rule.within is False:
        standing += "not for this: "
    elif rule.within is None and rule.why_outside:
        standing += "cannot tell: "
    case = f", {rule.case}" if rule.case else ""
    return f"{standing}{rule.rule}{case} “{rule.says}”"
