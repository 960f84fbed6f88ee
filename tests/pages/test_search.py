"""The search gives the right page first: its own script asked in node, over the list of both demonstration builds."""

import hashlib
import json
import shutil
import subprocess
from pathlib import Path

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.knowledge_checks import check_knowledge
from gudgeon.pages.page import Page
from gudgeon.pages.site import render
from small_build import ROOT

pytestmark = pytest.mark.slow
RUN = """
const folder = process.argv[1];
globalThis.MiniSearch = require(folder + "/minisearch.js");
require(folder + "/pages.js"); require(folder + "/ask.js");
const asked = JSON.parse(require("fs").readFileSync(0, "utf-8"));
process.stdout.write(JSON.stringify(asked.map(([words, at]) => gudgeon.ask(words, at))));
"""
# What is asked, and the pages of which one comes first.
FIRST = {
    "skirt clearance": "harrow-pond/fits/a-f01/ sundlia/fits/b-f01/",
    "skirt in bore": "harrow-pond/fits/a-f01/",
    "ring gap": "harrow-pond/fits/a-f03/ sundlia/fits/b-f03/",
    "ring 1 closed gap": "harrow-pond/fits/a-f03/",
    "top land": "harrow-pond/fits/a-f02/ sundlia/fits/b-f02/",
    "big end": "harrow-pond/fits/a-f09/ sundlia/fits/b-f07/",
    "pin in bush": "harrow-pond/fits/a-f07/ sundlia/fits/b-f05/",
    "stem in guide": "harrow-pond/fits/a-f13/ harrow-pond/fits/a-f14/ sundlia/fits/b-f12/ sundlia/fits/b-f13/",
    "key taper match": "harrow-pond/fits/a-f16/",
    "shrink fit": "sundlia/fits/b-f11/",
    "F01": "harrow-pond/fits/a-f01/ sundlia/fits/b-f01/",
    "a-f07": "harrow-pond/fits/a-f07/",
    "AF07": "harrow-pond/fits/a-f07/",
    "B-F10": "sundlia/fits/b-f10/",
    "A-PIS-100": "harrow-pond/sheets/a-pis-100/",
    "a pis 110": "harrow-pond/sheets/a-pis-110/",
    "A-PIS-10": "harrow-pond/parts/piston/",
    "remake key": "harrow-pond/sheets/a-fly-41/",
    "finish skirt": "harrow-pond/sheets/a-pis-100/",
    "print sheet skirt": "harrow-pond/sheets/a-pis-100/",
    "wrist pin": "harrow-pond/parts/pin/ sundlia/parts/pin/",
    "gudgeon pin": "harrow-pond/parts/pin/ sundlia/parts/pin/",
    "gudgon pin": "harrow-pond/parts/pin/ sundlia/parts/pin/",
    "piston": "harrow-pond/parts/piston/ sundlia/parts/piston/",
    "flywheel": "harrow-pond/parts/fly_l/ sundlia/parts/flywheel/",
    "crankshaft": "harrow-pond/parts/crank/ sundlia/parts/crank/",
    "exhaust valve": "harrow-pond/parts/exvalve/ sundlia/parts/exvalve/",
    "small-end bush": "harrow-pond/parts/sebush/ sundlia/parts/sebush/",
    "liner": "sundlia/parts/liner/",
    "main bearing": "harrow-pond/parts/main_l/ harrow-pond/parts/main_r/",
    "carburetor": "harrow-pond/parts/mix/",
    "who measured the bore": "harrow-pond/maps/cyl.bore/ sundlia/maps/liner.bore/",
    "cylinder bore map": "harrow-pond/maps/cyl.bore/",
    "bush that shrank": "harrow-pond/story/14-the-bush-that-shrank/",
    "wrong rule": "sundlia/story/10-the-wrong-rule/",
    "six microns": "sundlia/story/13-six-microns/",
    "A-R1": "/rules/#A-R1",
    "one thou per inch of bore": "/rules/#A-R1 /rules/#B-R1",
    "flywheel burst": "/cautions/#caution-flywheel-bursts",
    "molten metal": "/cautions/#caution-hot-metal",
    "babbitt": "/words/#white-metal /rules/#P-R2",
    "white metal": "/words/#white-metal",
    "tenth": "/words/#tenth",
    "kerosene": "/words/#paraffin harrow-pond/sheets/a-val-30/",
    "metal on": "/words/#metal-on",
    "reads out": "/words/#reads-out",
    "ovality": "/words/#ovality",
    "grey iron": "/metals/#metal-grey-iron /words/#grey-iron",
    "hoop stress": "harrow-pond/sums/#rim-hoop-fly_l",
    "compression ratio": "harrow-pond/sums/#compression-ratio-head sundlia/sums/#compression-ratio-head",
    "outside mic 4-5": "harrow-pond/gauges/",
    "om45": "harrow-pond/gauges/",
    "add a reading": "harrow-pond/phone/index.html sundlia/phone/index.html",
    "readings": "harrow-pond/readings/ sundlia/readings/",
    "fits": "harrow-pond/fits/ sundlia/fits/",
    "rules": "harrow-pond/rules/ sundlia/rules/",
    "sundlia": "sundlia/",
    "harrow pond": "harrow-pond/",
    "add a build": "/add-a-build/",
    "carvill": "/sources/#carvill-1993",
}


