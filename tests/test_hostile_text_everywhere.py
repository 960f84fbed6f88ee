"""Hostile text in every text field of every record, the fields taken from the models: nothing that leaves acts on it."""

import csv
import io
import json
import re
import shutil

import gudgeon
import markdown
import pytest
from acting_html import acting, acting_beyond_own
from click.testing import CliRunner
from club_repo import ENV, ClubRepo
from gudgeon.assess.build import assess
from gudgeon.cli import main
from gudgeon.export.package import files
from gudgeon.pages.page import environment
from gudgeon.pages.phone_page import SCRIPTS
from hostile_records import ALL_FIELDS, ATTACK, ELSEWHERE, hostile_club
from small_build import rendered, write

pytestmark = pytest.mark.slow
TAME = {
    "build": {"head": {"name": "x"}},
    "data": "{}",
    "scripts": SCRIPTS,
    **dict.fromkeys(("policy", "digest", "shared", "home", "sheets"), ""),
}
CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u200b\u2028-\u202e\u2060-\u206f\u200e\u200f\ufeff\U000e0041]")


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    """(folder of the project, what was filled, the club as it is read)."""
    root = tmp_path_factory.mktemp("hostile")
    filler = hostile_club(root)
    club = gudgeon.open(root).club()
    assert club.knowledge.problems == [] and [build.problems for build in club.builds] == [[], []]
    return root, filler, club


@pytest.fixture(scope="module")
def findings(hostile):
    return {build.id: assess(build, hostile[2].knowledge) for build in hostile[2].builds}


def test_every_text_field_of_every_record_is_filled(hostile):
    """A field that a later version adds has to be filled too, or to have a form that refuses hostile text."""
    _, filler, _ = hostile
    assert len(ALL_FIELDS) > 130
    left = ALL_FIELDS - filler.filled - filler.refused - ELSEWHERE
    assert left == set(), "give hostile_records.py a record that has these"
    assert ELSEWHERE <= ALL_FIELDS and not ELSEWHERE & filler.filled


def test_no_page_acts(hostile, findings):
    pages, assets = rendered(hostile[2], findings)
    shown = 0
    for page in pages:
        body = page.text.split("---\n", 2)[2]
        html = markdown.markdown(body, extensions=["toc", "tables", "fenced_code"])
        assert acting_beyond_own(page.uri, html) == [], page.uri
        assert "49" not in re.findall(r"\{\{ (\S+)", body) and "\x1b" not in page.text
        shown += "window.ran" in html
    assert len(pages) > 80 and shown > 60, "the text itself is shown, as text"
    for asset in assets:
        if asset.uri.endswith((".json", ".webmanifest")):
            json.loads(asset.content)
        if asset.uri.endswith("/phone/index.html"):
            # Its own head and data, each once, and what people type into; no text of a record adds to them.
            own = acting(asset.content.decode())
            assert own == acting(environment().get_template("phone.html.j2").render(TAME)), asset.uri
            continue
        assert asset.uri == "assets/phone/icon.svg" or not asset.uri.endswith((".ics", ".xml", ".svg", ".html")), (
            f"{asset.uri}: look what it carries"
        )


def test_open_data_carries_it_as_data(hostile, findings):
    for build in hostile[2].builds:
        for name, content in files(build, findings[build.id]).items():
            text = content.decode("utf-8") if isinstance(content, bytes) else content
            if name.endswith(".json"):
                assert json.loads(text) is not None
            elif name.endswith(".csv"):
                for line in csv.reader(io.StringIO(text)):
                    for cell in line:
                        assert not cell.startswith(("=", "@", "\t", "\r")), (name, cell[:60])
                        assert not cell.startswith(("+", "-")) or re.match(r"[+-]\d", cell), (name, cell[:60])


def run(root, *words) -> str:
    place = [str(root)] if words == ("check",) else ["--root", str(root)]
    done = CliRunner().invoke(main, [*words, *place], env={"GUDGEON_CACHE": ""})
    assert done.exit_code in (0, 1) and (done.exception is None or isinstance(done.exception, SystemExit)), done.output
    return done.output


