"""The guides for members are on every site, and a project's own page wins."""

import re
import tomllib

import pytest
from conftest import ROOT
from gudgeon.commands.guides import GUIDES, manual_pages


def test_a_project_without_guides_has_them_and_one_with_its_own_keeps_it():
    pages, files = manual_pages("folders", set())
    by_name = {page.uri: page.text for page in pages}
    assert set(GUIDES) < set(by_name)
    assert (
        "`fits.yaml` says what is to work together" in by_name["add-a-build.md"]
        and "--8<--" not in by_name["add-a-build.md"]
    )
    assert {"images/add-a-build-fit.webp", "schemas/findings.schema.json"} <= {file.uri for file in files}
    own, rest = manual_pages(
        "folders", {"add-a-build.md", "images/instalment-page.webp", "schemas/findings.schema.json"}
    )
    assert "add-a-build.md" not in {page.uri for page in own}
    assert not {"images/add-a-build-fit.webp", "images/instalment-page.webp", "schemas/findings.schema.json"} & {
        file.uri for file in rest
    }


def test_the_wheel_carries_every_guide_and_what_they_take_in():
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    carried = settings["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    wanted = {f"docs/{name}": f"gudgeon/guides/{name}" for name in (*GUIDES, "images")}
    wanted |= {"README.md": "gudgeon/guides/README.md", "requirements.lock": "gudgeon/club/requirements.lock"}
    assert wanted.items() <= carried.items()


@pytest.mark.parametrize("name", GUIDES)
def test_a_guide_leads_to_nothing_that_a_club_s_site_lacks(name):
    guide = re.sub(r"```.*?```|`[^`]*`", "", (ROOT / "docs" / name).read_text(encoding="utf-8"), flags=re.DOTALL)
    linked = set(re.findall(r"\]\(([\w/-]+\.md)", guide))
    nav = (ROOT / "plugins" / "gudgeon" / "club" / "templates" / "mkdocs.yml.j2").read_text(encoding="utf-8")
    assert linked <= {*GUIDES, *re.findall(r": ([\w/-]+\.md)$", nav, re.MULTILINE)}
