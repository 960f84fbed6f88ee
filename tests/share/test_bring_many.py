"""Many things at once: all of a list in one go, what is newer or withdrawn where they came from, several clubs side by side."""

import http.server
import json
import shutil
import threading
import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from conftest import ROOT
from gudgeon.cli import main
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.share import outcomes
from gudgeon.share.fetching import NotReached, Refused, fetch
from gudgeon.share.index import index
from gudgeon.share.item import offered
from gudgeon.share.offers import fetch_offers

SHELF = "docs/knowledge"
FILES = (
    "rules/A-R1.yaml",
    "rules/A-R2.yaml",
    "sources/bibliography.json",
    "sharing.yaml",
)
LEANING = """\
rule: AA-LEAN
says: one and a half times the thou per inch
kind: skirt
applies_to: any
gives: {of_rule: A-R1, times: '1.5'}
valid: any
said_by: the other club
basis: common practice
grade: club rule
"""
WORDS = (
    "words:\n  - word: scraping\n    means: 'Taking metal off by hand.'\n  - word: shim\n    means: 'A thin packing.'\n"
)


class Club:
    """A club with a small shelf, what its site offers, and its commands."""

    def __init__(self, root: Path, files=FILES):
        self.root, self.shelf, self.site = root, root / SHELF, root / "site"
        for name in files:
            (self.shelf / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / SHELF / name, self.shelf / name)
        self.shelf.mkdir(parents=True, exist_ok=True)

    def write(self, name: str, text: str) -> None:
        (self.shelf / name).parent.mkdir(parents=True, exist_ok=True)
        (self.shelf / name).write_text(text)

    def edit(self, name: str, was: str, now: str) -> None:
        text = (self.shelf / name).read_text()
        assert was in text
        (self.shelf / name).write_text(text.replace(was, now))

    def give(self) -> str:
        shutil.rmtree(self.site, ignore_errors=True)
        shelf = load_knowledge(self.shelf, SHELF)
        assert shelf.problems == []
        items = offered(shelf, outcomes.items(shelf, ()))
        for offer in items:
            (self.site / offer.path).parent.mkdir(parents=True, exist_ok=True)
            (self.site / offer.path).write_bytes(offer.content)
        (self.site / "share/index.json").write_bytes(index(shelf, items))
        return str(self.site / "share/index.json")

    def bring(self, *words, status=0, **more):
        done = CliRunner().invoke(main, ["bring", *words, "--root", str(self.root), "--on", "2026-11-01"], **more)
        assert done.exit_code == status, done.output
        return done.output

    @property
    def own(self) -> set[str]:
        return {key for key, whose in self.knowledge().whose.items() if whose == "club"}

    def knowledge(self):
        return load_knowledge(self.shelf, SHELF)


@pytest.fixture
def giver(tmp_path):
    club = Club(tmp_path / "giver")
    package = ROOT / "plugins/gudgeon/knowledge"
    iron = (package / "materials/grey-iron.yaml").read_text()
    club.write("materials/their-iron.yaml", iron.replace("grey-iron", "their-iron"))
    club.edit("rules/A-R1.yaml", "grey-iron", "their-iron")
    club.write("cautions/splash.yaml", (package / "cautions/scald.yaml").read_text().replace("scald", "splash", 1))
    club.write("rules/AA-LEAN.yaml", LEANING)
    club.write("glossary/words.yaml", WORDS)
    club.write("habits.yaml", "cutting: {tool_of: carbide}\n")
    return club


@pytest.fixture
def taker(tmp_path):
    return Club(tmp_path / "taker", files=())