@pytest.fixture(scope="module")
def changed(hostile, tmp_path_factory):
    """The same as a repository with a change of everything: names, readings, sayings."""
    root = tmp_path_factory.mktemp("changed") / "club"
    repo = ClubRepo(root)
    for folder in ("builds", "docs"):
        shutil.rmtree(root / folder)
        shutil.copytree(hostile[0] / folder, root / folder)
    repo.commit("hostile")
    for path in [*sorted((root / "builds").rglob("*.yaml")), *sorted((root / "docs/knowledge/rules").glob("*.yaml"))]:
        path.write_text(path.read_text(encoding="utf-8").replace("=1+1|x", "=2+2|y"), encoding="utf-8")
    skirt = root / "builds/small/readings/2025-02-04-skirt.yaml"
    assert "49.945" in skirt.read_text(encoding="utf-8")
    skirt.write_text(skirt.read_text(encoding="utf-8").replace("49.945", "49.985"), encoding="utf-8")
    return root


@pytest.mark.parametrize("form", ["text", "markdown", "json", "sarif"])
def test_a_review_carries_it_harmlessly(changed, form):
    told = run(changed, "review", "--form", form, *(("--details",) if form == "text" else ()))
    assert ("window.ran" in told or form == "markdown") and not CONTROL.search(told)
    if form in ("json", "sarif"):
        assert json.loads(told)
    if form == "markdown":
        # A forge shows a slip's own tags; what came from a record is not among them.
        assert [tag for tag in acting(markdown.markdown(told, extensions=["tables"])) if "form" not in tag] == []


@pytest.mark.parametrize("words", [("check",), ("history", "small", "F1"), ("history", "sundlia", "B-F01")])
def test_a_terminal_is_not_steered(changed, words):
    assert not CONTROL.search(run(changed, *words))


def test_a_calendar_has_no_line_but_its_own(hostile):
    """Unfolded (RFC 5545, 3.1), every line is one that the calendar's own code writes, however a text of a record ends or breaks."""
    told = run(hostile[0], "due", "--on", "2030-01-01", "--form", "ics")
    assert told.count("\n") > 40 and "window.ran" in told
    unfolded = told.replace("\r\n", "\n").replace("\n ", "").strip("\n").split("\n")
    names = {re.split("[:;]", line)[0] for line in unfolded}
    assert names == set(
        [
            "BEGIN",
            "VERSION",
            "PRODID",
            "CALSCALE",
            "UID",
            "DTSTAMP",
            "DTSTART",
            "DTEND",
            "SUMMARY",
            "DESCRIPTION",
            "CATEGORIES",
            "TRANSP",
            "END",
        ]
    )
    assert not CONTROL.search("".join(unfolded)) and all(len(line.encode()) <= 76 for line in told.split("\n"))


@pytest.mark.parametrize(
    "unseen",
    [
        "\x1b[31m",
        "\x1b]0;x\x07",
        "\u202e",
        "\u2066",
        "\x00",
        "\x9b2J",
        "\ufeff",
        "\r\n\x08",
        "\u200b",
        "\u2060",
        "\u00ad",
        "\u2028",
        "a\u200d",
        "\U000e0041",
    ],
)
def test_what_nobody_sees_is_refused_where_it_stands(tmp_path, unseen):
    """Escapes of terminals and overrides of the direction of writing, in a text and as an escape of YAML."""
    build = write(tmp_path / "builds" / "small")
    text = (build / "build.yaml").read_text(encoding="utf-8")
    escaped = json.dumps(f"a{unseen}b")
    text = re.sub(r"(?m)^name: .*$", lambda _: f"name: {escaped}", text, count=1)
    (build / "build.yaml").write_text(text, encoding="utf-8")
    told = run(tmp_path, "check")
    assert "builds/small/build.yaml:" in told and unseen not in told and not CONTROL.search(told)


def test_a_name_with_it_reaches_no_path(hostile):
    """Ids, folders and addresses have a form; the text itself names no file anywhere."""
    for build in hostile[2].builds:
        assert all("<" not in name for name in (*build.parts, *build.fits, *build.operations))
    assert ENV["GIT_CONFIG_GLOBAL"] and ATTACK.count("<") > 5
