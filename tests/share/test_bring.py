"""Things that travel: published with digests, brought with origin and licence, changed visibly, refused where unsound."""

import datetime
import http.server
import json
import re
import shutil
import threading
from functools import partial

import gudgeon
import pytest
from click.testing import CliRunner
from club_repo import ClubRepo
from conftest import ROOT, own, whole_shelf
from gudgeon.cli import main
from gudgeon.project.writing import desk
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.share.bring import NotReached, Refused, bring, fetch, read_item
from gudgeon.share.index import index
from gudgeon.share.item import digest_of_bytes, offered

DAY = datetime.date(2025, 4, 6)
SHELF = "docs/knowledge"


@pytest.fixture(scope="module")
def giver(tmp_path_factory):
    """The files that this club's site offers, in a folder."""
    club, folder = tmp_path_factory.mktemp("club"), tmp_path_factory.mktemp("site")
    whole = whole_shelf(club)
    for path in whole.glob("[cfm]*/**/*.yaml"):
        path.write_text(
            f"{path.read_text()}# as the givers have it\n"
        )  # what says the same as the tool's is here already
    shelf = load_knowledge(whole, SHELF)
    items = offered(shelf)
    for offer in items:
        (folder / offer.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / offer.path).write_bytes(offer.content)
    (folder / "share/index.json").write_bytes(index(shelf, items))
    return folder


@pytest.fixture
def taker(tmp_path):
    """A club with a shelf of its own, almost empty."""
    root = tmp_path / "taker"
    for name in ("rules", "cautions", "materials", "families", "sources"):
        (root / SHELF / name).mkdir(parents=True)
    (root / SHELF / "sources/bibliography.json").write_text("[]\n")
    own(root, "materials/grey-iron.yaml")
    return root


def take(taker, giver, path, **more):
    return take_file(taker, giver / "share" / path, **more)


def take_file(taker, path, **more):
    with desk(taker, print) as held:
        return bring(held, SHELF, str(path), fetch(str(path)), DAY, **more)