def test_all_of_a_list_comes_in_one_go_and_what_rests_on_others_with_them(giver, taker):
    told = taker.bring(giver.give(), "--all")
    shelf = taker.knowledge()
    assert shelf.problems == [] and shelf.changed_here == set()
    assert {"AA-LEAN", "A-R1", "A-R2"} <= set(shelf.rules) and {"scraping", "shim"} <= {
        word.word for word in shelf.words
    }
    assert told.index("rule A-R1:") < told.index("rule AA-LEAN:"), "what it rests on is told first"
    assert not (taker.shelf / "habits.yaml").exists(), "habits move every plan: they are asked for by name"
    assert "0 brought" not in taker.bring(giver.give(), "--all") and taker.knowledge().problems == []
    assert "1 brought" in taker.bring(giver.give(), "--all", "--only", "habits", "--yes")
    assert "left out" in Club(taker.root / "other", files=()).bring(giver.give(), "--all", "--only", "habits")


def test_what_is_refused_leaves_the_others_and_takes_what_rests_on_it(giver, taker):
    where = giver.give()
    rule, caution = giver.site / "share/rules/A-R1.json", giver.site / "share/cautions/splash.json"
    rule.write_text(json.dumps({**json.loads(rule.read_text()), "sources": [{"id": "x"}]}))
    caution.write_text(caution.read_text().replace("caution: splash", "caution: splashes"))
    listed = json.loads(Path(where).read_text())
    from gudgeon.share.item import digest_of_bytes

    for entry in listed["items"]:
        entry["digest"] = digest_of_bytes((giver.site / "share" / entry["path"]).read_bytes())
    listed["items"].append({**listed["items"][0], "path": "../x.json"})
    Path(where).write_text(json.dumps(listed))
    told = taker.bring(where, "--all", status=1)
    shelf = taker.knowledge()
    assert shelf.problems == [] and {"A-R2"} <= set(shelf.rules) and {"A-R1", "AA-LEAN"}.isdisjoint(shelf.rules)
    assert "Refused the rule A-R1: a work that it cites is not sound" in told
    assert "Refused the caution splash: it is not sound here" in told and "splash" not in shelf.cautions
    assert "Refused the rule AA-LEAN: it names the rule A-R1, which is not on this shelf" in told
    assert "3 refused, 1 not of the form" in told


def test_what_one_thing_needs_is_brought_along_with_a_yes(giver, taker):
    giver.give()
    rule = str(giver.site / "share/rules/AA-LEAN.json")
    told = taker.bring(rule, status=1)
    assert "rule A-R1: " in told and "material their-iron: " in told and "Nothing was written" in told
    assert not taker.own
    taker.bring(rule, input="y\n")
    assert {"rule A-R1", "rule AA-LEAN", "material their-iron"} == taker.own and taker.knowledge().problems == []


def test_an_update_shows_what_differs_and_is_not_made_without_a_yes(giver, taker):
    taker.bring(giver.give(), "--all")
    giver.edit("rules/A-R1.yaml", "0.001}", "0.0011}")
    giver.edit("rules/A-R2.yaml", "says: ", "says: now ")
    giver.edit("glossary/words.yaml", "A thin packing.", "Packing.")
    taker.edit("rules/A-R2.yaml", "says: ", "says: ours, ")
    where = giver.give()
    told = taker.bring("--look", where)
    assert "rule A-R1: newer" in told and "rule A-R2: newer at The Gudgeon maintainers; changed here" in told
    before = {path: path.read_bytes() for path in taker.shelf.rglob("*.yaml")}
    told = taker.bring("--update", where)
    assert "+gives: {per_length: 0.0011}" in told and "Put this in the place of the rule A-R1 here?" in told
    assert {path: path.read_bytes() for path in taker.shelf.rglob("*.yaml")} == before
    # AA-LEAN was made with the newer A-R1: it is newer too, and comes with it.
    told = taker.bring("--update", where, "--yes")
    shelf = taker.knowledge()
    assert shelf.problems == [] and shelf.rules["A-R1"].gives.per_length[0] == 0.0011
    assert shelf.rules["A-R2"].says.startswith("ours, ") and "changed here: not written over" in told
    assert [word.means for word in shelf.words if f"word {word.anchor}" in taker.own] == [
        "Taking metal off by hand.",
        "Packing.",
    ]
    assert shelf.changed_here == {"rule A-R2"}
    assert "newer" not in taker.bring("--look", where).replace("A-R2: newer", "").replace("1 newer", "")


