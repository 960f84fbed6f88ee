"""The clearance of a fit from cold to hot: a line for each temperature case, with the band of its uncertainty."""

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.legend import wrapped
from gudgeon.drawing.scales import Axis, apart
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.wording import UnitFormatter, number, slug, upper_first

LEFT, HOT, TOP, BOTTOM = 44.0, 206.0, 18.0, 176.0
STYLES = (
    ("", "●"),
    ("7 4", "■"),
    ("2 4", "▲"),
    ("10 3 2 3", "◆"),
)  # what tells lines from one another without a colour


def hot_curve(fit: FitFinding, kind: FitKind, fmt: UnitFormatter) -> Markup | None:
    """The drawing; None where nothing was measured or no case worked out. What is still to be cut goes hot as it will be."""
    if not fit.hot or fit.clearance is None:
        return None
    scale, unit, places = fmt.factor()
    ends, cold, what = [case.now for case in fit.hot], fit.clearance, "as the sizes are now"
    planned = [case.at_target for case in fit.hot if case.at_target is not None]
    if fit.at_target is not None and len(planned) == len(fit.hot):
        ends, cold, what = planned, fit.at_target, "at the stop of the cut"
    lines = [(end / scale, case.expanded / scale) for case, end in zip(fit.hot, ends, strict=True)]
    values = [0.0, cold / scale, *(end + way * band for end, band in lines for way in (-1, 1))]
    up = Axis(min(values), max(values), BOTTOM, TOP)
    names = [
        f"{case.case.replace('_', ' ')}, {number(case.hole_temp, 0)} / {number(case.shaft_temp, 0)} °C"
        for case in fit.hot
    ]
    said = "; ".join(f"{name} {number(end, places)} {unit}" for name, (end, _) in zip(names, lines, strict=True))
    words = [
        [
            *wrapped(f"{STYLES[place % 4][1]} {case.case.replace('_', ' ')}: {number(end, places)}", 356 - HOT - 14),
            f"{number(case.hole_temp, 0)} / {number(case.shaft_temp, 0)} °C",
        ]
        for place, (case, (end, _)) in enumerate(zip(fit.hot, lines, strict=True))
    ]
    tall = [13.0 * len(rows) + 4 for rows in words]
    at = apart([up.at(end) for end, _ in lines], max(tall))
    foot = max(BOTTOM, max(at) + max(tall)) + 18
    canvas = Canvas(
        f"hot-{slug(fit.id)}",
        f"Cold to hot: {fit.name}",
        f"{upper_first(kind.called)} {what}: cold {number(cold / scale, places)} {unit}; hot: {said}.",
        foot + 22,
    )
    for value, label in up.ticks():
        canvas.line(LEFT, up.at(value), HOT, up.at(value), "g-grid")
        canvas.text(LEFT - 4, up.at(value) + 4, label, anchor="end")
    canvas.line(LEFT, up.at(0), HOT, up.at(0), "g-nought")
    begins = (LEFT, up.at(cold / scale))
    for place, (end, band) in enumerate(lines):
        canvas.polygon([begins, (HOT, up.at(end - band)), (HOT, up.at(end + band))], "g-band")
        canvas.line(*begins, HOT, up.at(end), "g-line", STYLES[place % 4][0] or None)
        canvas.text(HOT, up.at(end) + 4, STYLES[place % 4][1], "g-mark", "middle")
    for y, rows in zip(at, words, strict=True):
        for number_of_row, row in enumerate(rows):
            canvas.text(HOT + 10, y + 4 + 13 * number_of_row, row)
    canvas.text(LEFT, foot, "cold, 20 °C")
    canvas.text(HOT, foot, "hot", anchor="middle")
    canvas.text(4, foot + 15, f"{unit} {kind.axis.measured}, {what}; at 0 {kind.at_nought}")
    return canvas.markup()
