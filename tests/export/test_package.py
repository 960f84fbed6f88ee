"""Open data: tables as CSV with Table Schema, everything as JSON with a JSON Schema; readings there and back without loss."""

import csv
import io
import json

import jsonschema
import pytest
from click.testing import CliRunner
from gudgeon.assess.build import assess
from gudgeon.cli import main
from gudgeon.export.package import files
from gudgeon.export.part_table import more_cells
from gudgeon.records.load_build import load_build
from gudgeon.records.problems import Problems
from gudgeon.records.readings_csv import from_csv, is_readings_csv, to_csv, to_yaml
from gudgeon.schemas import schema
from small_build import FILES, shelf, write

SKIRT = "readings/2025-02-04-skirt.yaml"


@pytest.fixture(scope="module", params=["harrow-pond", "sundlia"])
def package(request, club):
    build = next(each for each in club.builds if each.id == request.param)
    findings = assess(build, club.knowledge)
    return build, findings, files(build, findings)


def lines(package, name):
    return list(csv.DictReader(io.StringIO(package[2][f"{name}.csv"].decode())))


def test_every_table_is_as_its_schema_says(package):
    """Types, keys and links of Table Schema, checked cell by cell."""
    described = json.loads(package[2]["datapackage.json"])
    tables = {each["name"]: each for each in described["resources"] if each.get("type") == "table"}
    assert {f"{name}.csv" for name in tables} | {"build.json", "datapackage.json", "CITATION.cff"} == set(package[2])
    kinds = {
        "number": float,
        "integer": int,
        "boolean": {"true": True, "false": False}.__getitem__,
        "string": str,
        "date": str,
    }
    for name, table in tables.items():
        rows, fields = lines(package, name), table["schema"]["fields"]
        headings = package[2][f"{name}.csv"].decode().split("\n", 1)[0]
        assert headings.split(",") == [each["name"] for each in fields]
        for row in rows:
            for each in fields:
                assert row[each["name"]] == "" or kinds[each["type"]](row[each["name"]]) is not None
        key = table["schema"].get("primaryKey", [])
        assert not key or len({tuple(row[each] for each in key) for row in rows}) == len(rows)
        for link in table["schema"].get("foreignKeys", []):
            there = {row[link["reference"]["fields"][0]] for row in lines(package, link["reference"]["resource"])}
            assert {row[link["fields"][0]] for row in rows} - {""} <= there
    assert described["licenses"] == [{"name": "CC-BY-4.0"}] and described["gudgeon"]["version"]


def test_the_numbers_are_those_of_the_findings(package):
    build, findings, _ = package
    for row in lines(package, "fits"):
        fit = findings.fits[row["id"]]
        assert row["state"] == fit.state and row["clearance"] == (
            "" if fit.clearance is None else repr(fit.clearance + 0.0)
        )
    single = lines(package, "single-readings")
    assert len(single) == sum(len(row.reads) for row in build.rows)
    assert [float(each["reads"]) for each in single] == [float(each) for row in build.rows for each in row.reads]


def test_a_part_tells_its_family_material_and_the_bore_that_a_ring_runs_in(package):
    build, findings, _ = package
    told = {row["id"]: row for row in lines(package, "parts")}
    assert list(told) == list(build.parts)
    ring = told["ring1"]
    assert (ring["family"], ring["material"], ring["like"]) == ("ring", "ci", "grey-iron")
    assert ring["material_name"] == build.materials["ci"].name
    bore = "cyl.bore" if build.id == "harrow-pond" else "liner.bore"
    assert float(ring["goes_with"]) == build.features[bore].size
    assert told["piston"]["goes_with"] == "", "it has diameters of its own"
    assert ring["done"] == "; ".join(
        job.does for job in findings.operations.values() if (job.part, job.state) == ("ring1", "done")
    )
    nominal = {row["ref"]: row["nominal"] for row in lines(package, "features")}
    assert float(nominal[bore]) == build.features[bore].size and "" in nominal.values()


def test_an_outcome_is_of_the_parts_of_its_fit(package):
    build = package[0]
    fit, halves = next((name, fit.halves) for name, fit in build.fits.items() if len(fit.halves) == 2)
    parts = " ".join(ref.partition(".")[0] for ref in halves)
    told = {about: more_cells(build, "outcomes", about)["parts"] for about in (fit, halves[0], "ring1")}
    assert told == {fit: parts, halves[0]: parts.split()[0], "ring1": "ring1"}


def test_a_package_tells_its_club_and_where_its_page_is(package):
    build, findings, written = package
    described = json.loads(written["datapackage.json"])
    assert described["gudgeon"]["club"] == build.head.club.name and described["gudgeon"]["invented"] is True
    assert "homepage" not in described, "where nobody said an address, none is made up"
    there = json.loads(files(build, findings, {}, "https://example.org/builds/x/")["datapackage.json"])
    assert there["homepage"] == "https://example.org/builds/x/"


@pytest.mark.slow
def test_everything_is_valid_by_its_published_schema(package):
    made = json.loads(schema("build-data"))
    jsonschema.Draft202012Validator.check_schema(made)
    data = json.loads(package[2]["build.json"])
    jsonschema.Draft202012Validator(made).validate(data)
    assert data["records"]["readings"][0]["reads"] == [each.text for each in package[0].rows[0].reads]
    assert data["findings"] == json.loads(package[1].model_dump_json())
    data["records"]["readings"][0]["reads"] = 4.25
    assert not jsonschema.Draft202012Validator(made).is_valid(data)