def files(root):
    return {path.relative_to(root): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def test_everything_on_the_shelf_is_offered_with_its_digest(giver):
    listed = json.loads((giver / "share/index.json").read_text())
    shelf = gudgeon.open(ROOT).knowledge
    stores = (shelf.rules, shelf.cautions, shelf.materials, shelf.families, shelf.words, ["habits", "judgement"])
    assert len(listed["items"]) == sum(map(len, stores))
    for entry in listed["items"]:
        assert digest_of_bytes((giver / "share" / entry["path"]).read_bytes()) == entry["digest"]
        assert entry["licence"] == "CC-BY-4.0"


@pytest.mark.parametrize("kind", ["rules", "cautions", "materials", "families"])
def test_every_kind_arrives_word_for_word_and_the_shelf_is_sound(taker, giver, kind):
    path = {"rules": "A-R1", "cautions": "scald", "materials": "brass", "families": "piston"}[kind] + ".json"
    found = take(taker, giver, f"{kind}/{path}")
    shelf = load_knowledge(taker / SHELF, SHELF)
    assert shelf.problems == [] and shelf.changed_here == set()
    for name, text in found.item.files.items():
        assert (taker / SHELF / name).read_text() == text and (kind == "rules" or "# as the givers have it" in text)
    (origin,) = shelf.origins.values()
    assert (origin.licence, origin.club, origin.digest) == ("CC-BY-4.0", "The Gudgeon maintainers", found.digest)
    assert take(taker, giver, f"{kind}/{path}").same


def test_the_works_it_cites_come_with_it(taker, giver):
    (taker / SHELF / "materials/grey-iron.yaml").unlink()
    text = (giver / "share/materials/grey-iron.json").read_text()
    key = load_knowledge(taker / SHELF, SHELF).materials["grey-iron"].source
    (taker / "theirs.json").write_text(text.replace(key, "their-book"))
    take_file(taker, taker / "theirs.json")
    shelf = load_knowledge(taker / SHELF, SHELF)
    assert shelf.problems == [] and shelf.materials["grey-iron"].source == "their-book"
    assert "their-book" in (taker / SHELF / "sources/bibliography.json").read_text()


def test_what_says_the_same_as_the_tool_s_is_here_already(taker, giver):
    (taker / SHELF / "materials/grey-iron.yaml").unlink()
    text = (giver / "share/materials/grey-iron.json").read_text().replace("# as the givers have it\\n", "")
    (taker / "same.json").write_text(text)
    before = files(taker)
    assert take_file(taker, taker / "same.json").same and files(taker) == before


def test_another_work_under_the_same_key_is_refused(taker, giver):
    (taker / SHELF / "materials/grey-iron.yaml").unlink()
    item = json.loads((giver / "share/materials/grey-iron.json").read_text())
    other = [{**each, "title": "Another book"} for each in item["sources"]]
    (taker / SHELF / "sources/bibliography.json").write_text(json.dumps(other))
    with pytest.raises(Refused, match="has another work under that key"):
        take(taker, giver, "materials/grey-iron.json")


def test_a_rule_that_says_otherwise_stands_beside(taker, giver):
    take(taker, giver, "rules/A-R1.json")
    own = taker / SHELF / "rules/A-R1.yaml"
    own.write_text(own.read_text().replace("0.001", "0.002"))
    assert load_knowledge(taker / SHELF, SHELF).changed_here == {"rule A-R1"}
    before = files(taker)
    with pytest.raises(Refused, match="says otherwise. Bring it beside that one with --as A-R1-2"):
        take(taker, giver, "rules/A-R1.json")
    with pytest.raises(Refused, match="changed here: it is not written over"):
        take(taker, giver, "rules/A-R1.json", update=True)
    assert files(taker) == before
    take(taker, giver, "rules/A-R1.json", name="A-R1-larkmoor")
    shelf = load_knowledge(taker / SHELF, SHELF)
    assert shelf.problems == [] and {"A-R1", "A-R1-larkmoor"} <= set(shelf.rules)
    assert shelf.origins["rule A-R1-larkmoor"].was_called == "A-R1"
    assert (
        shelf.rules["A-R1"].gives.per_length[0] == 0.002 and shelf.rules["A-R1-larkmoor"].gives.per_length[0] == 0.001
    )
    assert shelf.changed_here == {"rule A-R1"}


LEANING = """\
rule: LEAN
says: one and a half times the thou per inch
kind: skirt
applies_to: any
gives: {of_rule: A-R1, times: '1.5'}
valid: any
said_by: the other club
basis: common practice
grade: club rule
"""


@pytest.fixture(scope="module")
def leaning(tmp_path_factory):
    """What another club's repository offers: a rule that takes the result of A-R1, and A-R1."""
    root, site = tmp_path_factory.mktemp("other") / "club", tmp_path_factory.mktemp("site")
    shutil.copytree(ROOT / SHELF, root / SHELF)
    (root / SHELF / "rules/LEAN.yaml").write_text(LEANING)
    repo = ClubRepo(root)
    shelf = load_knowledge(repo.root / SHELF, SHELF)
    assert shelf.problems == []
    items = offered(shelf)
    for offer in items:
        (site / offer.path).parent.mkdir(parents=True, exist_ok=True)
        (site / offer.path).write_bytes(offer.content)
    (site / "share/index.json").write_bytes(index(shelf, items))
    return site


def test_a_rule_that_takes_another_ones_result_asks_for_that_first(taker, leaning):
    before = files(taker)
    with pytest.raises(
        Refused, match=r"names the rule A-R1, which is not on this shelf. Bring that first: .*share/rules/A-R1\.json"
    ):
        take(taker, leaning, "rules/LEAN.json")
    assert files(taker) == before
    take(taker, leaning, "rules/A-R1.json")
    take(taker, leaning, "rules/LEAN.json")
    assert load_knowledge(taker / SHELF, SHELF).problems == []


def test_a_rule_of_the_same_name_is_not_taken_for_the_one_that_was_meant(taker, leaning):
    """Ours gives twice as much: taken in silence, theirs would give 3 thou per inch for 1.5."""
    take(taker, leaning, "rules/A-R1.json")
    own = taker / SHELF / "rules/A-R1.yaml"
    own.write_text(own.read_text().replace("0.001", "0.002"))
    before = files(taker)
    with pytest.raises(Refused, match="says otherwise than the one it was made with") as refused:
        take(taker, leaning, "rules/LEAN.json")
    assert (
        files(taker) == before
        and "--as A-R1-2" in str(refused.value)
        and "--resting-on A-R1=A-R1-2" in str(refused.value)
    )
    take(taker, leaning, "rules/A-R1.json", name="A-R1-2")
    take(taker, leaning, "rules/LEAN.json", resting_on={"A-R1": "A-R1-2"})
    shelf = load_knowledge(taker / SHELF, SHELF)
    assert (
        shelf.problems == [] and shelf.rules["LEAN"].gives.of_rule == "A-R1-2" and shelf.changed_here == {"rule A-R1"}
    )
    take(taker, leaning, "rules/LEAN.json", name="LEAN-2", resting_on={"A-R1": "A-R1"})
    assert load_knowledge(taker / SHELF, SHELF).rules["LEAN-2"].gives.of_rule == "A-R1", "ours, said aloud"
    with pytest.raises(Refused, match="names the rule NONE, which is not on this shelf"):
        take(taker, leaning, "rules/LEAN.json", name="LEAN-3", resting_on={"A-R1": "NONE"})


def test_a_material_that_it_names_is_asked_for(taker, giver, tmp_path):
    item = (giver / "share/rules/A-R1.json").read_text()
    (tmp_path / "item.json").write_text(item.replace("grey-iron", "their-iron"))
    with pytest.raises(Refused, match="names the material their-iron, which is not on this shelf"):
        take_file(taker, tmp_path / "item.json")
    assert take(taker, giver, "rules/A-R1.json").item.id == "A-R1", "grey iron comes with the tool"


def test_what_comes_with_the_tool_is_not_given_away_as_the_club_s():
    """Under the club's name and licence it would be somebody else's."""
    given = {(one.item.kind, one.item.id) for one in offered(gudgeon.open(ROOT).knowledge)}
    assert ("rule", "A-R1") in given and ("rule", "P-R1") not in given and {kind for kind, _ in given} == {"rule"}


def test_an_update_takes_the_place_of_what_was_not_changed(taker, giver, tmp_path):
    take(taker, giver, "rules/A-R1.json")
    newer = json.loads((giver / "share/rules/A-R1.json").read_text())
    newer["files"]["rules/A-R1.yaml"] = newer["files"]["rules/A-R1.yaml"].replace("0.001", "0.0011")
    (tmp_path / "newer.json").write_text(json.dumps(newer))
    take_file(taker, tmp_path / "newer.json", update=True)
    shelf = load_knowledge(taker / SHELF, SHELF)
    assert shelf.rules["A-R1"].gives.per_length[0] == 0.0011 and len(shelf.origins) == 1
    assert shelf.origins["rule A-R1"].digest == digest_of_bytes((tmp_path / "newer.json").read_bytes())


def test_another_digest_than_demanded_is_refused(taker, giver):
    before = files(taker)
    with pytest.raises(Refused, match="the digest differs"):
        take(taker, giver, "rules/A-R1.json", digest="sha256:" + "0" * 64)
    assert files(taker) == before


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda item: item["files"].update({"rules/../../../x.yaml": "a: b"}), "does not hold a file"),
        (lambda item: item["files"].update({"habits.yaml": "a: b"}), "does not hold a file"),
        (lambda item: item.update(files={}), "does not hold a file"),
        (lambda item: item.update(kind="hook"), "nothing that travels here"),
        (lambda item: item.update(extra=1), "nothing that travels here"),
        (lambda item: item.update(id="../x"), "nothing that travels here"),
        (lambda item: item["files"].update({"rules/A-R1.yaml": "rule: A-R1\n"}), "it is not sound here"),
        (lambda item: item["files"].update({"rules/A-R1.yaml": "rule: &a [*a]\n"}), "it is not sound here"),
        (
            lambda item: item["files"].update(
                {"rules/A-R1.yaml": item["files"]["rules/A-R1.yaml"].replace("rule: A-R1", "rule: A-R2")}
            ),
            "it is not sound here",
        ),
        (lambda item: item.update(sources=[{"id": "x"}]), "a work that it cites is not sound"),
        (lambda item: item.update(sources=[{"id": "<b>", "title": "t"}]), "a work that it cites is not sound"),
    ],
)
def test_hostile_items_are_refused_and_nothing_is_written(taker, giver, tmp_path, change, said):
    item = json.loads((giver / "share/rules/A-R1.json").read_text())
    change(item)
    (tmp_path / "bad.json").write_text(json.dumps(item))
    before = files(taker)
    with pytest.raises(Refused, match=re.escape(said)):
        take_file(taker, tmp_path / "bad.json")
    assert files(taker) == before


