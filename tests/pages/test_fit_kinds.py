"""Every kind of fit, in every way in which it may be written, through the real records, findings, pages and review.

The fits are made from what the kinds say of themselves: a new kind is tried here as soon as it is listed.
"""

import dataclasses
import html
import re

import pytest
from club_repo import ClubRepo, review
from fits_of_every_kind import READS, WAYS, records
from gudgeon.assess.build import assess
from gudgeon.assess.fitting.by_pairing import PAIRINGS
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.fit_kinds.kind import FitKind, Pairing
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Club
from gudgeon.review.as_text import details_text
from small_build import all_said, load, rendered, shelf

NAMES = [f"{kind.id}-{pairing.id.replace(' ', '-')}" for kind, pairing in WAYS]


def rule(kind: str) -> str:
    """A rule of a kind, for a size and a fixed amount."""
    return (
        f"rule: R-{kind}\nsays: 'a saying'\nkind: {kind}\napplies_to: 'any'\ngives: {{least: 0.010 mm, most: 0.400 mm}}\n"
        "valid: 'any'\nsaid_by: 'a member'\nbasis: common practice\ngrade: member rule\n"
    )


def knowledge(kind: str):
    """The shelf with one rule more, of a kind."""
    like = next(iter(shelf().rules.values()))
    gives = shelf().rules["A-R5"].gives  # a length per length, which stands for a temperature difference
    of_kind = like.model_copy(update={"rule": f"R-{kind}", "kind": kind, "gives": gives, "cases": {}, "sizes": None})
    return dataclasses.replace(shelf(), rules={**shelf().rules, f"R-{kind}": of_kind})


@pytest.fixture
def shown(tmp_path, monkeypatch):
    """Findings and pages of a fit of a kind."""

    def make(kind: FitKind, pairing: Pairing, reads=READS):
        known = knowledge(kind.id)
        monkeypatch.setattr("small_build.shelf", lambda: known)
        files = records({"T1": (kind, pairing)}, reads)
        none = dict.fromkeys(("parts__cyl", "parts__piston", "operations"), None)
        build = load(tmp_path, **none, readings__2025_02_02_bore=None, readings__2025_02_04_skirt=None, **files)
        assert build.problems == []
        findings = assess(build, known)
        pages, _ = rendered(Club([build], known), {build.id: findings})
        return findings, {page.uri: html.unescape(page.text) for page in pages}

    return make


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "pairing"), WAYS, ids=NAMES)
def test_every_kind_stands_on_every_page(shown, kind, pairing):
    findings, pages = shown(kind, pairing)
    fit = findings.fits["T1"]
    assert fit.clearance is not None and fit.conformity in ("in", "reads in")
    page = pages["builds/small/fits/t1.md"]
    assert kind.words in page
    assert kind.stated or f"{kind.called} at the worst place".lower() in page.lower()
    assert f"<li>{pairing.cold.in_letters} = " in page, "the sum stands in letters and in values"
    assert ("Per side" in page) == kind.axis.per_side
    if not kind.axis.per_side:
        assert "diameter" not in re.sub(r'class="[^"]*"', "", page.partition("Rules of thumb for it")[0])
    if kind.shared:
        assert kind.shared in page
    assert ("Cold to hot" in page) == (pairing.hot is not None)
    if pairing.hot:
        assert f"hot: {pairing.hot.in_letters}" in page and len(fit.hot) == 1
        assert f"at 0 {kind.at_nought}" in page
    assert "{" not in page.partition("The sum, with")[2].partition("##")[0]
    heading = f"## {kind.words[:1].upper()}{kind.words[1:]}"
    assert heading in pages["rules.md"] and heading in pages["builds/small/rules.md"]
    assert f"R-{kind.id}" in pages["rules.md"] and f"R-{kind.id}" in pages["builds/small/rules.md"]
    assert "Fit T1" in pages["builds/small/fits/index.md"]
    assert any(uri.startswith("builds/small/sheets/") for uri in pages)
    assert "builds/index.md" in pages


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "pairing"), WAYS, ids=NAMES)
def test_a_kind_without_a_reading_says_what_it_lacks(shown, kind, pairing):
    if kind.stated:
        pytest.skip("it is not read")
    findings, pages = shown(kind, pairing, reads={})
    assert findings.fits["T1"].state == "no reading" and not findings.fits["T1"].hot
    assert "no reading" in pages["builds/small/fits/t1.md"]