def test_the_same_records_give_the_same_bytes(package):
    assert files(package[0], package[1]) == package[2]


def test_readings_go_to_csv_to_yaml_and_back_without_loss(package, tmp_path):
    build = package[0]
    text = to_csv(build.rows)
    assert is_readings_csv(text)
    problems = Problems()
    rows = from_csv(text, "readings.csv", problems)
    assert not problems and len(rows) == len(build.rows)
    there = write(tmp_path / "small")
    for path in (there / "readings").iterdir():
        path.unlink()
    (there / "readings" / "all.yaml").write_text(to_yaml(rows), encoding="utf-8")
    again = load_build(there, "builds/small", shelf())
    assert to_csv(again.rows) == text
    assert [row.model_dump() for row in again.rows] == [row.model_dump() for row in build.rows]


def test_withdrawals_and_former_ids_go_there_and_back_too(tmp_path):
    rows = FILES[SKIRT] + (
        "  - {id: s3, formerly: [s2, s4], station: 20 mm, reads: 49.946 mm}\n"
        "  - {id: s5, withdraws: s3, because: '=twice', date: 2025-02-06, note: seen in the book}\n"
    )
    build = load_build(write(tmp_path / "small", readings__2025_02_04_skirt=rows), "builds/small", shelf())
    assert build.problems == []
    text = to_csv(build.reading_entries)
    assert is_readings_csv(text)
    back = from_csv(text, "readings.csv", Problems())
    (tmp_path / "small" / "readings" / "2025-02-02-bore.yaml").unlink()
    (tmp_path / "small" / SKIRT).write_text(to_yaml(back), encoding="utf-8")
    again = load_build(tmp_path / "small", "builds/small", shelf())
    assert again.problems == [] and to_csv(again.reading_entries) == text
    assert again.withdrawn["s3"].because == "=twice" and again.former_names["reading"] == {"s2": "s3", "s4": "s3"}
    tables = files(build, assess(build, shelf()))
    assert b's3,piston.skirt,withdrawn,"\'=twice (s5, 2025-02-06)"' in tables["rows.csv"]
    assert json.loads(tables["build.json"])["records"]["reading_withdrawals"][0]["withdraws"] == "s3"


def test_a_table_of_readings_from_before_a_column_was_added_is_still_read(tmp_path):
    old = "id,of,date,by,reads,gauge,station\ns1,piston.skirt,2025-02-04,ada,49.945 mm,mic,20 mm\n"
    assert is_readings_csv(old) and not is_readings_csv(old.replace("gauge,station", "gauge,where"))
    (row,) = from_csv(old, "readings.csv", Problems())
    assert (row["station"], row["reads"]) == ("20 mm", "49.945 mm")


def test_addresses_of_people_stay_out_of_the_data(tmp_path):
    named = FILES["build.yaml"].replace("{name: Ada}", "{name: Ada, commits_as: [ada@example.org]}")
    build = load_build(write(tmp_path / "small", build=named), "builds/small", shelf())
    assert build.problems == [] and build.sound_head.people["ada"].commits_as == ("ada@example.org",)
    assert not [name for name, text in files(build, assess(build, shelf())).items() if b"ada@example.org" in text]


def test_the_commands_go_there_and_back(tmp_path):
    write(tmp_path / "builds" / "small")
    run = CliRunner()
    assert run.invoke(main, ["export", "small", "--root", str(tmp_path), "--to", str(tmp_path / "data")]).exit_code == 0
    text = (tmp_path / "data" / "readings.csv").read_text()
    for path in (tmp_path / "builds/small/readings").iterdir():
        path.unlink()
    done = run.invoke(main, ["import", "small", str(tmp_path / "data" / "readings.csv"), "--root", str(tmp_path)])
    assert done.exit_code == 0, done.stderr
    run.invoke(main, ["export", "small", "--root", str(tmp_path), "--to", str(tmp_path / "again")])
    assert (tmp_path / "again" / "readings.csv").read_text() == text


@pytest.mark.parametrize("sign", ["=", "\uff1d"])
def test_a_spreadsheet_takes_no_text_for_a_formula(tmp_path, sign):
    hostile = FILES["readings/2025-02-04-skirt.yaml"].replace(
        "49.945 mm}", f"49.945 mm, note: '{sign}cmd()', as_held: '''quoted'}}"
    )
    build = load_build(write(tmp_path / "small", **{"readings__2025_02_04_skirt": hostile}), "builds/small", shelf())
    assert build.problems == []
    text = to_csv(build.rows)
    assert f",'{sign}cmd()" in text and ",''quoted" in text
    back = from_csv(text, "x.csv", Problems())
    assert (back[-1]["note"], back[-1]["as_held"]) == (f"{sign}cmd()", "'quoted")


def test_a_build_without_a_licence_claims_none(tmp_path):
    build = load_build(write(tmp_path / "small"), "builds/small", shelf())
    assert "licenses" not in json.loads(files(build, assess(build, shelf()))["datapackage.json"])


def test_a_table_that_is_not_whole_is_told_at_its_line():
    problems = Problems()
    from_csv(to_csv([]) + "a1,piston.skirt\n", "x.csv", problems)
    assert str(problems.in_order()[0]) == "x.csv:2:1: expected 22 cells, one for each heading. Found 2."