def test_a_withdrawal_is_kept_and_taken_out_again_with_the_notice(giver, taker):
    taker.bring(giver.give(), "--all")
    sharing = (giver.shelf / "sharing.yaml").read_text()
    giver.write(
        "sharing.yaml",
        f"{sharing}withdrawn:\n  - {{kind: rule, id: A-R2, on: 2026-10-01, because: 'It nipped twice.\x1b[2J'}}\n".replace(
            "\x1b[2J", ""
        ),
    )
    where = giver.give()
    assert "rule A-R2: withdrawn by The Gudgeon maintainers on 2026-10-01: It nipped twice." in taker.bring(
        "--look", where
    )
    notice = taker.knowledge().origins["rule A-R2"].withdrawn
    assert (str(notice.on), notice.because, str(notice.told)) == ("2026-10-01", "It nipped twice.", "2026-11-01")
    assert "Left out the rule A-R2: it is withdrawn" not in taker.bring("--look", where)
    giver.write("sharing.yaml", sharing)
    taker.bring("--look", giver.give())
    assert taker.knowledge().origins["rule A-R2"].withdrawn is None
    giver.edit("rules/A-R2.yaml", "grade: ", "grade: withdrawn #")
    assert "its grade there is withdrawn now" in taker.bring("--update", giver.give(), "--yes")
    assert taker.knowledge().rules["A-R2"].grade != "withdrawn", "its builds stand, and say so"
    (giver.shelf / "cautions/splash.yaml").unlink()
    assert "caution splash: no longer offered" in taker.bring("--look", giver.give())


def test_what_came_two_ways_is_one_thing(giver, taker, tmp_path):
    """A third club sees one rule and not two, whatever it is called on the way."""
    taker.write("sharing.yaml", "club: Takers\nlicence: CC0-1.0\n")
    giver.give()
    taker.bring(str(giver.site / "share/rules/A-R1.json"), "--as", "L-R1", "--yes")
    third = Club(tmp_path / "third", files=())
    third.bring(giver.give(), "--all")
    told = third.bring(taker.give(), "--all")
    assert "L-R1" not in third.knowledge().rules and "here already" in told
    other_way = Club(tmp_path / "fourth", files=())
    other_way.bring(taker.give(), "--all")
    assert other_way.knowledge().origins["rule L-R1"].was_called == "A-R1"
    other_way.bring(giver.give(), "--all", status=1)  # AA-LEAN wants it under its own name
    assert "A-R1" not in other_way.knowledge().rules


def test_what_must_not_be_changed_is_asked_first_and_what_cannot_be_passed_on_is_not_offered(giver, taker):
    taker.write("sharing.yaml", "club: Takers\nlicence: CC0-1.0\n")
    giver.edit("sharing.yaml", "CC-BY-4.0", "LicenseRef-members")
    where = giver.give()
    told = taker.bring(where, "--all")
    assert "nothing that is known here lets it be passed on" in told and not taker.own
    taker.bring(where, "--all", "--yes")
    assert "rule A-R1" in taker.own and offered(taker.knowledge()) == []


def test_clubs_stand_side_by_side(giver, taker, tmp_path):
    giver.give()
    taker.write("sharing.yaml", "club: Takers\nlicence: CC0-1.0\n")
    taker.bring(str(giver.site / "share/index.json"), "--all")
    taker.write("rules/A-R3.yaml", (ROOT / SHELF / "rules/A-R3.yaml").read_text())
    taker.write("sources/bibliography.json", (ROOT / SHELF / "sources/bibliography.json").read_text())
    taker.give()
    clubs = tmp_path / "clubs.yaml"
    text = "format: gudgeon-clubs-1\nclubs:\n"
    text += "".join(f"  - {{name: {name}, index: {name}/site/share/index.json}}\n" for name in ("giver", "taker"))
    clubs.write_text(text)
    told = taker.bring(str(clubs))
    assert "taker: one thou per inch of bore (CC-BY-4.0); word for word the same" in told
    clubs.write_text(text + "  - {name: gone, index: none/index.json}\n")
    assert "Of 1 of 3 clubs it is not known what they offer" in taker.bring(str(clubs), status=3)
    clubs.write_text(text.replace("giver/site", "/etc"))
    assert "the address of a list of what a club offers" in taker.bring(str(clubs), status=1)


