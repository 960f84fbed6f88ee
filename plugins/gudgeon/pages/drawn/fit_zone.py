"""Where a fit stands in what is wanted: the band, the reading with its uncertainty, the end that hurts hatched."""

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.scales import LEFT, RIGHT, Axis
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.wording import UnitFormatter, number, slug, upper_first

TOP, TALL, SCALE = 20.0, 40.0, 84.0


def zone(fit: FitFinding, kind: FitKind, fmt: UnitFormatter) -> Markup | None:
    """The drawing; None where nothing was measured, nothing is wanted, or one figure alone."""
    if fit.clearance is None or fit.want_low is None or kind.stated:
        return None
    scale, unit, places = fmt.factor()
    low, high = fit.want_low / scale, (None if fit.want_high is None else fit.want_high / scale)
    value, spread = fit.clearance / scale, (fit.expanded or 0.0) / scale
    most = low if high is None else high
    margin = max((most - low) * 0.6, spread * 0.5)
    axis = Axis(min(low - margin, value - spread), max(most + margin, value + spread))
    tight = fit.dangerous == "tight"
    wanted = f"{number(low, places)} or more" if high is None else f"{number(low, places)} to {number(high, places)}"
    canvas = Canvas(
        f"zone-{slug(fit.id)}",
        f"{upper_first(kind.called)} zone of {fit.name}",
        f"Wanted {wanted} {unit}. Reads {number(value, places)} {unit}, uncertain by {number(spread, places)} {unit} either way. "
        f"The dangerous end is the {fit.dangerous} one.",
        118,
    )
    first, last = axis.at(low), RIGHT if high is None else axis.at(high)
    canvas.text((first + last) / 2, 14, "wanted", "g-label", "middle")
    canvas.rect(first, TOP, max(last - first, 1.5), TALL, "g-wanted")
    # Where no most is wanted nothing lies beyond the band.
    danger = (LEFT, first) if tight else (last, RIGHT)
    if danger[1] > danger[0]:
        canvas.rect(danger[0], TOP, danger[1] - danger[0], TALL, "g-danger", hatching.hatch(canvas, "hatch"))
        canvas.text(LEFT if tight else RIGHT, 14, f"▨ danger: {fit.dangerous}", "g-label", None if tight else "end")
    if axis.low < 0 < axis.high:
        canvas.line(axis.at(0), TOP - 2, axis.at(0), SCALE, "g-nought")
    ends, middle = (axis.at(value - spread), axis.at(value + spread)), TOP + TALL / 2
    canvas.line(ends[0], middle, ends[1], middle, "g-whisker")
    for end in ends:
        canvas.line(end, middle - 7, end, middle + 7, "g-whisker")
    canvas.circle(axis.at(value), middle, 5, "g-dot")
    label = f"{number(value, places)} ± {number(spread, places)}"
    canvas.text(min(max(axis.at(value), 50), 310), 76, label, "g-value g-over", "middle")
    canvas.line(LEFT, SCALE, RIGHT, SCALE, "g-axis")
    for at, words in axis.ticks():
        canvas.line(axis.at(at), SCALE, axis.at(at), SCALE + 4, "g-axis")
        canvas.text(axis.at(at), SCALE + 15, words, anchor="middle")
    canvas.text(
        RIGHT, 113, f"{unit} {kind.axis.measured}: right of 0 {kind.called}, left of it interference", anchor="end"
    )
    return canvas.markup()
