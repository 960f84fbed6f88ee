"""Where along a bore a fit is tightest: the sizes read at each station, less the size of the mate that decides, as it travels there."""

from collections.abc import Sequence

from markupsafe import Markup

from gudgeon.assess.findings import FeatureFinding, FitFinding
from gudgeon.drawing.canvas import Canvas
from gudgeon.drawing.dimensions import LETTER
from gudgeon.drawing.scales import Axis
from gudgeon.records.fits import Fit
from gudgeon.records.parts import Feature
from gudgeon.wording import UnitFormatter, slug

LEFT, RIGHT, TOP, BOTTOM, HEIGHT = 46.0, 346.0, 26.0, 176.0, 216.0
FAR = 3.0  # heights of the profile: what is wanted further off than that is said, not drawn


def along(
    fit: FitFinding, record: Fit, hole: FeatureFinding | None, spec: Feature | None, fmt: UnitFormatter
) -> Markup | None:
    """The drawing; None where the bore was not read at several stations, or nothing is known of the mate.

    hole, spec: the outer half as it was read and as it is to be.
    """
    if (
        record.pairing.id != "two sizes"
        or fit.clearance is None
        or not (hole and spec and fit.hole_at and fit.shaft_at)
    ):
        return None
    cells = [(cell.station, cell.size) for cell in hole.cells if cell.station is not None]
    stations = sorted({station for station, _ in cells})
    if len(stations) < 2:
        return None
    scale, unit, _ = fmt.factor()
    missing = sorted({station for station, _ in hole.missing_cells if station is not None} - set(stations))
    mate = fit.shaft_at.size
    ends = [
        (station, *(pick([size for at, size in cells if at == station]) - mate for pick in (min, max)))
        for station in stations
    ]
    values = [fit.clearance, *(end for _, least, most in ends for end in (least, most))]
    near = FAR * ((max(values) - min(values)) or abs(fit.clearance) or 1.0)
    wanted = [limit for limit in (fit.want_low, fit.want_high) if limit is not None]
    # What is wanted is drawn where it lies near; a taper of a thou would not be seen beside what is ten thou off.
    band = bool(wanted) and min(values) - near <= wanted[-1] and wanted[0] <= max(values) + near
    values += wanted if band else []
    values += [0.0] if min(values) - near <= 0.0 <= max(values) + near else []
    across = Axis(min([*stations, *missing]), max([*stations, *missing]), LEFT + 8, RIGHT - 8)
    up = Axis(min(values) / scale, max(values) / scale, BOTTOM, TOP)
    word = "tightest" if fit.dangerous == "tight" else "loosest"
    place = fmt.place_text(fit.hole_at.station, fit.hole_at.angle)
    at_place = f"{word}: {fmt.clearance_text(fit.clearance)}" + (f" at {place}" if place else "")
    canvas = Canvas(
        f"along-{slug(fit.id)}", f"Where along the bore {fit.name} is {word}", _described(fmt, ends, at_place), HEIGHT
    )
    if fit.want_low is not None and not band:
        above = fit.want_low > fit.clearance
        words = f"wanted, further {'up' if above else 'down'}: {fmt.range_text(fit.want_low, fit.want_high)}"
        canvas.text(RIGHT, TOP + 2 if above else BOTTOM - 4, words, "g-tick g-over", "end")
    if fit.want_low is not None and band:
        low = up.at(fit.want_low / scale)
        high = TOP if fit.want_high is None else up.at(fit.want_high / scale)
        canvas.rect(LEFT, high, RIGHT - LEFT, max(low - high, 1.5), "g-wanted")
    for value, words in up.ticks():
        canvas.line(LEFT, up.at(value), RIGHT, up.at(value), "g-grid")
        canvas.text(LEFT - 4, up.at(value) + 4, words, anchor="end")
    if 0.0 in values:
        canvas.line(LEFT, up.at(0.0), RIGHT, up.at(0.0), "g-nought")
    if spec.swept is not None:
        _not_travelled(canvas, across, [float(end) for end in spec.swept])
    for pick in (1, 2):
        canvas.polyline(
            [(across.at(end[0]), up.at(end[pick] / scale)) for end in ends], "g-line", "5 3" if pick == 2 else None
        )
    for station, least, most in ends:
        x = across.at(station)
        canvas.line(x, up.at(least / scale), x, up.at(most / scale), "g-whisker")
        canvas.text(x, BOTTOM + 16, fmt.station_text(station).split()[0], anchor="middle")
    for station in missing:
        canvas.text(across.at(station), BOTTOM - 4, "?", "g-value g-over", "middle")
    if fit.hole_at.station is not None:
        x, y = across.at(fit.hole_at.station), up.at(fit.clearance / scale)
        canvas.circle(x, y, 5, "g-dot")
        canvas.line(x, y, x, TOP - 8, "g-dimension")
        half = LETTER * 1.35 * len(at_place) / 2
        canvas.text(min(max(x, half + 2), 358 - half), TOP - 12, at_place, "g-value g-over", "middle")
    canvas.text(
        4,
        HEIGHT - 4,
        f"{unit} {record.of_kind.axis.measured}; along the bore: stations, {fmt.station_text(1.0).split()[1]}",
    )
    return canvas.markup()


def _not_travelled(canvas: Canvas, across: Axis, swept: list[float]) -> None:
    """What the mate does not reach is greyed: it does not count."""
    low, high = across.at(swept[0]), across.at(swept[1])
    for first, last in ((LEFT, low), (high, RIGHT)):
        if last - first > 12:
            canvas.rect(first, TOP, last - first, BOTTOM - TOP, "g-band")


def _described(fmt: UnitFormatter, ends: Sequence[tuple[float, ...]], at_place: str) -> str:
    """The drawing in words."""
    said = "; ".join(
        f"station {fmt.station_text(station)} {fmt.clearance_text(least)} to {fmt.clearance_text(most)}"
        for station, least, most in ends
    )
    return f"{at_place}. {said}."
