"""What a record names is declared in its type: what is used where, and what an editor is told, follow from it."""

import json

import pytest
from gudgeon.records.names import used_by, uses
from gudgeon.records.problems import Problems
from gudgeon.records.references import check_references
from gudgeon.schemas import schema
from small_build import FILES, load, shelf

SKIRT = "readings/2025-02-04-skirt.yaml"
MORE = {
    "readings__2025_02_04_skirt": FILES[SKIRT] + "  - {id: s2, withdraws: s1, because: entered twice}\n",
    "reviews": "reviews:\n  - {date: 2025-02-05, who: ada, verdict: agreed, says: good, about: [F1, piston, cyl.bore]}\n",
    "machines": "machines:\n  lathe: {name: Lathe, speeds: [100 rpm], feeds: [0.1 mm], dial_reads: radius, dial_division: 0.02 mm}\n",
    "cuts": "cuts:\n  - {date: 2025-02-01, of: cyl.bore, machine: lathe, asked: 0.1 mm, got: 0.1 mm, tool: hss, feed: 0.1 mm}\n",
    "operations": FILES["operations.yaml"]
    .replace("done: 2025-02-03", "machine: lathe, done: 2025-02-03")
    .replace("changes: [piston.skirt]", "changes: [piston.*], cutting_of: {piston.skirt: {depth: 1 mm}}"),
}


@pytest.mark.parametrize(
    ("kind", "name", "users"),
    [
        ("instrument", "mic", {("instrument", "gauge", "scale_from"), ("reading", "s1", "gauge")}),
        ("instrument", "gauge", {("reading", "b1", "gauge"), ("reading", "b2", "gauge")}),
        ("machine", "lathe", {("cut", "1", "machine"), ("operation", "TURN", "machine")}),
        ("material", "ci", {("part", "cyl", "material"), ("part", "piston", "material")}),
        ("temperature case", "hot", {("fit", "F1", "hot")}),
        ("reading", "s1", {("reading", "s2", "withdraws")}),
        ("fit", "F1", {("review", "1", "about")}),
        ("part", "piston", {("operation", "TURN", "part"), ("operation", "TURN", "changes"), ("review", "1", "about")}),
        ("feature", "piston.skirt", {
            ("feature", "cyl.bore", "mates"), ("fit", "F1", "shaft"), ("reading", "s1", "of"),
            ("operation", "TURN", "cutting_of"),
        }),
        ("operation", "BORE", {("operation", "TURN", "needs"), ("reading", "b1", "after"), ("reading", "b2", "after")}),
        ("instrument", "nobody", set()),
    ],
)  # fmt: skip
def test_used_by(tmp_path, kind, name, users):
    build = load(tmp_path, **MORE)
    assert build.problems == []
    assert {(use.kind, use.id, use.reference.path[0]) for use in used_by(build, kind, name)} == users


def test_every_use_knows_where_the_name_stands(tmp_path):
    build = load(tmp_path, **MORE)
    (use,) = used_by(build, "machine", "lathe")[:1]
    assert str(use.reference.where) == "builds/small/operations.yaml:3:130"
    for (_, name), users in uses(build).items():
        for use in users:
            where = use.reference.where
            text = (tmp_path / "small" / where.file.removeprefix("builds/small/")).read_text().splitlines()
            # What every_row says stands on a line of its own.
            assert text[where.line - 1][where.column - 1 :].startswith((name, "{")), (use, where)


def test_a_build_in_memory_is_checked_without_its_files(tmp_path):
    build = load(tmp_path, **MORE)
    for path in (tmp_path / "small").rglob("*.yaml"):
        path.unlink()
    problems = Problems()
    check_references(build, shelf(), problems)
    assert not problems
    build.instruments = {"gauge": build.instruments["gauge"]}
    check_references(build, shelf(), problems)
    assert {problem.text for problem in problems.in_order()} == {
        'no instrument "mic". Known: gauge.',
        '"mic" is not in the gauge drawer (instruments.yaml). Known: gauge.',
    }


def test_an_editor_is_told_what_a_key_points_at():
    rows = json.loads(schema("readings"))["$defs"]
    assert rows["Row"]["properties"]["gauge"]["x-refers-to"] == ["instrument"]
    (ref,) = [way for way in rows["EveryRow"]["properties"]["gauge"]["anyOf"] if way.get("type") != "null"]
    assert ref["x-refers-to"] == ["instrument"]
    fits = json.loads(schema("fits"))["$defs"]["Fit"]["properties"]
    assert fits["hot"]["items"]["x-refers-to"] == ["temperature case"]
    mates = json.loads(schema("part"))["$defs"]["Feature"]["properties"]["mates"]
    assert mates["items"]["x-refers-to"] == ["feature", "part"]