@pytest.mark.slow
def test_every_kind_is_named_by_the_review(tmp_path):
    repo = ClubRepo(tmp_path / "club")
    read = {f"T{number}": way for number, way in enumerate(WAYS) if not way[0].stated}
    for kind in FIT_KINDS:
        repo.file(f"docs/knowledge/rules/R-{kind}.yaml", rule(kind))
    for name, text in records(read, READS).items():
        path = "builds/small/" + name.replace("__", "/") + ".yaml"
        repo.file(path, text)
    repo.commit("every kind")
    path = "builds/small/readings/2025-02-05-all.yaml"
    text = (repo.root / path).read_text(encoding="utf-8")
    for key, size in READS.items():
        text += "".join(
            f"  - {{id: {fit_id}_{key}b, of: {'outer' if key == 'hole' else 'inner'}.{fit_id}_{key}, station: 10 mm, "
            f"reads: {'49.952 mm' if key == 'shaft' else '0.270 mm' if key == 'gap' else size}, supersedes: {fit_id}_{key}}}\n"
            for fit_id, (_, pairing) in read.items()
            if key in pairing.needs
        )
    repo.file(path, text)
    slip = review(repo.root)
    words = details_text(slip)
    assert {fit.id for fit in slip.fits} == set(read)
    for fit_id in read:
        assert f"{fit_id} Fit {fit_id}" in words, fit_id


def test_a_kind_that_lacks_a_word_cannot_be_made():
    whole = {field.name: getattr(FIT_KINDS["skirt"], field.name) for field in dataclasses.fields(FitKind)}
    assert FitKind(**whole) == FIT_KINDS["skirt"]
    for name in whole:
        with pytest.raises(TypeError, match=name):
            FitKind(**{key: value for key, value in whole.items() if key != name})


def test_every_kind_is_whole():
    for name, kind in FIT_KINDS.items():
        assert kind.id == name
        assert kind.words and kind.called and kind.at_nought and kind.fails
        for pairing in kind.pairings:
            assert pairing.id in PAIRINGS, f"no arithmetic for {pairing.id}"
    assert {pairing.id for _, pairing in WAYS} == set(PAIRINGS)


def fit_of(tmp_path, name: str, pairing: str, reads=READS, old: str = "", new: str = ""):
    kind = FIT_KINDS[name]
    way = next(way for way in kind.pairings if way.id == pairing)
    files = records({"T1": (kind, way)}, reads)
    files["fits"] = files["fits"].replace(old, new).replace(f"rule: R-{name}, ", "")
    return load(tmp_path, **files)


def test_lash_hot_moves_by_the_growth_of_the_two_ways_round_it(tmp_path):
    """Two ways of 50 mm in one iron, 100 and 150 °C: the inner one grows by 11e-6 × 50 more, and the lash closes by that."""
    build = fit_of(tmp_path, "valve_lash", "read gap", {"gap": "0.290 mm"})
    assert build.problems == []
    fit = assess(build, shelf()).fits["T1"]
    grown = 11.0e-6 * (50.00 * 80 - 49.94 * 130)
    assert fit.hot[0].change == pytest.approx(grown, abs=1e-6)
    assert fit.hot[0].now == pytest.approx(fit.clearance + grown, abs=1e-6)
    assert fit.hole is None and fit.shaft == "inner.T1_gap" and fit.dangerous == "tight"


def test_lash_that_closes_hot_is_told_in_the_trades_words(tmp_path):
    files = records({"T1": (FIT_KINDS["valve_lash"], FIT_KINDS["valve_lash"].pairings[0])}, {"gap": "0.020 mm"})
    files["parts__inner"] = files["parts__inner"].replace("0.30 mm", "0.02 mm")
    files["fits"] = files["fits"].replace("rule: R-valve_lash, ", "")
    fit = assess(load(tmp_path, **files), shelf()).fits["T1"]
    assert "hot: it closes up: the valve is held off its seat" in all_said(fit.causes) and fit.look


