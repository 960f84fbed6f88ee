"""The drawings of a bore: what is drawn is the findings', enlarged as is said; what was not read is not drawn as if it were."""

import math
import xml.etree.ElementTree as ET

import pytest
from gudgeon.pages.drawn import bore_profile, bore_rounds, bore_unrolled
from gudgeon.wording import UnitFormatter
from small_build import FILES, bent, findings

MM = UnitFormatter("mm")
CENTRE = (bore_rounds.CENTRE_X, bore_rounds.CENTRE_Y)
ALL = [(station, angle) for station in (10, 60, 110) for angle in (0, 45, 90, 135)]
PLANNED = bent("parts/cyl.yaml", "extent: [0 mm, 120 mm]", "extent: [0 mm, 120 mm], oval_most: 0.010 mm").replace(
    "extent:",
    "plan: {stations: [10 mm, 60 mm, 110 mm], angles: [0 deg, 45 deg, 90 deg, 135 deg], zero: '0 deg = thrust'}, extent:",
)


def bore(tmp_path, places, size=lambda station, angle: 50.010):
    """The finding of the bore, read at these places."""
    text = FILES["readings/2025-02-02-bore.yaml"].partition("rows:")[0] + "rows:\n"
    for number, (station, angle) in enumerate(places):
        at = (f"station: {station} mm, " if station is not None else "") + (
            f"angle: {angle} deg, " if angle is not None else ""
        )
        text += f"  - {{id: r{number}, {at}reads: {size(station, angle):.3f} mm}}\n"
    return findings(tmp_path, parts__cyl=PLANNED, readings__2025_02_02_bore=text).features["cyl.bore"]


def oval(station, angle):
    """Tapered and oval by 0.012 mm, most at 45°."""
    return 50.010 + station / 10_000 + 0.006 * math.cos(math.radians(2 * (angle - 45)))


def stations_of(feature):
    return sorted(
        {place[0] for place in [*((c.station, c.angle) for c in feature.cells), *feature.missing_cells]},
        key=lambda s: (s is not None, s or 0),
    )


def circles(picture, css):
    return [c for c in ET.fromstring(picture.drawing).iter("circle") if c.get("class") == css]


def test_every_reading_stands_at_its_enlarged_radius_and_angle(tmp_path):
    feature = bore(tmp_path, ALL, oval)
    scale = bore_rounds.scale_of(feature)
    pictures = bore_rounds.pictures(feature, stations_of(feature), "0 deg = thrust", MM)
    assert [picture.station for picture in pictures] == [10, 60, 110], "stations in order"
    base = min(cell.size for cell in feature.cells)
    assert scale.base == base and f"{scale.times:.0f} times" in bore_rounds.scale_words(feature, MM)
    for picture in pictures:
        dots = circles(picture, "g-dot")
        drawn = {
            round(math.degrees(math.atan2(x, y)) % 360): math.hypot(x, y)
            for x, y in ((float(d.get("cx")) - CENTRE[0], CENTRE[1] - float(d.get("cy"))) for d in dots)
        }
        assert len(drawn) == 8
        for cell in feature.cells:
            if cell.station == picture.station:
                radius = bore_rounds.RADIUS * (1 + scale.times * (cell.size - base) / base)
                for turn in (cell.angle, cell.angle + 180):
                    assert min(abs(radius - r) for a, r in drawn.items() if abs(a - turn) <= 1) < 0.1
        assert "0° thrust" in picture.drawing
    assert all(radius <= bore_rounds.RADIUS + bore_rounds.ROOM for radius in drawn.values()), "all of it has room"


def test_an_oval_is_drawn_through_four_angles_and_is_the_findings(tmp_path):
    feature = bore(tmp_path, ALL, oval)
    for section in feature.form.sections:
        assert bore_rounds.fitted(section, 45) == pytest.approx(section.mean + section.ovality / 2, abs=1e-6)
        assert bore_rounds.fitted(section, 135) == pytest.approx(section.mean - section.ovality / 2, abs=1e-6)
    assert all('class="g-outline"' in p.drawing for p in bore_rounds.pictures(feature, stations_of(feature), None, MM))


@pytest.mark.parametrize(
    "places", [ALL[:1], ALL[:3], [(10, 0), (60, 0), (110, 0)], [(60, 0), (60, 90)], [(None, None), (10, 0)]], ids=str
)
def test_of_few_readings_the_points_alone_are_drawn_and_the_rest_is_told(tmp_path, places):
    feature = bore(tmp_path, places)
    stations = stations_of(feature)
    pictures = bore_rounds.pictures(feature, stations, None, MM)
    assert all('class="g-outline"' not in picture.drawing for picture in pictures), "no outline was read"
    assert sum(len(circles(picture, "g-dot")) for picture in pictures) == 2 * sum(
        angle is not None for _, angle in places
    )
    missing = [
        picture for picture in pictures for text in ET.fromstring(picture.drawing).iter("text") if text.text == "?"
    ]
    assert len(missing) == 2 * len(feature.missing_cells), "places not read are marked"
    assert all("not read" in p.drawing for p in pictures if not any(c.station == p.station for c in feature.cells))
    if (None, None) in places:
        assert "1 without an angle" in pictures[0].drawing
    cells = {(cell.station, cell.angle): cell for cell in feature.cells}
    angles = sorted({angle for _, angle in [*cells, *feature.missing_cells]}, key=lambda a: (a is not None, a or 0))
    drawing = bore_unrolled.unrolled(feature, cells, stations, angles, dict.fromkeys(cells, 0), MM)
    words = [text.text for text in ET.fromstring(drawing).iter("text")]
    assert sum(word in ("not read", "?") for word in words) - (None in stations) == len(stations) * len(angles) - len(
        cells
    )


def test_the_strips_along_the_axis_have_the_findings_and_their_doubt(tmp_path):
    feature = bore(tmp_path, ALL, oval)
    root = ET.fromstring(bore_profile.profile(feature, MM))
    bands = [shape for shape in root.iter("polygon") if shape.get("class") == "g-band"]
    assert len(bands) == 4, "a strip for each angle"
    for band in bands:
        points = [tuple(map(float, point.split(","))) for point in band.get("points").split()]
        assert len(points) == 6 and all(
            top[1] < foot[1] for top, foot in zip(points[:3], reversed(points[3:]), strict=True)
        )
    assert (
        bore_profile.profile(
            bore(tmp_path / "one", [(10, 0), (10, 90)]) if (tmp_path / "one").mkdir() is None else None, MM
        )
        is None
    )


def test_a_perfect_round_is_drawn(tmp_path):
    feature = bore(tmp_path, ALL)
    assert all(len(circles(p, "g-dot")) == 8 for p in bore_rounds.pictures(feature, stations_of(feature), None, MM))
    assert bore_rounds.scale_of(feature).times >= 1
