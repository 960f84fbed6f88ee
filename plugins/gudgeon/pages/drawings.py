"""Drawings as inline SVG: geometry here, shapes in templates/drawings/. Text reads at phone width (360 units wide).

Colours come from the page's style sheet, so that a drawing reads in light, dark and print; every meaning is
carried by shape, pattern or word as well.
"""

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing.scales import LEFT, RIGHT, Axis
from gudgeon.pages.page import environment
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.wording import UnitFormatter, number, slug, upper_first


def _upright(low: float, high: float, top: float = 18.0) -> Axis:
    """The axis of a drawing whose values run up the page; its scale stands at the left."""
    return Axis(low, high, left=176.0, right=top)


def _line_style(index: int) -> dict[str, str]:
    """What tells the lines of a drawing from one another without a colour."""
    return {"dash": ("", "7 4", "2 4", "10 3 2 3")[index % 4], "mark": "●■▲◆"[index % 4]}


def svg(name: str, **values) -> Markup:
    text = environment().get_template(f"drawings/{name}.svg.j2").render(**values)
    return Markup("".join(line.strip() for line in text.splitlines()))


def zone(fit: FitFinding, kind: FitKind, fmt: UnitFormatter) -> Markup | None:
    """Clearance zone: wanted range, the reading with its uncertainty, the dangerous end hatched."""
    if fit.clearance is None or fit.want_low is None or kind.stated:
        return None
    scale, unit, places = fmt.factor()
    low, high = fit.want_low / scale, (fit.want_high if fit.want_high is not None else fit.want_low) / scale
    value, spread = fit.clearance / scale, (fit.expanded or 0.0) / scale
    margin = max((high - low) * 0.6, spread * 0.5)
    axis = Axis(min(low - margin, value - spread), max(high + margin, value + spread))
    danger_low = fit.dangerous == "tight"
    described = (
        f"Wanted {number(low, places)} to {number(high, places)} {unit}. Reads {number(value, places)} {unit}, uncertain by {number(spread, places)} {unit} either way. "
        f"The dangerous end is the {fit.dangerous} one."
    )
    return svg(
        "zone",
        id=f"zone-{slug(fit.id)}",
        title=f"{upper_first(kind.called)} zone of {fit.name}",
        measured=kind.axis.measured,
        called=kind.called,
        described=described,
        axis=axis,
        low=axis.at(low),
        high=axis.at(high),
        value=axis.at(value),
        first=axis.at(value - spread),
        last=axis.at(value + spread),
        danger=(LEFT, axis.at(low)) if danger_low else (axis.at(high), RIGHT),
        nought=axis.at(0) if axis.low < 0 < axis.high else None,
        unit=unit,
        label=f"{number(value, places)} ± {number(spread, places)}",
        danger_word=fit.dangerous,
    )


def hot_curve(fit: FitFinding, kind: FitKind, fmt: UnitFormatter) -> Markup | None:
    """Clearance from cold to hot, a line for each case, with the band of the uncertainty."""
    if not fit.hot or fit.clearance is None:
        return None
    scale, unit, places = fmt.factor()
    ends, cold, what = [case.now for case in fit.hot], fit.clearance, "as the sizes are now"
    planned = [case.at_target for case in fit.hot if case.at_target is not None]
    if fit.at_target is not None and len(planned) == len(fit.hot):
        ends, cold, what = planned, fit.at_target, "at the stop of the cut"
    lines = []
    for index, (case, end) in enumerate(zip(fit.hot, ends, strict=True)):
        lines.append(
            {
                "name": case.case.replace("_", " "),
                **_line_style(index),
                "cold": cold / scale,
                "hot": end / scale,
                "band": case.expanded / scale,
            }
        )
    values = [0.0]
    for line in lines:
        values += [line["cold"], line["hot"] - line["band"], line["hot"] + line["band"]]
    axis = _upright(min(values), max(values))
    labels = _spread_out([(axis.at(line["hot"]), line) for line in lines])
    said = "; ".join(f"{line['name']} {number(line['hot'], places)} {unit}" for line in lines)
    return svg(
        "hot",
        id=f"hot-{slug(fit.id)}",
        title=f"Cold to hot: {fit.name}",
        described=f"{upper_first(kind.called)} {what}: cold {number(cold / scale, places)} {unit}; hot: {said}.",
        axis=axis,
        lines=lines,
        labels=labels,
        unit=unit,
        what=what,
        measured=kind.axis.measured,
        at_nought=kind.at_nought,
    )


def _spread_out(labels: list, least: float = 15.0) -> list:
    """Move labels apart so that none covers another."""
    placed, last = [], None
    for y, line in sorted(labels, key=lambda label: label[0]):
        last = y if last is None else max(y, last + least)
        placed.append((round(last, 1), line))
    return placed


def progress_bar(share: float) -> Markup:
    """Expected minutes done over all expected minutes."""
    return svg("progress", id="progress", share=round(share * 332, 1), percent=number(share * 100, 0))
