"""What was withdrawn where it came from is told where it counts: on the fit and the rules of a build, in check and in a review."""

import pytest
from click.testing import CliRunner
from club_repo import ClubRepo, review
from gudgeon.cli import main
from gudgeon.project.project import Project
from gudgeon.site import make_site

pytestmark = pytest.mark.slow
SAYS = "rought rule R1 was withdrawn by Larkmoor on 2026-10-01: It nipped twice"


def origins(kind_and_name: str) -> str:
    digest = "sha256:" + "0" * 64
    return (
        f"  {kind_and_name}:\n    came_from: x.json\n    club: Fen\n    licence: CC0-1.0\n    digest: '{digest}'\n"
        f"    as_brought: '{digest}'\n    on: 2026-01-01\n"
        "    withdrawn: {by: Larkmoor, on: 2026-10-01, because: 'It nipped twice.', told: 2026-11-01}\n"
    )


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
