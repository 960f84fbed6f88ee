"""A survey over data packages: who has made a part like this, of what, and did it hold. Unknown stays unknown."""

import csv
import io

import gudgeon
import pandas
import pytest
from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.cli import main
from gudgeon.export.package import files
from gudgeon.records.problems import Problems
from gudgeon.site import make_site
from gudgeon.survey.ask import Question, answer
from gudgeon.survey.packages import packages
from gudgeon.survey.tables import TABLES, read
from made_up_packages import distributed, made_up, write_package
from small_build import write

RING = {
    "id": "ring1",
    "name": "Ring 1",
    "family": "ring",
    "material": "ci",
    "material_name": "grey iron",
    "goes_with": 150.0,
}
GAP = {
    "part": "ring1",
    "ref": "ring1.gap",
    "name": "Closed gap",
    "kind": "gap",
    "size": 0.6,
    "expanded": 0.01,
    "state": "in",
}


def asked(folder, **question):
    problems = Problems()
    listed = packages([folder], problems)
    return answer(Question(**question), *(read(name, listed, problems) for name in TABLES)), problems.in_order()


def survey(*words):
    done = CliRunner().invoke(main, ["survey", *map(str, words)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done


def outcome(result, part="ring1"):
    return {
        "about": "F03",
        "parts": f"cyl {part}",
        "result": result,
        "minutes": 2400,
        "clearance": 0.05,
        "last": "2024-05-01",
    }


@pytest.fixture(scope="module")
def demonstration(club, tmp_path_factory):
    """The packages of the demonstration, as they are exported."""
    folder = tmp_path_factory.mktemp("packages")
    for build in club.builds:
        for name, content in files(build, assess(build, club.knowledge), club.knowledge.materials).items():
            (folder / build.id).mkdir(exist_ok=True)
            (folder / build.id / name).write_bytes(content)
    return folder


def test_the_rings_of_the_demonstration_with_the_sizes_of_their_findings(club, demonstration):
    told, problems = asked(demonstration, family="ring", sizes=(127 * 0.8, 127.0))
    assert not problems
    build = next(build for build in club.builds if build.id == "harrow-pond")
    assert list(told.parts["part"]) == ["ring1", "ring2", "ring3"]
    findings = assess(build, club.knowledge)
    for size in told.sizes.to_dict("records"):
        assert (size["size"], size["expanded"]) == (
            findings.features[size["ref"]].size,
            findings.features[size["ref"]].expanded,
        )
    assert set(told.sizes["ref"]) == {
        ref for ref, feature in findings.features.items() if ref.startswith("ring") and feature.size is not None
    }
    # A scraper ring of the other build names no bore: whether it is meant is not known, and it is said.
    assert told.without_size == 1
    assert "invented for a demonstration" in survey(demonstration, "--family", "ring").stdout


def test_a_club_is_asked_as_its_site_lies_there(tmp_path):
    """From records with an outcome to the answer, with the page's address."""
    told = "outcomes:\n  - {date: 2025-06-01, about: F1, result: ran_free, hours: 40 h, by: ada}\n"
    write(tmp_path / "club" / "builds" / "small", outcomes=told)
    (tmp_path / "club" / "docs" / "knowledge").mkdir(parents=True)
    for asset in make_site(gudgeon.open(tmp_path / "club"), "https://example.org/club/").assets:
        if "/data/" in asset.uri:
            path = tmp_path / "site" / asset.uri
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(asset.content)
    done = survey(tmp_path / "site", "--nominal", "49 mm..51 mm", "--held")
    assert done.exit_code == 0, done.stderr
    assert "2 parts of 1 build (1 invented for a demonstration), 1 club: 2 held" in done.stdout
    # The least bore that was read less the skirt at 20 °C, as the fit's page has it.
    assert "F1: ran free, 40 h, clearance 0.065 mm at 20 °C, 2025-06-01" in done.stdout
    assert "https://example.org/club/builds/small/" in done.stdout


@pytest.mark.parametrize(
    ("results", "verdict"),
    [
        (["ran_free"], "held"),
        (["ran_free", "running"], "held"),
        (["running"], "still running"),
        (["nipped"], "did not hold"),
        (["a word of a newer version"], "did not hold"),
        ([""], "not known"),
        (["nipped", "ran_free"], "both are told"),
        (["running", "stuck"], "did not hold"),
        ([], "not known"),
        (None, "not known"),
    ],
)
def test_held_is_said_only_where_it_was_told(tmp_path, results, verdict):
    outcomes = None if results is None else [outcome(result) for result in results]
    write_package(tmp_path / "one", [RING, RING | {"id": "ring2"}], [GAP], outcomes)
    told, problems = asked(tmp_path, family="ring")
    assert dict(zip(told.parts["part"], told.parts["verdict"], strict=True)) == {"ring1": verdict, "ring2": "not known"}
    assert len(asked(tmp_path, held=True)[0].parts) == (verdict == "held") and not problems


def test_the_size_of_a_ring_is_its_bore_and_of_others_their_own(tmp_path):
    root = {"part": "piston", "ref": "piston.skirt", "kind": "od", "nominal": 149.9}
    groove = {"part": "piston", "ref": "piston.groove", "kind": "slot", "nominal": 6.0}
    piston = {"id": "piston", "family": "piston", "material": "al", "material_name": "cast aluminium"}
    write_package(tmp_path / "one", [RING, piston, {"id": "washer", "family": "key"}], [GAP, root, groove], None)

    def names(**question):
        return list(asked(tmp_path, **question)[0].parts["part"])

    assert names(sizes=(127.0, 177.8)) == ["piston", "ring1"]
    assert names(sizes=(150.0, 150.0)) == ["ring1"] and names(sizes=(150.01, 200.0)) == []
    assert names(sizes=(6.0, 6.0)) == [] and names(sizes=(6.0, 6.0), kind="slot") == ["piston"]
    assert names(material="ALUMIN") == ["piston"] and names(material="ci") == ["ring1"] and names(material="c.") == []
    assert asked(tmp_path, sizes=(1.0, 2.0))[0].without_size == 1  # the washer


def test_pandas_and_a_distributed_engine_give_the_same_answer(tmp_path):
    pytest.importorskip("dask.dataframe")
    problems = Problems()
    listed = packages([made_up(tmp_path, 40)], problems)
    here = [read(name, listed, problems) for name in TABLES]
    there = [distributed(name, listed, 7) for name in TABLES]
    assert not problems
    for question in (
        Question(),
        Question("ring", None, (127.0, 177.8)),
        Question("ring", "grey iron", (50.0, 200.0), held=True),
        Question(sizes=(4.0, 8.0), kind="slot"),
        Question("governor"),
    ):
        one, other = answer(question, *here), answer(question, *there)
        assert one.without_size == other.without_size
        for name in ("parts", "sizes", "outcomes"):
            ours, theirs = getattr(one, name), getattr(other, name)
            pandas.testing.assert_frame_equal(ours, theirs, check_dtype=False)
    assert len(answer(Question("ring", None, (127.0, 177.8)), *here).parts) > 5


def test_what_is_wrong_in_a_package_is_told_and_the_others_stand(tmp_path):
    write_package(tmp_path / "good", [RING | {"name": "=cmd|x"}], [GAP], [outcome("ran_free")])
    places = {}
    for name in ("cells", "column", "link", "number", "quote", "bytes", "long"):
        places[name] = write_package(tmp_path / name, [RING], [GAP], None)
    parts = {name: folder / "parts.csv" for name, folder in places.items()}
    parts["cells"].write_text(parts["cells"].read_text() + "a,b\n")
    parts["column"].write_text(parts["column"].read_text().replace("family", "kin", 1))
    secret = tmp_path / "secret.txt"
    secret.write_text("the keys,to the shop\n")
    parts["link"].unlink()
    parts["link"].symlink_to(secret)
    parts["number"].write_text(parts["number"].read_text().replace("150.0", "1e400"))
    parts["quote"].write_text(parts["quote"].read_text() + '"a"b\n')
    parts["bytes"].write_bytes(b"\xff" + parts["bytes"].read_bytes())
    parts["long"].write_text(parts["long"].read_text().replace("Ring 1", "R" * 6000))
    for name, text in (("json", "{"), ("deep", "[" * 100_000), ("format", '{"gudgeon": {"format": "gudgeon-data-9"}}')):
        (tmp_path / name).mkdir()
        (tmp_path / name / "datapackage.json").write_text(text)
    (tmp_path / "stranger").mkdir()
    (tmp_path / "stranger" / "datapackage.json").write_text('{"name": "rainfall"}')
    done = survey(tmp_path, "--family", "ring")
    assert (
        done.exit_code == 1 and "1 held" in done.stdout and "keys" not in done.output and "rainfall" not in done.output
    )
    for place in (
        "cells/parts.csv:3:",
        "column/parts.csv:1:",
        "link/parts.csv:1:",
        'number/parts.csv:2:1: goes_with: expected a number. Found "1e400"',
        "quote/parts.csv:",
        "bytes/parts.csv:1:",
        "long/parts.csv:2:",
        "json/datapackage.json:1:",
        "deep/datapackage.json:1:",
        "format/datapackage.json:1:",
    ):
        assert place in done.stderr, place
    assert "=cmd|x" in done.stdout
    rows = list(csv.DictReader(io.StringIO(survey(tmp_path / "good", "--form", "csv").stdout)))
    assert [row["name"] for row in rows] == ["'=cmd|x"], "a spreadsheet does not take it for a formula"


def test_names_cannot_write_on_a_terminal_or_begin_a_line_of_ours(tmp_path):
    folder = write_package(tmp_path / "one", [RING], [GAP], None, club="Club\x1b[2J\n9 parts: 9 held", build="b\u202e1")
    text = (folder / "parts.csv").read_text().replace("Ring 1", '"Ring\x1b]0;\n3 parts: 3 held"')
    (folder / "parts.csv").write_text(text)
    done = survey(tmp_path)
    assert done.exit_code == 0 and not set("\x1b\u202e") & set(done.stdout)
    assert not [line for line in done.stdout.splitlines() if line.startswith(("9 parts", "3 parts"))]


def test_a_build_that_lies_there_twice_counts_once(tmp_path):
    for number, place in enumerate(("a", "b", "c")):
        folder = write_package(
            tmp_path / place, [RING], [GAP], None, build="pond", club="Larkmoor" if number < 2 else "Oakham"
        )
        told = (folder / "datapackage.json").read_text()
        (folder / "datapackage.json").write_text(told.replace("2025-01-01", f"2025-01-0{number + 1}"))
    done = survey(tmp_path, tmp_path / "a")
    assert "2 parts of 2 builds (2 invented for a demonstration), 2 clubs: 2 not known" in done.stdout
    assert str(tmp_path / "b") in done.stdout and f"{tmp_path / 'a'}\n" not in done.stdout
    assert (
        "1 part of 1 build (1 invented for a demonstration), 1 club: 1 not known"
        in survey(tmp_path, "--club", "oak").stdout
    )


def test_the_words_of_the_command(tmp_path):
    write_package(tmp_path / "one", [RING], [GAP], None)
    (tmp_path / "clubs.txt").write_text("# of our valley\none\n\n")
    assert "1 part of" in survey(tmp_path / "clubs.txt", "--nominal", "5 in..7 in").stdout
    assert survey(tmp_path, "--nominal", "8 in..9 in").stdout == "No such part is in what was read.\n"
    for words in (["--nominal", "7 in..5 in"], ["--nominal", "5..7"], ["--kind", "slot"], ["--family", "rings"]):
        assert survey(tmp_path, *words).exit_code == 2
    (tmp_path / "clubs.txt").write_text("one\nnowhere\n")
    lost = survey(tmp_path / "clubs.txt")
    assert lost.exit_code == 3 and "clubs.txt:2: there is no folder nowhere" in lost.stderr
    listed = "format: gudgeon-clubs-1\nclubs:\n  - {name: Ours, index: one/share/index.json}\n"
    (tmp_path / "clubs.yaml").write_text(listed)
    assert survey(tmp_path / "clubs.yaml").exit_code == 0
    (tmp_path / "clubs.yaml").write_text(listed + "  - {name: Far, index: https://example.org/share/index.json}\n")
    far = survey(tmp_path / "clubs.yaml")
    assert (
        far.exit_code == 1
        and "clubs.yaml:4:" in far.stderr
        and "was not asked" in far.stderr
        and "1 part of" in far.stdout
    )
    (tmp_path / "clubs.yaml").write_text(listed.replace("one/", "gone/"))
    assert survey(tmp_path / "clubs.yaml").exit_code == 3
    (tmp_path / "empty").mkdir()
    assert survey(tmp_path / "empty").exit_code == 3