@pytest.mark.parametrize("key", ["title", "club", "licence", "origin", "sources"])
def test_what_is_said_of_an_item_steers_no_terminal(taker, giver, tmp_path, key):
    item = json.loads((giver / "share/rules/A-R1.json").read_text())
    if key == "sources":
        item["sources"] = [{"id": "x", "type": "book", "title": "x\x1b]0;x\x07"}]
    else:
        item[key] = "x\x1b]0;x\x07"
    (tmp_path / "bad.json").write_text(json.dumps(item))
    with pytest.raises(Refused, match="a character that cannot be seen stands in it"):
        take_file(taker, tmp_path / "bad.json")


def test_a_line_end_in_a_title_makes_no_line_of_the_terminal(taker, giver, tmp_path):
    item = json.loads((giver / "share/rules/A-R1.json").read_text())
    item["title"], item["club"] = "x\n  written: y", "x\n  written: y"
    (tmp_path / "item.json").write_text(json.dumps(item))
    done = CliRunner().invoke(main, ["bring", str(tmp_path / "item.json"), "--root", str(taker), "--on", "2025-04-06"])
    assert done.exit_code == 0 and "  written: y" not in done.output.splitlines()


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("path", "rules/A-R1.json; touch x #"),
        ("path", "../../other/rules/A-R1.json"),
        ("digest", "$(touch x)"),
        ("digest", f"sha256:{'0' * 64} --update"),
        ("id", "A-R1\n  gudgeon bring x"),
        ("kind", "rule; touch x"),
    ],
)
def test_a_list_offers_no_command_but_of_our_form(giver, tmp_path, key, value):
    """People copy what it shows into their shell."""
    listed = json.loads((giver / "share/index.json").read_text())
    good, bad = listed["items"][:2]
    good["title"], good["licence"] = "x\x1b]0;x\x07\n  gudgeon bring y", "\u202ex"
    listed["items"] = [good, bad | {key: value}]
    (tmp_path / "a b").mkdir()
    (tmp_path / "a b" / "index.json").write_text(json.dumps(listed))
    done = CliRunner().invoke(main, ["bring", str(tmp_path / "a b" / "index.json")])
    assert done.exit_code == 1 and "1 of 2 entries are left out" in done.output
    commands = [line for line in done.stdout.splitlines() if line.startswith("  gudgeon bring")]
    assert commands == [f"  gudgeon bring '{tmp_path}/a b/{good['path']}' --digest {good['digest']}"]
    assert "\x1b" not in done.output and "\u202e" not in done.output


