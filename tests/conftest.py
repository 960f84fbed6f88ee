"""Fixtures shared by all tests, and the loud word on what was left out."""

import gc
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from gudgeon.pictures import sizes
from gudgeon.project.lock import locked
from hypothesis import HealthCheck, settings

# What was worked out before is kept for no test but those of the cache itself: a test bends the code in memory.
os.environ["GUDGEON_CACHE"] = ""
# The same inputs in every run, however busy the machine is; tests/fuzz/run.py looks for new ones.
settings.register_profile(
    "suite", derandomize=True, database=None, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("suite")
# The libraries, the tests and the shelf stay to the end: looking through them often for garbage costs a tenth of the time.
gc.set_threshold(50_000, 20, 100)
ROOT = Path(__file__).parent.parent
# What all processes of a run share; the process that began the run removes it in the end.
BEGAN_HERE = "GUDGEON_TESTS_KEEP_IN" not in os.environ
if BEGAN_HERE:
    os.environ["GUDGEON_TESTS_KEEP_IN"] = tempfile.mkdtemp(prefix="gudgeon-tests-")
KEPT = Path(os.environ["GUDGEON_TESTS_KEEP_IN"])
AXE = ROOT / "tests" / "browser" / "node_modules" / "axe-core" / "axe.min.js"
BROWSER = shutil.which("chromium")
# One page of each kind.
KINDS = [
    "",
    "add-a-build/",
    "write-an-instalment/",
    "take-pictures-in/",
    "builds/",
    "builds/harrow-pond/",
    "builds/harrow-pond/parts/",
    "builds/harrow-pond/parts/piston/",
    "builds/harrow-pond/fits/",
    "builds/harrow-pond/fits/a-f01/",
    "builds/harrow-pond/fits/a-f01/history/",
    "builds/sundlia/fits/b-f01/history/",
    "builds/sundlia/story/10-the-wrong-rule/",
    "builds/harrow-pond/fits/a-f03/",
    "builds/harrow-pond/fits/a-f16/",
    "builds/harrow-pond/maps/",
    "builds/harrow-pond/maps/cyl.bore/",
    "builds/harrow-pond/readings/",
    "builds/harrow-pond/rules/",
    "builds/harrow-pond/sums/",
    "builds/harrow-pond/work/",
    "builds/harrow-pond/sheets/",
    "builds/sundlia/due/",
    "due/",
    "builds/harrow-pond/sheets/a-pis-100/",
    "builds/harrow-pond/sheets/part-cyl/",
    "work/",
    "builds/harrow-pond/gauges/",
    "builds/harrow-pond/metals/",
    "builds/harrow-pond/story/",
    "builds/harrow-pond/story/15-mapping-the-bore/",
    "builds/sundlia/",
    "builds/sundlia/fits/b-f01/",
    "builds/sundlia/fits/b-f10/",
    "builds/sundlia/parts/liner/",
    "builds/sundlia/parts/flywheel/",
    "builds/sundlia/gauges/",
    "families/",
    "made/",
    "search/",
    "families/flywheel/",
    "unverified/",
    "share/",
    "rules/",
    "metals/",
    "cautions/",
    "words/",
    "sources/",
    "records/",
    "phone/",
    "review-and-share/",
    "commands/",
    "python/",
    "findings/",
    "changelog/",
    "security/",
]


def browser_lack() -> str | None:
    """What the browser tests lack on this machine, or None."""
    if not BROWSER:
        return "no chromium on the path (Debian: apt-get install chromium)"
    if not AXE.exists() and shutil.which("npm"):
        subprocess.run(["npm", "ci", "--silent"], cwd=AXE.parents[2], check=False)
    return None if AXE.exists() else "no axe-core (in tests/browser: npm ci)"


def pytest_collection_modifyitems(items):
    """What takes longest begins first, so that in the end no core waits for another; the tests of a file stay together."""
    turns = {"browser": 0, "slow": 1}

    def turn(item) -> int:
        marks = item.getparent(pytest.Module).own_markers
        return min((turns[mark.name] for mark in marks if mark.name in turns), default=2)

    items.sort(key=turn)


def pytest_collection_finish():
    """What is there when the tests begin is not garbage."""
    gc.collect()
    gc.freeze()


def pytest_unconfigure():
    if BEGAN_HERE:
        shutil.rmtree(KEPT, ignore_errors=True)


def pytest_terminal_summary(terminalreporter):
    left_out = [report for report in terminalreporter.stats.get("skipped", ()) if "browser" in report.keywords]
    if left_out:
        reason = left_out[0].longrepr[2].removeprefix("Skipped: ")
        terminalreporter.section("LEFT OUT", sep="!", red=True, bold=True)
        terminalreporter.line(f"{len(left_out)} browser tests LEFT OUT: {reason}.")
        terminalreporter.line(
            "The pages were not opened in a browser. Set GUDGEON_NEED_BROWSER=1 to make this a failure."
        )


@pytest.fixture(scope="session")
def root():
    return ROOT


@pytest.fixture(scope="session", autouse=True)
def nothing_changes_the_shelf():
    """All tests share one shelf: whatever they did with it, in the end it is what the files say."""
    yield
    import gudgeon
    from small_build import shelf

    assert shelf() == gudgeon.open(ROOT).knowledge, "a test changed the shared shelf"


@pytest.fixture(scope="session")
def club():
    import gudgeon

    return gudgeon.open(ROOT).club()


@pytest.fixture(scope="session")
def harrow(club):
    """Findings of the demonstration build."""
    from gudgeon.assess.build import assess

    build = next(each for each in club.builds if each.id == "harrow-pond")
    assert build.problems == []
    return assess(build, club.knowledge)


@pytest.fixture(scope="session", autouse=True)
def pictures_copied_once():
    """The copies of a picture are made once in a run of the tests: they cost more than all pages of a build."""
    make, made = sizes._made, {}

    def kept(plan, raw):
        key = (plan, hashlib.sha256(raw).digest())
        if key not in made:
            made[key] = make(plan, raw)
        return list(made[key])

    sizes._made = kept
    yield
    sizes._made = make


def build_site(project: Path, out: Path, *more: str, afresh: bool = False) -> subprocess.CompletedProcess:
    """Run the real MkDocs on a project, as a user does. It is a process of its own, so that no test bends its code: what it
    worked out is kept for the next one of the run, but for afresh."""
    env = {key: value for key, value in os.environ.items() if key != "SOURCE_DATE_EPOCH"} | {"NO_MKDOCS_2_WARNING": "1"}
    if not afresh:
        env["GUDGEON_CACHE"] = str(KEPT)
    return subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-d", str(out), *more],
        cwd=project,
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )


