"""The pair of a fit in section: what is drawn is two hundred times the finding, and what is not known is said as not known."""

import json
import math
import re
import xml.etree.ElementTree as ET

import pytest
from fits_of_every_kind import READS, WAYS, records
from gudgeon.assess.build import assess
from gudgeon.pages.drawn import fit_lead, fit_lead_gap, fit_section, fit_slide
from gudgeon.records.load_build import load_build
from gudgeon.wording import UnitFormatter
from small_build import load, shelf

BARE = dict.fromkeys(("parts__cyl", "parts__piston", "operations"), None) | {
    "readings__2025_02_02_bore": None,
    "readings__2025_02_04_skirt": None,
}


def drawn(tmp_path, kind, pairing, reads=READS, old="", new="", units="mm"):
    """Finding and pictures of a fit of a kind."""
    files = records({"T1": (kind, pairing)}, reads)
    files["fits"] = files["fits"].replace(f"rule: R-{kind.id}, ", "").replace(old, new)
    build = load(tmp_path, **BARE, **files)
    assert build.problems == []
    fit = assess(build, shelf()).fits["T1"]
    return fit, fit_section.pictures(fit, build.fits["T1"], build, UnitFormatter(units))


def length_drawn(picture, along: str = "width") -> float:
    """The gap as it is drawn, over all its sides, in units; overlap is below nought."""
    root = ET.fromstring(picture.drawing)
    total = 0.0
    for element in root.iter():
        css = element.get("class")
        sign = {"g-gap": 1, "g-overlap": -1}.get(css or "")
        if sign and element.tag == "rect":
            total += sign * float(element.get(along))
        elif sign and element.tag == "polygon":
            corners = [tuple(map(float, point.split(","))) for point in element.get("points").split()]
            total += sign * max(abs(a[1] - b[1]) for a, b in zip(corners[:2], reversed(corners[2:]), strict=True))
        elif sign:
            x1, y1, x2, y2 = map(
                float, re.match(r"M (\S+) (\S+) A \S+ \S+ 0 \d 1 (\S+) (\S+)", element.get("d")).groups()
            )
            middle = fit_section.CENTRE
            angles = [math.atan2(x - middle, middle - y) for x, y in ((x1, y1), (x2, y2))]
            total += sign * (angles[1] - angles[0]) % (sign * 2 * math.pi) * fit_section.RADIUS
    return total


@pytest.mark.slow
def test_the_drawn_gap_is_two_hundred_times_the_finding(tmp_path):
    files = records({f"T{number}": way for number, way in enumerate(WAYS)}, READS)
    files["fits"] = re.sub(r"rule: R-\w+, ", "", files["fits"])
    build = load(tmp_path, **BARE, **files)
    findings = assess(build, shelf())
    for fit_id, (kind, pairing) in zip(build.fits, WAYS, strict=True):
        fit = findings.fits[fit_id]
        pictures = fit_section.pictures(fit, build.fits[fit_id], build, UnitFormatter("mm"))
        assert len(pictures) == 1 + len(fit.hot) and len(fit.hot) == (pairing.hot is not None), kind.id
        for picture in pictures:
            assert length_drawn(picture) == pytest.approx(200 * picture.stand.clearance * picture.scale, abs=0.25), (
                kind.id
            )
        large = fit_lead.picture(fit, build.fits[fit_id], build, UnitFormatter("mm"), pictures[0])
        if pairing.id == "two sizes":
            drawn = length_drawn(large, "width" if kind.axis.per_side else "height")
            assert drawn == pytest.approx(200 * fit.clearance * large.scale, abs=0.25), kind.id
            assert all(f">{size}<" in large.drawing for size in ("50.010 mm", "49.945 mm"))
        else:
            drawn = length_drawn(large) * fit_lead_gap.ZOOM
            assert drawn == pytest.approx(200 * fit.clearance * large.scale, abs=0.5), kind.id
            assert f">{UnitFormatter('mm').clearance_text(fit.clearance)}<" in large.drawing
            slide = fit_slide.slide(fit, build.fits[fit_id], UnitFormatter("mm"), pictures)
            assert (slide is not None) == bool(fit.hot), "what goes hot can be slid there"
            assert slide is None or [stop["gap"] for stop in json.loads(slide.stops)] == [
                fit.clearance,
                *(case.now for case in fit.hot),
            ]
        assert [picture.stand.clearance for picture in pictures] == [fit.clearance, *(case.now for case in fit.hot)]


