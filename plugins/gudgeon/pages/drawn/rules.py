"""Rules of thumb on one axis, in the build's own unit for the size at hand, each in members' words."""

from collections.abc import Sequence

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding, RuleFinding
from gudgeon.drawing.canvas import WIDTH, Canvas
from gudgeon.drawing.dimensions import LETTER
from gudgeon.drawing.legend import legend, wrapped
from gudgeon.drawing.scales import RIGHT, Axis
from gudgeon.wording import UnitFormatter, best_first, number, slug, upper_first

LINE = 13.0  # height of a line of words, or of a size below its bar
BAR = 14.0  # from the words to their bar, and as much below it
LEFT = 14.0
BOLD = 0.76  # of a line that as many bold letters fill


def by_size(rules: Sequence[RuleFinding]) -> dict[tuple[str, ...], list[RuleFinding]]:
    """The rules of a kind by the fits that they were worked out for: each such set is one size and pair of metals."""
    sets: dict[tuple[str, ...], list[RuleFinding]] = {}
    for rule in rules:
        sets.setdefault(rule.fits, []).append(rule)
    return sets


def alike(fits: Sequence[FitFinding]) -> FitFinding | None:
    """One of the fits, where all want the same; None where their wants differ."""
    wants = {(fit.want_low, fit.want_high) for fit in fits}
    return fits[0] if len(wants) == 1 else None


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
    ends = [_ends(rule, scale) for rule in given]
    wanted = None
    if fit is not None and fit.want_low is not None:
        wanted = fit.want_low / scale, None if fit.want_high is None else fit.want_high / scale
    seen = [*ends, *([(wanted[0], wanted[0] if wanted[1] is None else wanted[1])] if wanted else [])]
    axis = Axis(min(0.0, *(low for low, _ in seen)), max(high for _, high in seen))
    rows, top = [], 6.0
    for rule, (low, high) in zip(given, ends, strict=True):
        chosen = fit.id in rule.cited_by if fit is not None else bool(rule.cited_by)
        size = number(low, places) + (f" to {number(high, places)}" if high > low else "") + f" {unit}"
        lines = wrapped(_words(rule, chosen), (RIGHT - LEFT) * (BOLD if chosen else 1.0))
        y = top + LINE * len(lines) + BAR - 2
        beside = _beside(axis.at(low), axis.at(high), size)
        rows.append((rule, chosen, lines, top, y, size, beside))
        top = y + BAR + (LINE if beside is None else 0.0)
    said = "; ".join(f"{_words(rule, chosen)}: {size}" for rule, chosen, _, _, _, size, _ in rows)
    behind = f" Wanted: {fmt.range_text(fit.want_low, fit.want_high)}." if fit is not None and wanted else ""
    canvas = Canvas(
        f"rules-{slug(name)}", f"What rules of thumb give, {unit}", f"{said}.{behind}", top + 4 + (54 if wanted else 37)
    )
    bottom = top + 4
    if wanted:
        first = axis.at(wanted[0])
        last = RIGHT if wanted[1] is None else axis.at(wanted[1])
        canvas.rect(first, 4, max(last - first, 1.5), bottom - 4, "g-wanted")
    for value, words in axis.ticks():
        canvas.line(axis.at(value), 4, axis.at(value), bottom, "g-grid")
        canvas.text(axis.at(value), bottom + 14, words, anchor="middle")
    if any(low < 0 for low, _ in seen):
        canvas.line(axis.at(0.0), 4, axis.at(0.0), bottom, "g-nought")
    for (_, chosen, lines, begins, y, size, beside), (low, high) in zip(rows, ends, strict=True):
        for count, line in enumerate(lines, 1):
            canvas.text(LEFT, begins + LINE * count, line, "g-value g-over" if chosen else "g-tick g-over")
        first, last = axis.at(low), axis.at(high)
        canvas.line(first, y, last, y, "g-whisker")
        for x in dict.fromkeys((first, last)):
            if chosen:
                canvas.rect(x - 5, y - 5, 10, 10, "g-dot")
            else:
                canvas.circle(x, y, 4, "g-dot")
        at, anchor = beside or (LEFT, None)
        canvas.text(at, y + 4 if beside else y + 5 + LINE, size, "g-tick g-over", anchor)
    canvas.text(RIGHT, bottom + 29, f"{unit} for this size; square: chosen here", anchor="end")
    if wanted:
        legend(canvas, [("g-wanted", None, "wanted of this fit")], LEFT, bottom + 38)
    return canvas.markup()


def _ends(rule: RuleFinding, scale: float) -> tuple[float, float]:
    low = rule.low or 0.0
    return low / scale, (low if rule.high is None else rule.high) / scale


def _beside(first: float, last: float, size: str) -> tuple[float, str | None] | None:
    """(where figures stand beside a bar, how they are anchored); None where there is room for them below it alone."""
    wide = 10 + LETTER * len(size)
    if last + wide < WIDTH:
        return last + 10, None
    return (first - 10, "end") if first > wide else None


def _words(rule: RuleFinding, chosen: bool) -> str:
    """A rule as members say it, with what is to be known of it first."""
    standing = "Chosen: " if chosen else ""
    if rule.within is False:
        standing += "not for this engine: "
    elif rule.within is None and rule.why_outside:
        standing += "perhaps not for this engine: "
    case = f"{rule.case.replace('_', ' ')}: " if rule.case else ""
    return upper_first(f"{standing}{case}“{rule.says}”")