def own(root: Path, file: str) -> Path:
    """A file of a project's shelf; one that only the tool's shelf has is copied there first, to stand in place of that."""
    shelf, package = root / "docs" / "knowledge", ROOT / "plugins" / "gudgeon" / "knowledge"
    thing = "/".join(file.split("/")[:2])  # a family comes with its starter
    if not (shelf / thing).exists():
        (shelf / thing).parent.mkdir(parents=True, exist_ok=True)
        (shutil.copytree if (package / thing).is_dir() else shutil.copy)(package / thing, shelf / thing)
    return shelf / file


def whole_shelf(root: Path) -> Path:
    """Everything that is shared as a shelf of a project's own: that of the tool, and over it that of this repository."""
    shelf = root / "docs" / "knowledge"
    shutil.copytree(ROOT / "plugins" / "gudgeon" / "knowledge", shelf, dirs_exist_ok=True)
    works = json.loads((shelf / "sources/bibliography.json").read_text(encoding="utf-8"))
    shutil.copytree(ROOT / "docs" / "knowledge", shelf, dirs_exist_ok=True)
    works += json.loads((shelf / "sources/bibliography.json").read_text(encoding="utf-8"))
    text = json.dumps(works, indent=1, ensure_ascii=False) + "\n"
    (shelf / "sources/bibliography.json").write_text(text, encoding="utf-8")
    return shelf


def copy_project(to: Path) -> Path:
    """A project of its own: settings, docs and builds, without the tests and the code."""
    for name in ("docs", "builds"):
        shutil.copytree(ROOT / name, to / name)
    for name in ("mkdocs.yml", "README.md"):
        shutil.copy(ROOT / name, to / name)
    return to


def small_project(to: Path) -> Path:
    """A project with a home page and no build, on the tool's shelf: its site takes a third of the time of the demonstration's."""
    (to / "docs").mkdir(parents=True)
    (to / "docs/index.md").write_text("# Club\n", encoding="utf-8")
    settings = "site_name: Club\ntheme: {name: material, font: false}\nplugins:\n  - gudgeon\n"
    (to / "mkdocs.yml").write_text(settings, encoding="utf-8")
    return to


def pages_that_stay(site: Path) -> list[Path]:
    """The pages of a site but those at old addresses, which a browser leaves for the new ones at once."""
    pages = sorted(site.rglob("index.html"))
    return [path for path in pages if 'http-equiv="refresh"' not in path.read_text(encoding="utf-8")]


@pytest.fixture(scope="session")
def site():
    """The whole site, built by the real MkDocs, strictly, once in a run: the first process that needs it builds, others wait.
    Nobody changes it."""
    return made_once("site", site_of_the_project)


def site_of_the_project(out: Path):
    done = build_site(ROOT, out, "--strict")
    assert done.returncode == 0, done.stderr


def made_once(name: str, make: Callable[[Path], None]) -> Path:
    """A folder that is made once in a run, by the first of its processes that asks; the others wait for it."""
    place, made = KEPT / "made" / name, KEPT / "made" / f"{name} is made"
    place.parent.mkdir(parents=True, exist_ok=True)
    with locked(place.parent, print, patience=900):
        if not made.exists():
            make(place)
            made.touch()
    return place