class Hostile(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        if self.path == "/slow/index.json":
            self.send_response(200)
            self.end_headers()
            for _ in range(40):
                self.wfile.write(b" ")
                time.sleep(0.05)
        elif self.path == "/short/index.json":
            self.send_response(200)
            self.send_header("Content-Length", "500")
            self.end_headers()
            self.wfile.write(b'{"items": []}')
        else:
            self.wfile.write(b"\x00\x01 no protocol\r\n\r\n")

    def log_message(self, *_):
        pass


def test_a_server_that_dawdles_or_breaks_off_is_not_waited_for(monkeypatch):
    from gudgeon.share import fetching

    monkeypatch.setattr(fetching, "LONGEST", 0.3)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), Hostile) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        for path, said in (
            ("slow", "no whole answer"),
            ("short", "broke off|cannot be reached"),
            ("odd", "cannot be reached"),
        ):
            with pytest.raises(NotReached, match=said):
                fetch(f"http://127.0.0.1:{server.server_port}/{path}/index.json")
        server.shutdown()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[" * 50_000, "no list"),
        ('{"items": {}}', "no list"),
        (json.dumps({"items": [{}] * 10_000}), "at most 2000"),
        ("x" * 1_000_001, "over 1 MB"),
    ],
)
def test_a_list_is_read_within_bounds(tmp_path, text, said):
    (tmp_path / "index.json").write_text(text)
    with pytest.raises(Refused, match=said):
        fetch_offers(str(tmp_path / "index.json"))


def test_odd_entries_and_notices_say_nothing(tmp_path):
    odd = [None, 1, [], {"kind": []}, {"kind": "rule", "id": 3}, {"kind": "rule", "id": "\x1b[2J", "because": "x"}]
    good = {"kind": "rule", "id": "A-R1", "on": "not a day", "because": "\x1b]0;x\x07\nRun this: rm"}
    listed = {"club": "\x1b[2J\nOurs", "items": odd, "withdrawn": [*odd, good]}
    (tmp_path / "index.json").write_text(json.dumps(listed))
    offers = fetch_offers(str(tmp_path / "index.json"))
    assert (offers.entries, offers.odd) == ([], 6) and "\x1b" not in offers.club + str(offers.notices)
    assert list(offers.notices) == ["rule A-R1"] and "\n" not in offers.notices["rule A-R1"].because


def test_outcomes_come_last_and_only_of_rules_that_are_here(giver, taker):
    giver.write(
        "outcomes/ours.yaml",
        "outcomes: ours\nclub: The Gudgeon maintainers\ncounts: {A-R1: {ran_free: 3}, A-R2: {nipped: 1}}\n",
    )
    where = giver.give()
    alone = str(giver.site / "share/outcomes/ours.json")
    assert "Bring these first" in taker.bring(alone, status=1)
    taker.bring(str(giver.site / "share/rules/A-R1.json"), "--yes")
    told = taker.bring(alone)
    assert "nothing is taken of A-R2" in told and set(taker.knowledge().outcomes["ours"].counts) == {"A-R1"}
    other = Club(taker.root / "other", files=())
    told = other.bring(where, "--all")
    assert other.knowledge().problems == [] and set(other.knowledge().outcomes["ours"].counts) == {"A-R1", "A-R2"}
    assert told.rindex("rule A-R2") < told.rindex("outcomes ours")