@pytest.mark.parametrize("content", [b"", b"[" * 100_000, b"\xff\xfe", b'{"format": "gudgeon-share-1"}', b"<html>"])
def test_what_is_no_item_is_told_so(content):
    with pytest.raises(Refused, match="nothing that travels here"):
        read_item(content, "x.json")


def test_only_the_web_and_files_are_read(tmp_path):
    for where in ("http://example.org/x.json", "ftp://example.org/x", "file:///etc/passwd", "https-evil://x"):
        with pytest.raises(Refused, match="begins with https"):
            fetch(where)
    with pytest.raises(NotReached, match="there is no file"):
        fetch(str(tmp_path / "none.json"))
    (tmp_path / "big.json").write_bytes(b" " * 1_000_001)
    with pytest.raises(Refused, match="over 1 MB"):
        fetch(str(tmp_path / "big.json"))


@pytest.fixture
def served(giver):
    handler = partial(Quiet, directory=str(giver))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


class Quiet(http.server.SimpleHTTPRequestHandler):
    def do_GET(self):
        if self.path.startswith("/away"):
            self.send_response(302)
            self.send_header("Location", "file:///etc/passwd" if self.path == "/away1" else "http://example.org/x")
            self.end_headers()
        elif self.path == "/endless":
            self.send_response(200)
            self.end_headers()
            for _ in range(3):
                self.wfile.write(b" " * 500_000)
        else:
            super().do_GET()

    def log_message(self, *_):
        pass


