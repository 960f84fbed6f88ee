"""Every form that the guide's table of quick entry shows is read as the table says."""

import datetime
import re
from pathlib import Path

import pytest
from gudgeon.entry.line import read_line
from gudgeon.entry.sizes import Words, take_size
from gudgeon.entry.typed import one_way_of_writing

GUIDE = Path(__file__).parent.parent.parent / "docs" / "review-and-share.md"
DAY = datetime.date(2025, 4, 6)


def _rows():
    table = GUIDE.read_text(encoding="utf-8").partition("| typed or said | is |")[2].partition("\n\n")[0]
    for line in table.splitlines()[2:]:
        forms, means = line.strip("| ").split(" | ")
        yield means, re.findall("`([^`]+)`", forms)


@pytest.fixture(scope="module")
def pond(club):
    return next(build for build in club.builds if build.id == "harrow-pond")


def read(pond, place="3.5 0", reads="4.2559", temps="24/16", gauge="om45", feature="piston skirt"):
    return read_line(pond, f"{feature} {place} {reads} {temps} {gauge}", DAY, "odette").row


def test_each_form_is_read_as_the_guide_says(pond):
    tried = 0
    for means, forms in _rows():
        for form in forms:
            tried += 1
            if means.startswith("a length"):
                words = Words(one_way_of_writing(form).split())
                take_size(words, "in", "reading")
                assert words.left == [], form
            elif means.startswith("readings"):
                assert read(pond, reads=form)["reads"] == "4.2559 4.2560 4.2559 in"
            elif means.startswith("an angle"):
                angle = read(pond, place=f"3.5 {form}").get("angle")
                assert angle == {"0": "0 deg", "-": None}.get(form, "90 deg"), form
            elif means.startswith("a station"):
                station = read(pond, place=f"{form} 0").get("station")
                assert station == {"-": None, "station 3 1/2": "3 1/2 in"}.get(form, "3.5 in"), form
            elif means.startswith("temperatures"):
                row = read(pond, temps=form)
                wanted = ("75 °F", "60 °F") if "f" in form else ("24 °C", "16 °C")
                assert (row["part_temp"], row["gauge_temp"]) == wanted, form
            elif means.startswith("a feature by its name"):
                row = read(
                    pond,
                    **({"gauge": form} if form == "om 45" else {"feature": form, "reads": "4.2389", "place": "0.2 0"}),
                )
                assert row["gauge"] == "om45" and row["of"] in ("piston.skirt", "piston.land1")
            elif means.startswith("the line in words"):
                row = read_line(pond, f"{form} om45", DAY, "odette").row
                assert (row["of"], row["station"], row["angle"], row["reads"]) == (
                    "piston.skirt",
                    "3/4 in",
                    "90 deg",
                    "4.2456 in",
                )
            else:
                raise AssertionError(f"nothing holds {form!r}: {means}")
    assert tried >= 25
