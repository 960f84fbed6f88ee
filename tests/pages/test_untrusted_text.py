"""Contributors' text is untrusted: hostile text in every text field of a build reaches no page as markup."""

import html

import markdown
import pytest
from acting_html import acting, acting_beyond_own
from gudgeon.assess.build import assess
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Club
from small_build import FILES, rendered, shelf, write

ATTACK = """<script>alert(1)</script><img src=x onerror=alert(1)>"' onload=alert(1) [x](javascript:alert(1)) ![x](javascript:1) `*_#{{ 7*7 }}{% raw %}"LINK:x" "SOURCES#x" </svg><b>"""
QUOTED = "'" + ATTACK.replace("'", "''") + "'"
BODY = f"{ATTACK}\n\n# big\n\n<div onclick='x()'>hi</div>\n\n<a href='javascript:alert(1)'>a</a> [b](javascript:alert(1)) [c](data:text/html,x) [good](https://example.org/)\n"

HOSTILE = {
    "build.yaml": f"""\
name: {QUOTED}
about: {QUOTED}
units: mm
stage: {QUOTED}
engine: {{layout: {QUOTED}, bore: 50.00 mm, stroke: 60 mm, speed: 500 rpm, fuel: {QUOTED}}}
club: {{name: {QUOTED}, invented: true}}
people: {{ada: {{name: {QUOTED}, does: {QUOTED}}}}}
cases: {{hot: {{hole: 100 °C, shaft: 150 °C, says: {QUOTED}}}}}
""",
    "parts/cyl.yaml": FILES["parts/cyl.yaml"]
    .replace("name: Cylinder", f"name: {QUOTED}\nalso: {QUOTED}\nmade_from: {QUOTED}\nnote: {QUOTED}")
    .replace("state: finished", f"state: {QUOTED}")
    .replace(
        "name: Bore",
        f"name: {QUOTED}, detail: {QUOTED}, note: {QUOTED}, plan: {{stations: [10 mm], angles: [0 deg], zero: {QUOTED}}}",
    ),
    "fits.yaml": FILES["fits.yaml"]
    .replace("name: Skirt in bore", f"name: {QUOTED}")
    .replace(
        "because: test",
        f"because: {QUOTED}, note: {QUOTED}, wanted_before: [{{want: [0.01 mm, 0.02 mm], rule: A-R1, because: {QUOTED}}}]",
    ),
    "operations.yaml": f"""\
operations:
  BORE: {{part: cyl, does: {QUOTED}, changes: [cyl.bore], done: 2025-02-01, rework: {QUOTED}, note: {QUOTED}}}
  TURN: {{part: piston, does: {QUOTED}, needs: [BORE], changes: [piston.skirt], done: 2025-02-03}}
  NEXT: {{part: piston, does: {QUOTED}, needs: [TURN], changes: [piston.skirt], machine: big, cutting: {{tool: {QUOTED}, tool_of: {QUOTED}, length: 60 mm}}}}
  LAST: {{part: piston, does: {QUOTED}, needs: [NEXT], hold_point: true}}
""",
    "instruments.yaml": FILES["instruments.yaml"]
    .replace("outside mic 25-75 mm", QUOTED)
    .replace(
        "due: 2026-01-01",
        f"due: 2026-01-01, check: {QUOTED}, found_off: {{reads_high: 0.006 mm, found: 2025-03-01, how: {QUOTED}}}",
    ),
    "figures.yaml": f"figures:\n  peak_pressure: {{is: 20 bar, from: {QUOTED}}}\n",
    "materials.yaml": f"materials:\n  ci: {{name: {QUOTED}, cte: 11.0e-6 /K, said: {QUOTED}, valid: [20 °C, 40 °C]}}\n",
    "machines.yaml": f"machines:\n  big: {{name: {QUOTED}, speeds: [50 rpm], feeds: [0.1 mm], dial_reads: radius, dial_division: 0.02 mm, taper: {QUOTED}, clean_cut: {{least_cut: 0.01 mm, tool: {QUOTED}}}}}\n",
    "cuts.yaml": f"cuts:\n  - {{date: 2025-02-03, of: piston.skirt, machine: big, asked: 0.1 mm, got: 0.1 mm, tool: {QUOTED}, feed: 0.1 mm, note: {QUOTED}}}\n",
    "reviews.yaml": f"reviews:\n  - {{date: 2025-02-05, who: ada, verdict: agreed, about: [F1], says: {QUOTED}}}\n",
    "readings/2025-02-02-bore.yaml": FILES["readings/2025-02-02-bore.yaml"].replace(
        "50.010 50.010 mm", f"50.010 50.010 mm, note: {QUOTED}, as_held: {QUOTED}"
    ),
    "log/01-first.md": f"---\nnumber: 1\ntitle: {QUOTED}\ndate: 2025-02-05\nby: ada\n---\n{BODY}",
}


def body(page) -> str:
    """A page's Markdown without its front matter, as any generator reads it."""
    return page.text.split("---\n", 2)[2]


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile") / "small"
    write(folder)
    for name, text in HOSTILE.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    build = load_build(folder, "builds/small", shelf())
    assert build.problems == [], build.problems
    return rendered(Club([build], shelf()), {"small": assess(build, shelf())})[0]


def test_no_markup_gets_through(pages):
    shown = 0
    for page in pages:
        shown_as = markdown.markdown(body(page), extensions=["toc", "tables", "fenced_code"])
        assert acting_beyond_own(page.uri, shown_as) == [], page.uri
        assert "{{" not in page.text or "7*7" in page.text, "nothing is rendered twice"
        shown += "alert(1)" in shown_as
    assert shown > 10, "the text itself has to be shown, as text"


def test_words_that_look_like_a_link_of_ours_come_out_as_they_are(pages):
    story = next(page for page in pages if page.uri == "builds/small/story/01-first.md")
    fit = next(page for page in pages if page.uri == "builds/small/fits/f1.md")
    for page in (story, fit):
        assert '"LINK:x" "SOURCES#x"' in html.unescape(body(page)), page.uri


@pytest.mark.slow
def test_a_broken_build_shows_its_problems_as_text(tmp_path):
    folder = write(tmp_path / "small", build=FILES["build.yaml"].replace("units: mm", f"units: {QUOTED}"))
    build = load_build(folder, "builds/small", shelf())
    for page in rendered(Club([build], shelf()), {})[0]:
        assert acting_beyond_own(page.uri, markdown.markdown(body(page))) == [], page.uri


def test_the_looker_sees_an_attack():
    assert acting(ATTACK) == ["script", "img", "img onerror=alert(1)", "b"]
