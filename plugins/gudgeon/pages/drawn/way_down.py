"""How a feature came down to its size, pass by pass: a line for each state of the metal that was read, then the planned passes.

The axis is broken: the last twenty thou before the stop, or half a millimetre, are drawn large, the rest short beyond the
break. Metal is at the left, scrap at the right, whether the feature is turned or bored.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import FeatureFinding, Pass
from gudgeon.drawing import dimensions, hatching, legend
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.scales import LEFT, RIGHT, Broken
from gudgeon.records.parts import Feature
from gudgeon.wording import INCH, UnitFormatter, slug

LAST_INCH, LAST_MM = 0.020 * INCH, 0.5  # what is drawn large, mm
BEYOND = 0.2  # of that, at the least, beyond the last limit
TOP, ROW = 40.0, 30.0
BAR = 14.0  # from the words of a line to its mark


@dataclass(frozen=True)
class Wanted:
    """What a feature is to come to, mm. stop: what the place with the most metal then measures; cuts_smaller: as a shaft does."""

    low: float
    high: float
    stop: float
    cuts_smaller: bool | None


def wanted(feature: FeatureFinding, spec: Feature) -> Wanted | None:
    """What a feature is to come to, by its stock or by its limits; None where nothing says it."""
    if feature.stock:
        stock = feature.stock
        return Wanted(stock.target_low, stock.target_high, stock.turn_to, stock.side == "external")
    if not feature.limits:
        return None
    low, high = feature.limits
    return Wanted(low, high, (low + high) / 2, {"external": True, "internal": False}.get(spec.metal_side or ""))


def axis_of(feature: FeatureFinding, spec: Feature, passes: Sequence[Pass], fmt: UnitFormatter) -> Broken | None:
    """The axis of sizes, mm; None where nothing was read."""
    if not feature.history:
        return None
    goal = wanted(feature, spec)
    smaller = not spec.least_decides if goal is None or goal.cuts_smaller is None else goal.cuts_smaller
    way = 1.0 if smaller else -1.0  # times a size: the greater, the more metal there is
    last = LAST_INCH if fmt.inch else LAST_MM
    ends = [
        way * end
        for state in feature.history
        for end in (
            state.least,
            state.greatest,
            state.decides - (state.expanded or 0.0),
            state.decides + (state.expanded or 0.0),
        )
    ]
    ends += [way * cut.size_after for cut in passes]
    limits = [way * goal.low, way * goal.high] if goal else [way * feature.history[-1].decides]
    stop = way * (goal.stop if goal else feature.history[-1].decides)
    near = min(min(limits) - BEYOND * last, min(ends))
    far = max(max(limits) + BEYOND * last / 2, max(ends))
    return Broken(way * near, way * far, way * (stop + last), left=RIGHT, right=LEFT)


def way_down(
    feature: FeatureFinding,
    spec: Feature,
    passes: Sequence[Pass],
    said: Mapping[str, str],
    fmt: UnitFormatter,
) -> Markup | None:
    """The drawing; None where nothing was read. passes: planned; said: operation -> what it does."""
    axis = axis_of(feature, spec, passes, fmt)
    if axis is None:
        return None
    goal = wanted(feature, spec)
    lines = _lines(feature, said, fmt)
    planned = [(f"then {cut.kind}: {fmt.size_text(cut.size_after)}", cut.size_after) for cut in passes]
    bottom = TOP + ROW * (len(lines) + len(planned))
    canvas = Canvas(
        f"way-{slug(feature.ref).replace('.', '-')}",
        f"The way of {feature.name} to its size",
        _described(goal, [words for words, _ in lines] + [words for words, _ in planned], fmt),
        bottom + 58,
    )
    _frame(canvas, axis, goal, bool(planned), bottom, fmt)
    for place, (words, state) in enumerate(lines):
        y = TOP + ROW * place
        last = place == len(lines) - 1
        canvas.text(
            LEFT,
            y + 8,
            legend.wrapped(words, (RIGHT - LEFT) * (0.78 if last else 1.0), 1)[0],
            "g-value g-over" if last else "g-tick g-over",
        )
        if state.expanded:
            _level(canvas, axis, state.decides - state.expanded, state.decides + state.expanded, y + BAR, 9, "g-doubt")
        canvas.line(axis.at(state.least), y + BAR + 4.5, axis.at(state.greatest), y + BAR + 4.5, "g-whisker")
        canvas.circle(axis.at(state.decides), y + BAR + 4.5, 4.5 if last else 3.5, "g-dot")
    for place, (words, size) in enumerate(planned, start=len(lines)):
        y = TOP + ROW * place
        canvas.text(LEFT, y + 8, words, "g-tick g-over")
        canvas.circle(axis.at(size), y + BAR + 4.5, 4, "g-hollow")
    return canvas.markup()


def scale_words(axis: Broken, fmt: UnitFormatter) -> str:
    """What a reader has to know of the axis."""
    if not axis.broken:
        return "The whole way is drawn to one scale."
    return f"The last {'20 thou' if fmt.inch else '0.5 mm'} are drawn large; beyond the break the way is drawn short."


def _lines(feature: FeatureFinding, said: Mapping[str, str], fmt: UnitFormatter) -> list:
    """What is said of each state of the metal that was read, with it."""
    lines = []
    for place, state in enumerate(feature.history):
        now = place == len(feature.history) - 1 and feature.size is not None
        after = said.get(state.after or "", state.after) or "read"
        lines.append((f"{fmt.size_text(state.decides)}{' now' if now else ''}, {state.date}: {after}", state))
    return lines


def _described(goal: Wanted | None, lines: Sequence[str], fmt: UnitFormatter) -> str:
    said = "; ".join(lines)
    if goal is None:
        return f"First to last: {said}. The records do not say what it should come to."
    return f"First to last: {said}. Should come to {fmt.limits_text(goal.low, goal.high)}."


def _frame(canvas: Canvas, axis: Broken, goal: Wanted | None, planned: bool, bottom: float, fmt: UnitFormatter) -> None:
    """The axis with its ticks and its break, what is wanted and where scrap begins."""
    per = INCH if fmt.inch else 1.0
    for value, words in _ticks(axis, per):
        x = axis.at(value)
        canvas.line(x, TOP - 4, x, bottom, "g-grid")
        if RIGHT - 14 > x > LEFT + 40:
            canvas.text(x, bottom + 14, words, anchor="middle")
    if goal is None:
        canvas.text(RIGHT, 14, "The records do not say what it should come to.", anchor="end")
    else:
        canvas.text(RIGHT, 14, f"should come to {fmt.limits_text(goal.low, goal.high)}", anchor="end")
        canvas.text(RIGHT, 29, f"□ wanted · ┆ stop at {fmt.size_text(goal.stop)}", anchor="end")
        _level(canvas, axis, goal.low, goal.high, TOP - 4, bottom - TOP + 4, "g-wanted")
        canvas.line(axis.at(goal.stop), TOP - 8, axis.at(goal.stop), bottom, "g-nought")
        if goal.cuts_smaller is not None:
            edge = axis.at(goal.low if goal.cuts_smaller else goal.high)
            canvas.rect(edge, TOP - 4, RIGHT - edge, bottom - TOP + 4, "g-danger", hatching.hatch(canvas, "scrap"))
            canvas.text(RIGHT, bottom + 14, "scrap", "g-tick g-over", "end")
    canvas.line(LEFT, bottom, RIGHT, bottom, "g-axis")
    break_at = axis.break_at()
    if break_at is not None:
        dimensions.break_mark(canvas, break_at, TOP - 4, bottom)
    canvas.text(LEFT, bottom + 14, fmt.size_text(axis.far))
    shown = "● as read · ▒ how far off it may be · ━ least to greatest"
    canvas.text(LEFT, bottom + 33, shown)
    more = ["○ planned pass"] * planned + ["⌇ a stretch is left out"] * axis.broken
    canvas.text(LEFT, bottom + 50, " · ".join(more))


def _ticks(axis: Broken, per: float) -> list[tuple[float, str]]:
    """Round sizes of the stretch that is drawn large, mm, with their labels in the shown unit."""
    shown = Broken(axis.near / per, axis.far / per, axis.cut / per)
    return [(value * per, words) for value, words in shown.ticks(4)]


def _level(canvas: Canvas, axis: Broken, first: float, last: float, top: float, height: float, css: str) -> None:
    """A box along the axis from one size to another, never so thin that it cannot be seen."""
    left, right = sorted((axis.at(first), axis.at(last)))
    canvas.rect(left, top, max(right - left, 2.0), height, css)
