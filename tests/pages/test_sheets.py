"""The sheet of an operation has how to set the lathe for a taper, with the caution of that work, and whose the accepted risk is."""

import html
import re

from gudgeon.assess.build import assess
from gudgeon.pages import sheets
from gudgeon.pages.page import Renderer
from gudgeon.pages.view import View
from small_build import FILES, load, shelf

LATHE = """\
machines:
  small: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_reads: radius, dial_division: 0.02 mm}
"""
TAPER = "figures: {taper_large: {is: 30 mm, from: print}, taper_small: {is: 25 mm, from: print}, taper_length: {is: 60 mm, from: print}}\n"
WORK = (
    "  TAP: {part: piston, does: turn the taper of the stub, machine: small, estimate: [30 min, 60 min, 90 min]}\n"
    "  KEY: {part: piston, does: file taper key, estimate: [30 min, 60 min, 90 min]}\n"
)


def sheet(tmp_path, operation, figures=TAPER):
    tmp_path.mkdir(exist_ok=True)
    build = load(tmp_path, operations=FILES["operations.yaml"] + WORK, machines=LATHE, figures=figures)
    assert build.problems == []
    view = View(build, assess(build, shelf()), shelf(), Renderer())
    page = next(page for page in sheets.pages(view) if page.uri.endswith(f"sheets/{operation}.md"))
    return " ".join(re.sub(r"<[^>]*>", "", html.unescape(page.text)).split())


def test_the_angle_of_the_rest_stands_with_its_diameters_and_the_caution(tmp_path):
    """arctan(5/120) = 2.386°; nothing says how long the work is between centres, so no set-over is told."""
    text = sheet(tmp_path, "tap")
    assert "Angle of the compound rest to the work's axis for the taper to turn: 2.386°" in text, text
    assert "30.00 mm" in text and "25.00 mm" in text and "60.00 mm" in text and "Setting over" not in text
    assert "⚠ Turning a taper" in text


def test_no_other_sheet_has_it(tmp_path):
    assert "compound rest" not in sheet(tmp_path / "filed", "key")
    assert "compound rest" not in sheet(tmp_path / "unknown", "tap", figures=None)


def test_the_sheet_says_whose_the_accepted_risk_is(tmp_path):
    cut = "cuts:\n" + "".join(
        f"  - {{date: 2025-02-04, of: piston.skirt, machine: small, asked: {asked} mm, got: {got} mm, tool: honed, feed: 0.1 mm}}\n"
        for asked, got in ((0.02, 0.018), (0.1, 0.093), (0.2, 0.190))
    )
    work = "  FIN: {part: piston, does: finish skirt, needs: [TURN], changes: [piston.skirt], machine: small, cutting: {feed: 0.1 mm, tool: honed%s}}\n"
    for more, by in (("", "the club"), (", risk: 0.03", "the operation")):
        folder = tmp_path / by
        folder.mkdir()
        rows = FILES["readings/2025-02-04-skirt.yaml"].replace("49.945", "50.345")
        work_here = FILES["operations.yaml"] + work % more
        build = load(folder, operations=work_here, machines=LATHE, cuts=cut, readings__2025_02_04_skirt=rows)
        assert build.problems == []
        view = View(build, assess(build, shelf()), shelf(), Renderer())
        text = next(page.text for page in sheets.pages(view) if page.uri.endswith("sheets/fin.md"))
        assert f"{'3' if more else '5'} % risk, as {by} accepts)" in text
