"""Licences: SPDX expressions alone, and of what they let people do no more than is known."""

import pytest
from gudgeon.records.licences import spdx, terms_of
from gudgeon.records.load_knowledge import load_knowledge

CHANGED, NO_GAIN = "it must not be changed", "it must not be used for gain"
NOTHING = "nothing that is known here lets it be passed on"


@pytest.mark.parametrize(
    ("licence", "asks"),
    [
        ("CC-BY-4.0", []),
        ("cc0-1.0", []),
        ("CC-BY-SA-3.0-DE", []),
        ("GPL-3.0-or-later", []),
        ("CC-BY-ND-4.0", [CHANGED]),
        ("CC-BY-NC-SA-4.0", [NO_GAIN]),
        ("CC-BY-NC-ND-4.0", [CHANGED, NO_GAIN]),
        ("LicenseRef-ours", [NOTHING]),
        ("all rights reserved", [NOTHING]),
        ("Elastic-2.0", [NOTHING]),
        ("CC-BY-4.0 OR LicenseRef-ours", []),
        ("CC-BY-4.0 AND LicenseRef-ours", [NOTHING]),
        ("CC-BY-NC-4.0 AND CC-BY-ND-4.0", [CHANGED, NO_GAIN]),
        ("LicenseRef-ours AND (CC-BY-4.0 OR MIT) OR CC-BY-ND-4.0", [CHANGED]),
        ("GPL-2.0-only WITH Classpath-exception-2.0", [NOTHING]),
    ],
)
def test_what_a_licence_lets_people_do(licence, asks):
    assert terms_of(licence).asks == asks


@pytest.mark.parametrize("text", ["", "CC BY 4.0", "MIT OR", "(" * 190 + "MIT", "A" * 100_000, "MIT\x1b[2J"])
def test_what_is_no_expression(text):
    assert spdx(text) is None and not terms_of(text).pass_on


def test_the_club_s_own_licence_is_an_expression(tmp_path):
    sharing = tmp_path / "sharing.yaml"
    sharing.write_text("club: Us\nlicence: cc-by-4.0\n")
    shelf = load_knowledge(tmp_path, "docs/knowledge")
    assert shelf.problems == [] and shelf.sharing.licence == "CC-BY-4.0", "as SPDX spells it"
    sharing.write_text("club: Us\nlicence: ask Bo\n")
    (problem,) = load_knowledge(tmp_path, "docs/knowledge").problems
    assert str(problem).startswith(
        'docs/knowledge/sharing.yaml:2:10: licence: expected a licence by its SPDX identifier. Found "ask Bo"'
    )
