"""What was withdrawn where it came from is told where it counts: on the fit and the rules of a build, in check and in a review."""

import datetime
from dataclasses import replace

import gudgeon
import pytest
from click.testing import CliRunner
from club_repo import ClubRepo, review
from conftest import ROOT
from gudgeon.cli import main
from gudgeon.project.project import Project
from gudgeon.records.knowledge import Origin, WithdrawnThere
from gudgeon.records.withdrawn_there import in_use
from gudgeon.site import make_site

SAYS = "rought rule R1 was withdrawn by Larkmoor on 2026-10-01: It nipped twice"


def origins(kind_and_name: str) -> str:
    digest = "sha256:" + "0" * 64
    return (
        f"  {kind_and_name}:\n    came_from: x.json\n    club: Fen\n    licence: CC0-1.0\n    digest: '{digest}'\n"
        f"    as_brought: '{digest}'\n    on: 2026-01-01\n"
        "    withdrawn: {by: Larkmoor, on: 2026-10-01, because: 'It nipped twice.', told: 2026-11-01}\n"
    )


@pytest.mark.slow
def test_every_build_that_counts_on_it_says_so(tmp_path):
    club = ClubRepo(tmp_path)
    club.file("mkdocs.yml", "site_name: x\nplugins: [gudgeon]\n")
    club.commit("settings")
    club.file(
        "docs/knowledge/rules/R2.yaml", (club.root / "docs/knowledge/rules/R1.yaml").read_text().replace("R1", "R2")
    )
    lean = "{of_rule: R1, times: '1.5'}"
    rule = (club.root / "docs/knowledge/rules/R1.yaml").read_text()
    club.file(
        "docs/knowledge/rules/R3.yaml",
        rule.replace("rule: R1", "rule: R3").replace("{per_length: [0.001, 0.0016]}", lean),
    )
    club.change("builds/twin/fits.yaml", "rule: R1", "rule: R3")
    club.file("docs/knowledge/origins.yaml", "origins:\n" + origins("rule R1") + origins("rule R2"))
    project = Project.open(club.root, cache=False)
    fits = {name: next(iter(project.build(name).fits)) for name in ("small", "twin")}
    pages = {page.uri: page.text for page in make_site(project).pages}
    for name, fit in fits.items():
        for page in ("rules.md", f"fits/{fit.lower()}.md"):
            assert f"B{SAYS}." in pages[f"builds/{name}/{page}"], (name, page)
        assert "R2 was withdrawn" not in pages[f"builds/{name}/rules.md"], "nothing of it counts on R2"
    assert "told on 2026-11-01" in pages["share.md"]
    told = CliRunner().invoke(main, ["check", str(club.root), "--no-cache"])
    for name, fit in fits.items():
        assert f"builds/{name}: b{SAYS} ({fit})." in told.output, told.output
    assert "docs/knowledge/origins.yaml: brought rule R2 was withdrawn" in told.output
    assert told.exit_code == 0 and "3 notices of withdrawal elsewhere" in told.output
    slip = review(club.root)
    assert {(one.build, *one.used_by) for one in slip.withdrawn_elsewhere} == {
        ("small", fits["small"]),
        ("twin", fits["twin"]),
        (None,),
    }


def test_metals_and_families_of_the_demonstration_are_known_by_their_parts():
    """A part is of a metal of the club by itself, by what its own is like, or by the shell that its lining is bonded to."""
    project = gudgeon.open(ROOT)
    notice = WithdrawnThere(by="Larkmoor", because="x", told=datetime.date(2026, 11, 1))
    digest = "sha256:" + "0" * 64
    origin = Origin(
        came_from="x.json",
        club="Fen",
        licence="MIT",
        digest=digest,
        as_brought=digest,
        on=notice.told,
        withdrawn=notice,
    )
    shelf = project.knowledge
    for build in (project.build(name) for name in project.build_names()):
        keys = [f"material {name}" for name in shelf.materials] + [f"family {name}" for name in shelf.families]
        used = {one.withdrawn.name: one for one in in_use(build, replace(shelf, origins=dict.fromkeys(keys, origin)))}
        for part_id, part in build.parts.items():
            assert part_id in used[part.family].parts
            own = build.materials.get(part.material)
            for metal in {build.club_material(name) for name in (part.material, own and own.shell) if name} & set(
                shelf.materials
            ):
                assert part_id in used[metal].parts
                joined = {
                    half.partition(".")[0]: name
                    for name, fit in build.fits.items()
                    for half in (fit.hole, fit.shaft)
                    if half
                }
                assert part_id not in joined or joined[part_id] in used[metal].fits
    assert "brought family piston was withdrawn by Larkmoor: x" in {one.withdrawn.says for one in used.values()}