@pytest.mark.slow
def test_scale_is_that_of_the_parts_and_the_same_in_every_picture_and_unit(tmp_path):
    kind, pairing = WAYS[0]
    (tmp_path / "a").mkdir(), (tmp_path / "b").mkdir()
    fit, pictures = drawn(tmp_path / "a", kind, pairing)
    _, inches = drawn(tmp_path / "b", kind, pairing, units="in")
    shaft = max(
        float(rect.get("width"))
        for rect in ET.fromstring(pictures[0].drawing).iter("rect")
        if "inner" in (rect.get("fill") or "")
    )
    assert shaft == pytest.approx(fit.shaft_at.size * pictures[0].scale, abs=0.1)
    assert len({picture.scale for picture in [*pictures, *inches]}) == 1
    shapes = [re.sub(r"<desc.*?</desc>", "", picture.drawing) for picture in (pictures[0], inches[0])]
    assert shapes[0] == shapes[1] and " thou" in inches[0].drawing and " mm" in pictures[0].drawing


@pytest.mark.slow
def test_interference_is_drawn_as_overlap_and_said(tmp_path):
    for number, (kind, pairing) in enumerate(WAYS):
        if pairing.id == "two sizes":
            folder = tmp_path / str(number)
            folder.mkdir()
            fit, pictures = drawn(folder, kind, pairing, READS | {"shaft": "50.040 mm"})
            build = load_build(folder / "small", "builds/small", shelf())
            large = fit_lead.picture(fit, build.fits["T1"], build, UnitFormatter("mm"), pictures[0])
            along = "width" if kind.axis.per_side else "height"
            for picture, way in ((pictures[0], "width"), (large, along)):
                assert length_drawn(picture, way) < 0 and "interference, drawn as overlap" in picture.drawing
            assert ">overlap 0." in large.drawing
            break
    folder = tmp_path / "much"
    folder.mkdir()
    _, pictures = drawn(folder, kind, pairing, READS | {"shaft": "50.900 mm"})
    assert pictures[0].drawing is None and pictures[0].lacks == "too much to draw 200 times as large"


@pytest.mark.slow
def test_what_is_not_known_is_drawn_as_not_known(tmp_path):
    kind, pairing = WAYS[0]
    for number, reads in enumerate(({}, {"hole": READS["hole"]})):
        folder = tmp_path / str(number)
        folder.mkdir()
        fit, pictures = drawn(folder, kind, pairing, reads)
        assert fit.clearance is None
        for picture in pictures:
            assert picture.lacks == "not measured yet" and picture.scale is None
            assert ">?<" in picture.drawing and "g-gap" not in picture.drawing and "g-wanted" not in picture.drawing


@pytest.mark.slow
def test_a_case_that_is_not_worked_out_says_so(tmp_path):
    kind, pairing = next((kind, way) for kind, way in WAYS if way.id == "read gap" and way.hot)
    files = records({"T1": (kind, pairing)}, {"gap": "0.290 mm"})
    files["parts__outer"] = files["parts__outer"].replace(", nominal: '50.00 mm'", "")
    files["fits"] = files["fits"].replace(f"rule: R-{kind.id}, ", "")
    build = load(tmp_path, **BARE, **files)
    fit = assess(build, shelf()).fits["T1"]
    cold, hot = fit_section.pictures(fit, build.fits["T1"], build, UnitFormatter("mm"))
    assert cold.lacks == "" and hot.lacks == "not worked out" and ">?<" in hot.drawing


@pytest.mark.slow
def test_what_the_slider_reads_are_the_findings(harrow, club):
    build = next(build for build in club.builds if build.id == "harrow-pond")
    fmt = UnitFormatter("in")

    def slide_of(name):
        fit, record = harrow.fits[name], build.fits[name]
        return fit_slide.slide(fit, record, fmt, fit_section.pictures(fit, record, build, fmt))

    slide, fit = slide_of("A-F01"), harrow.fits["A-F01"]
    stops = json.loads(slide.stops)
    assert [stop["gap"] for stop in stops] == [fit.at_target, *(case.at_target for case in fit.hot)]
    assert [(stop["outer"], stop["inner"]) for stop in stops[1:]] == [
        (case.hole_temp, case.shaft_temp) for case in fit.hot
    ]
    assert stops[1]["said"] == f"Warm up: {fmt.clearance_text(fit.hot[0].at_target)}; 50 / 130 °C"
    assert slide.last == 300
    # A straight line between two cases is what the sum gives: it is straight in both temperatures.
    warm, running = fit.hot[0], fit.hot[1]
    bore, skirt = fit.hole_at.size, fit.hole_at.size - fit.at_target
    grown = harrow.metals[build.parts["piston"].material].cte
    middle = [
        (one + other) / 2 for one, other in ((warm.hole_temp, running.hole_temp), (warm.shaft_temp, running.shaft_temp))
    ]
    by_sum = bore * (1 + grown * (middle[0] - 20)) - skirt * (1 + grown * (middle[1] - 20))
    assert by_sum == pytest.approx((warm.at_target + running.at_target) / 2, abs=1e-4)
    assert slide_of("A-F04") is None and slide_of("A-F16") is None, (
        "without a temperature case there is nothing to slide to"
    )