def test_the_command_over_the_web(taker, served):
    run = CliRunner()
    done = run.invoke(main, ["bring", f"{served}/share/index.json", "--root", str(taker)])
    assert done.exit_code == 0
    command = next(line for line in done.stdout.splitlines() if "/rules/A-R1.json" in line).split()[2:]
    done = run.invoke(main, ["bring", *command, "--root", str(taker), "--on", "2025-04-06"])
    assert done.exit_code == 0 and "licence CC-BY-4.0" in done.stdout
    assert load_knowledge(taker / SHELF, SHELF).origins["rule A-R1"].came_from == command[0]
    done = run.invoke(main, ["bring", *command, "--root", str(taker)])
    assert done.exit_code == 0 and "here already" in done.stdout
    done = run.invoke(main, ["bring", f"{served}/share/rules/none.json", "--root", str(taker)])
    assert done.exit_code == 3 and "cannot be reached" in done.stderr
    for path, status in (("/away1", 3), ("/away2", 1), ("/endless", 1)):
        done = run.invoke(main, ["bring", served + path, "--root", str(taker)])
        assert done.exit_code == status and "Not brought" in done.stderr and "Traceback" not in done.output


def test_what_was_changed_here_is_not_given_on_as_the_giver_s(taker, giver):
    (taker / SHELF / "sharing.yaml").write_text("club: Takers\nlicence: CC0-1.0\n")
    take(taker, giver, "rules/A-R1.json")
    given = {each.item.id: each.item for each in offered(load_knowledge(taker / SHELF, SHELF))}
    assert (given["A-R1"].licence, given["A-R1"].club) == ("CC-BY-4.0", "The Gudgeon maintainers")
    own = taker / SHELF / "rules/A-R1.yaml"
    own.write_text(own.read_text().replace("0.001", "0.002"))
    assert "A-R1" not in {each.item.id for each in offered(load_knowledge(taker / SHELF, SHELF))}


def test_nothing_is_given_away_without_a_licence(taker, giver):
    take(taker, giver, "rules/A-R1.json")
    assert offered(load_knowledge(taker / SHELF, SHELF)) == []


def test_the_page_shows_origin_and_local_change(taker, giver):
    from gudgeon.pages.page import Renderer
    from gudgeon.pages.sharing import pages_and_assets

    take(taker, giver, "rules/A-R1.json")
    (page,), _ = pages_and_assets(load_knowledge(taker / SHELF, SHELF), Renderer(), None)
    assert "as it came" in page.text and "changed here" not in page.text
    own = taker / SHELF / "rules/A-R1.yaml"
    own.write_text(own.read_text() + "# a word\n")
    (page,), _ = pages_and_assets(load_knowledge(taker / SHELF, SHELF), Renderer(), None)
    assert "changed here" in page.text