@pytest.fixture(scope="module")
def listed(club, tmp_path_factory) -> Path:
    """The files of the search."""
    outcomes = {build.id: assess(build, club.knowledge) for build in club.builds}
    by_hand = [Page(path.name, path.read_text(encoding="utf-8")) for path in sorted((ROOT / "docs").glob("*.md"))]
    made = render(club, outcomes, check_knowledge(club), others=by_hand)
    assert made.failures == []
    folder = tmp_path_factory.mktemp("search")
    for asset in made.assets:
        if asset.uri.startswith("assets/search/"):
            (folder / asset.uri.rpartition("/")[2]).write_bytes(asset.content)
    return folder


def ask(folder: Path, *asked: tuple[str, str]) -> list[list[dict]]:
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node on the path")
    done = subprocess.run(
        [node, "-e", RUN, str(folder)], input=json.dumps(asked), capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_the_right_page_comes_first(listed):
    answers = ask(listed, *((words, "") for words in FIRST))
    wrong = {}
    for (words, right), given in zip(FIRST.items(), answers, strict=True):
        pages = {f"..{page}" if page.startswith("/") else f"../builds/{page}" for page in right.split()}
        if not given or given[0]["address"] not in pages:
            wrong[words] = [answer["address"] for answer in given[:3]]
    assert wrong == {} and len(FIRST) > 46


def test_the_build_that_one_comes_from_comes_first(listed):
    of_either = ask(
        listed, *((words, at) for words in ("skirt clearance", "rules") for at in ("harrow-pond", "sundlia"))
    )
    assert [given[0]["build"].split()[0] for given in of_either] == ["Harrow", "Sundlia"] * 2


def test_what_is_hardly_looked_for_comes_last_and_nonsense_finds_nothing(listed):
    kinds, nothing, empty, marks = ask(listed, ("skirt", ""), ("zzqxv", ""), (" ", ""), ("<>&", ""))
    assert nothing == empty == marks == []
    last = [answer["kind"] for answer in kinds]
    assert last.index("how a fit changed") > max(last.index(kind) for kind in ("fit", "bore map", "job"))


def test_a_list_of_two_builds_is_small(listed):
    # With every word of some thirty instalments in it, which are a good third of it.
    assert (listed / "pages.js").stat().st_size < 220_000


def test_the_library_is_the_one_that_is_named():
    digest = hashlib.sha256((ROOT / "plugins/gudgeon/pages/assets/search/minisearch.js").read_bytes()).hexdigest()
    assert digest in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
