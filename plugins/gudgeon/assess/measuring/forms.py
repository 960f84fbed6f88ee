"""Form of a feature from its places: mean, least, greatest, taper, ovality, closure, shape."""

from gudgeon_calc.form import ANGLES, closure, line_fit, middle_over_ends, ovality
from gudgeon_calc.units import quantity

from gudgeon.assess.findings import Form, Note, SectionForm
from gudgeon.assess.measuring.sizes import LocalSize, UncertainLength, expanded


def sections(places: list[LocalSize]) -> dict[float | None, list[LocalSize]]:
    """Places by station, in order."""
    by_station: dict[float | None, list[LocalSize]] = {}
    for place in places:
        by_station.setdefault(place.station, []).append(place)
    return by_station


def section_mean(places: list[LocalSize]) -> UncertainLength:
    """Mean size of a section, with uncertainty."""
    return sum(place.size for place in places) / len(places)


def form_of(places: list[LocalSize], internal: bool) -> Form | None:
    """The form of a feature, or None without places. internal: whether cutting makes it larger."""
    if not places:
        return None
    by_station = sections(places)
    form_sections = [_section(station, section) for station, section in by_station.items()]
    along = [(station, section_mean(section)) for station, section in by_station.items() if station is not None]
    fit = ends = length = None
    shape: tuple[Note, ...] = ()
    if len(along) > 1:
        length = along[-1][0] - along[0][0]
        fit = line_fit([station for station, _ in along], [mean.nominal_value for _, mean in along]).slope * length
        ends = along[-1][1].nominal_value - along[0][1].nominal_value
        shape = _shape(along, internal) if len(along) > 2 else ()
    return Form(
        mean=sum(section.mean for section in form_sections) / len(form_sections),
        least=min(places, key=lambda place: place.mm).finding(),
        greatest=max(places, key=lambda place: place.mm).finding(),
        sections=tuple(form_sections),
        taper_fit=fit,
        taper_ends=ends,
        taper_length=length,
        shape=shape,
    )


def ovality_of(places: list[LocalSize]) -> float | None:
    """Greatest less least diameter of a section, mm; None where too few angles were read."""
    at = _by_angle(places)
    if all(angle in at for angle in ANGLES):
        return ovality(*(quantity(at[angle], "mm") for angle in ANGLES))[0].m
    for angle, across in ((0, 90), (45, 135)):
        if angle in at and across in at:
            return abs(at[angle] - at[across])
    return None


def _by_angle(places: list[LocalSize]) -> dict[int, float]:
    return {round(place.angle % 180): place.mm for place in places if place.angle is not None}


def _section(station: float | None, places: list[LocalSize]) -> SectionForm:
    at, direction, close = _by_angle(places), None, None
    if all(angle in at for angle in ANGLES):
        four = [quantity(at[angle], "mm") for angle in ANGLES]
        direction, close = ovality(*four)[1].m, closure(*four).m
    return SectionForm(
        station=station,
        mean=section_mean(places).nominal_value,
        angles=len(at),
        ovality=ovality_of(places),
        direction=direction,
        closure=close,
    )


def _shape(along: list, internal: bool) -> tuple[Note, ...]:
    """What the profile is called, where it differs from straight by more than the uncertainty of a section mean."""
    called = _mouths(along) if internal and len(along) > 3 else []
    if not called:
        (_, first), (_, last) = along[0], along[-1]
        half = (along[0][0] + along[-1][0]) / 2
        _, middle = min(along[1:-1], key=lambda station_and_mean: abs(station_and_mean[0] - half))
        bulge = middle_over_ends(*(quantity(mean.nominal_value, "mm") for mean in (first, middle, last))).m
        doubt = expanded(middle - (first + last) / 2)
        if abs(bulge) > doubt:
            called.append(Note(code="barrelled") if bulge > 0 else Note(code="waisted"))
    return tuple(called) or (Note(code="no-shape-seen"),)


def _mouths(along: list) -> list[Note]:
    """The ends that stand open beyond the line of the other sections; where both seem to, beyond the line between them.

    An open end tilts the line that the other end is held against.
    """
    first, last = Note(code="bell-mouthed-first"), Note(code="bell-mouthed-last")
    open_ends = [
        told
        for end, rest, told in ((along[0], along[1:], first), (along[-1], along[:-1], last))
        if _stands_open(end, rest)
    ]
    if len(open_ends) == 2:
        open_ends = [told for end, told in ((along[0], first), (along[-1], last)) if _stands_open(end, along[1:-1])]
    return open_ends


def _stands_open(end: tuple, rest: list) -> bool:
    line = line_fit([station for station, _ in rest], [mean.nominal_value for _, mean in rest])
    over = end[1] - (line.intercept + line.slope * end[0])
    # The scale error is common to all sections: against the others' mean only use counts.
    return over.nominal_value > expanded(end[1] - rest[len(rest) // 2][1])
