"""The home of a build: what needs a look stands there, each with its why."""

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.model import Club
from small_build import bent, load, rendered, shelf

BORE = "readings/2025-02-02-bore.yaml"


def home(folder, name, **changes):
    (folder / name).mkdir()
    build = load(folder / name, **changes)
    assert build.problems == []
    pages, _ = rendered(Club([build], shelf()), {build.id: assess(build, shelf())})
    return next(page.text for page in pages if page.uri.endswith("small/index.md"))


@pytest.mark.slow
def test_a_size_out_of_its_limits_that_is_in_no_fit_stands_on_the_home(tmp_path):
    sound = home(tmp_path, "sound", fits=None)
    wide = home(tmp_path, "wide", fits=None, readings__2025_02_02_bore=bent(BORE, "50.012 50.012", "50.060 50.060"))
    assert "Sizes out of their limits" in wide and "against the limits" in wide
    assert "Sizes out of their limits" not in sound


def test_why_a_fit_needs_a_look_names_the_end(tmp_path):
    wide = home(tmp_path, "wide", readings__2025_02_02_bore=bent(BORE, "50.012 50.012", "50.039 50.039"))
    assert "0.094 mm at its loosest (b2 and s1), most wanted" in wide