def test_heat_that_cannot_be_worked_out_is_told_and_asks_for_a_look(tmp_path):
    files = records({"T1": (FIT_KINDS["valve_lash"], FIT_KINDS["valve_lash"].pairings[0])}, {"gap": "0.290 mm"})
    files["parts__outer"] = files["parts__outer"].replace(", nominal: '50.00 mm'", "")
    files["fits"] = files["fits"].replace("rule: R-valve_lash, ", "")
    fit = assess(load(tmp_path, **files), shelf()).fits["T1"]
    assert not fit.hot and fit.look
    assert "hot: not worked out, because outer.T1_hole has neither a reading nor a nominal" in all_said(fit.causes)


def test_the_smallest_of_several_readings_of_a_gap_counts(tmp_path):
    build = fit_of(tmp_path, "backlash", "read gap", {"gap": "0.290 mm"})
    more = "  - {id: tooth, of: inner.T1_gap, station: 20 mm, reads: 0.250 mm}\n"
    path = build.folder / "readings" / "2025-02-05-all.yaml"
    path.write_text(path.read_text(encoding="utf-8") + more, encoding="utf-8")
    fit = assess(load_build(build.folder, "builds/small", shelf()), shelf()).fits["T1"]
    assert (fit.tightest, fit.loosest) == pytest.approx((0.250, 0.290), abs=1e-4)
    assert fit.clearance == fit.tightest and fit.shaft_at.rows == ("tooth",)


PROBLEMS = [
    ("skirt", "two sizes", "hole: outer", "gap: inner.T1_shaft, hole: outer", 'a skirt fit has no "gap"'),
    ("skirt", "two sizes", "hole: outer.T1_hole, ", "", 'a skirt fit needs "hole"'),
    ("end_float", "read gap", "gap: inner.T1_gap, ", "key: inner.T1_gap, ", 'an end_float fit has no "key"'),
    ("valve_lash", "read gap", "hole: outer.T1_hole, shaft: inner.T1_shaft, ", "", 'Add "hole: part.feature"'),
    ("backlash", "read gap", "because: test", "because: test, hot: [hot]", "heat cannot be worked out"),
    (
        "backlash",
        "read gap",
        "want: [0.010 mm, 0.400 mm]",
        "class: 25 H7/g6",
        "a class of fit is for a hole and a shaft",
    ),
    (
        "bearing",
        "two sizes",
        "shaft: inner.T1_shaft",
        "shaft: outer.T1_hole",
        'hole and shaft are one feature, "outer.T1_hole"',
    ),
    ("bearing", "two sizes", "because: test", "because: test, rule: A-R5", "rule A-R5 is for a ring gap"),
]


@pytest.mark.parametrize(("kind", "pairing", "old", "new", "says"), PROBLEMS)
def test_a_fit_that_is_not_of_its_kind_is_told_at_its_line(tmp_path, kind, pairing, old, new, says):
    (problem,) = fit_of(tmp_path, kind, pairing, READS, old, new).problems
    assert says in problem.text and problem.where.file == "builds/small/fits.yaml" and problem.where.line == 2


def test_a_rule_of_another_kind_of_the_same_axis_asks_for_a_look(tmp_path):
    """A skirt's rule on a top land, which runs far hotter, was once taken in silence."""
    build = fit_of(tmp_path, "top_land", "two sizes", READS, "because: test", "because: test, rule: A-R1")
    assert build.problems == []
    fit = assess(build, shelf()).fits["T1"]
    assert fit.conformity in ("in", "reads in") and fit.look
    assert "rule A-R1 is used outside its range: it is for a skirt in bore; this one is a top land in bore" in all_said(
        fit.causes
    )


def test_a_rule_is_not_within_its_range_where_that_is_not_known(tmp_path):
    """A rule for iron says nothing of a gap whose two parts the fit does not name."""
    iron = knowledge("backlash").rules["R-backlash"].model_copy(update={"hole_materials": ("grey-iron",)})
    known = dataclasses.replace(shelf(), rules={"R-backlash": iron})
    findings = assess(fit_of(tmp_path, "backlash", "read gap"), known)
    assert [(rule.rule, rule.within) for rule in findings.rules] == [("R-backlash", None)]
