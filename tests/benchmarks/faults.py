"""Every writing command killed, on a full disk, in folders that may only be read, and two at a time: is anything lost or half written?

.venv/bin/python tests/benchmarks/faults.py [runs] [seed]      each command is a process of its own; 500 runs of each fault by default

Prints what was run and what was lost. `tests/project/test_faults.py` runs a few of them.
"""

import contextlib
import importlib
import mmap
import os
import pkgutil
import random
import resource
import shutil
import signal
import struct
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import gudgeon
from club_repo import ENV
from conftest import whole_shelf
from fuzz.tiny_builds import TINY
from fuzz.whole_builds import IN_MEMORY
from gudgeon.cli import main
from gudgeon.project.writing import PART, desk
from gudgeon.records.load_build import load_build
from gudgeon.records.load_knowledge import load_knowledge
from gudgeon.records.shelf_layers import PACKAGE
from gudgeon.share.item import offered
from small_build import shelf, write

SHELF = "docs/knowledge"
MAP = """\
columns: {Feature: of, Value: reads, Taken: date}
units: {reads: mm}
every_row: {by: ada, gauge: mic, part_temp: 20 °C, gauge_temp: 19 °C}
names: {of: {SKIRT: piston.skirt}}
dates: day.month.year
first_id: c001
"""
LINE = "piston skirt - - 49.945 20c/20c mic by ada"
# Command -> (its words, whether its files can be made again: each is whole then, but not all of one run).
WRITING = {
    "enter": (["enter", "small", LINE, "--yes", "--on", "2025-02-20"], False),
    "import": (["import", "small", "{root}/gauge.csv", "--columns", "{root}/map.yaml"], False),
    "new build": (
        [
            "new",
            "build",
            "fresh",
            "--name",
            "F",
            "--units",
            "mm",
            "--layout",
            "vertical",
            "--person",
            "Ann",
            "--club",
            "Club",
        ],
        False,
    ),
    "cut": (
        ["cut", "small", "piston skirt asked 0.04mm reads 20 0 49.940 20c/20c mic", "--by", "ada", "--on", "2025-02-20"]
        + ["--operation", "LAST", "--machine", "lathe", "--tool", "t", "--feed", "0.1 mm", "--yes", "--despite-doubts"],
        False,
    ),
    "done": (["done", "small", "LAST", "--took", "60", "--by", "ada", "--on", "2025-02-20", "--yes"], False),
    "new gauge": (
        ["new", "gauge", "small", "om", "--name", "x", "--step", "0.001 mm", "--scale", "0.002 mm", "--use", "0.002 mm"]
        + ["--checked", "2025-01-01", "--due", "2026-01-01"],
        False,
    ),
    "bring": (["bring", "{root}/item.json", "--yes", "--on", "2025-02-20"], False),
    "review": (["review", "--base", "HEAD", "--to", "{root}/slip.txt"], True),
    "new part": (["new", "part", "small", "rod", "--family", "piston", "--material", "ci"], False),
    "new instalment": (["new", "instalment", "small", "--title", "First", "--by", "ada", "--on", "2025-02-20"], False),
    "new lathe": (
        ["new", "lathe", "small", "l2", "--name", "x", "--speeds", "100", "--feeds", "0.1 mm", "--dial", "radius"]
        + ["--division", "0.02 mm"],
        False,
    ),
    "export": (["export", "small", "--to", "{root}/data"], True),
    "schemas": (["schemas", "{root}/schemas"], True),
    "pages": (["pages", "--to", "{root}/plain"], True),
}

# Everything is read once, before the processes fork: those that belong to somebody else may not be let read it.
for module in (*pkgutil.walk_packages(gudgeon.__path__, "gudgeon."), "encodings.unicode_escape", "pandas"):
    name = module if isinstance(module, str) else module.name
    if name != "gudgeon.cli":
        importlib.import_module(name)


@dataclass
class Bench:
    """A project to write into. fresh: what it is copied from. before, after: its files, before a command and after. seconds: that a
    command takes; begins: after which it writes first."""

    fresh: Path
    root: Path
    before: dict[str, bytes]
    after: dict[str, dict[str, bytes]]
    seconds: dict[str, float]
    begins: dict[str, float]


def files(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in root.rglob("*")
        if path.is_file() and ".git" not in path.parts
    }


def renew(bench: Bench) -> None:
    """Its files as they were, without making what did not change anew."""
    for name, raw in files(bench.root).items():
        if bench.before.get(name) != raw:
            (bench.root / name).unlink()
    for folder in sorted((path for path in bench.root.rglob("*") if path.is_dir()), reverse=True):
        if not any(folder.iterdir()) and not (bench.fresh / folder.relative_to(bench.root)).exists():
            folder.rmdir()
    for name, raw in bench.before.items():
        path = bench.root / name
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(raw)


def make_bench(place: Path, commands: list[str]) -> Bench:
    """A small build with a small shelf, and what each of some commands makes of it."""
    os.environ["GUDGEON_CACHE"] = str(place / "of-user")
    fresh, root = place / "fresh", place / "project"
    write(fresh / "builds" / "small")
    for name, text in TINY["at-work"].items():
        (fresh / "builds" / "small" / name).write_text(text, encoding="utf-8")
    for name in ("families/piston", "materials", "sources", "words.yaml", "judgement.yaml"):
        there = PACKAGE.folder / name
        if there.is_dir():
            shutil.copytree(there, fresh / SHELF / name)
        elif there.exists():
            shutil.copy(there, fresh / SHELF / name)
    giver = whole_shelf(fresh.parent / "giver")
    with (giver / "families/cylinder/family.yaml").open("a") as family:
        family.write("# theirs\n")  # what says the same as the tool's is here already
    item = next(item for item in offered(load_knowledge(giver, SHELF)) if "families/cylinder" in item.path)
    (fresh / "item.json").write_bytes(item.content)
    (fresh / "map.yaml").write_text(MAP)
    (fresh / "gauge.csv").write_text(
        "Feature,Value,Taken\n" + "".join(f"SKIRT,49.9{number},20.02.2025\n" for number in range(40, 49))
    )
    (fresh / "mkdocs.yml").write_text("site_name: Club\nplugins: [gudgeon]\n")
    for words in (["init", "-q", "-b", "main"], ["add", "-A"], ["commit", "-q", "-m", "the club"]):
        subprocess.run(["git", *words], cwd=fresh, env=ENV, check=True)
    with (fresh / "builds/small/readings/2025-02-04-skirt.yaml").open("a") as readings:  # what there is to review
        readings.write("  - {id: s2, station: 25 mm, reads: 49.944 mm}\n")
    shutil.copytree(fresh, root)
    bench = Bench(fresh, root, files(fresh), {}, {}, {})
    for command in commands:
        began, first = time.monotonic(), mmap.mmap(-1, 8)  # shared with the process
        status, said = wait(start(bench, command, lambda first=first: at_first_writing(bench, first)))
        bench.seconds[command] = time.monotonic() - began
        bench.begins[command] = struct.unpack("d", first[:])[0] - began
        assert status == 0, (command, status, said)
        bench.after[command] = files(root)
        assert bench.after[command] != bench.before, command
        renew(bench)
        assert files(root) == bench.before
    return bench


def writes(bench: Bench, event: str, given: tuple) -> bool:
    """Whether an event of the system is the opening, making, renaming or removing of something of the project."""
    if event not in ("open", "os.mkdir", "os.rename", "os.remove", "os.rmdir"):
        return False
    if not str(given[0]).startswith((str(bench.root), os.environ["GUDGEON_CACHE"])):
        return False
    return event != "open" or (isinstance(given[2], int) and bool(given[2] & os.O_ACCMODE))


def at_first_writing(bench: Bench, first: mmap.mmap) -> None:
    """Note the time at which this process first writes."""

    def hook(event, given):
        if not any(first[:]) and writes(bench, event, given):
            first[:] = struct.pack("d", time.monotonic())

    sys.addaudithook(hook)


def start(bench: Bench, command: str, prepare=lambda: None, words: list[str] | None = None) -> tuple[int, Path]:
    """A command as a process of its own; (its number, the file of what it says)."""
    words = words or WRITING[command][0]
    said = bench.root.parent / f"said-{command.replace(' ', '-')}-{time.monotonic_ns()}"
    process = os.fork()
    if process:
        return process, said
    status = 99
    try:
        out = os.open(said, os.O_WRONLY | os.O_CREAT)
        os.dup2(out, 1)
        os.dup2(out, 2)
        sys.stdout, sys.stderr = os.fdopen(1, "w"), os.fdopen(2, "w")
        sys.stdin = open(os.devnull)  # noqa: SIM115 - a process of its own
        os.chdir(bench.root)
        prepare()
        main([word.format(root=bench.root) for word in words], standalone_mode=True)
    except SystemExit as end:
        status = end.code or 0
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def wait(started: tuple[int, Path]) -> tuple[int, str]:
    """(exit status, negative for a signal; what was said)."""
    process, said = started
    status = os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])
    text = said.read_text() if said.exists() else ""
    said.unlink(missing_ok=True)
    return status, text


def lost(bench: Bench, command: str, killed: bool) -> str | None:
    """What is wrong with the project's files after a command that may have failed; None where nothing is."""
    after, can_be_made_again = bench.after[command], WRITING[command][1]
    half = {
        name
        for name, raw in files(bench.root).items()
        if not name.endswith(PART) and raw not in (bench.before.get(name), after.get(name))
    }
    if half:
        return f"half written: {sorted(half)}"
    if killed:
        with desk(bench.root, lambda told: None):
            pass
    now = files(bench.root)
    if can_be_made_again:
        return None if killed or now in (bench.before, after) else "some of it was written, and it was not told"
    if now not in (bench.before, after):
        return f"not all of it: {sorted(set(now.items()) ^ set(bench.before.items()))!r:.300}"
    if now == bench.before:
        folders = {path.relative_to(bench.root) for path in bench.root.rglob("*") if path.is_dir()}
        more = folders - {path.relative_to(bench.fresh) for path in bench.fresh.rglob("*") if path.is_dir()}
        return f"folders were left: {sorted(map(str, more))}" if more else None
    return None


def killed_at_any_time(bench: Bench, command: str, random_: random.Random) -> tuple[str, str | None]:
    started = start(bench, command)
    since = bench.begins[command] * random_.choice((0, 0.9, 0.9, 0.9))  # mostly while it writes
    time.sleep(random_.uniform(since, 1.1 * bench.seconds[command]))
    with contextlib.suppress(ProcessLookupError):
        os.kill(started[0], signal.SIGKILL)
    status, _ = wait(started)
    return "killed" if status == -signal.SIGKILL else "done before", lost(bench, command, True)


def killed_at_a_step(bench: Bench, command: str, random_: random.Random) -> tuple[str, str | None]:
    """Killed at one of the moments at which the system is asked to open, make, rename or remove something in the project."""
    left = [random_.randrange(1, 40 if command in ("bring", "schemas", "export", "pages") else 10)]

    def hook(event, given):
        if writes(bench, event, given):
            left[0] -= 1
            if left[0] == 0:
                os.kill(os.getpid(), signal.SIGKILL)

    status, _ = wait(start(bench, command, lambda: sys.addaudithook(hook)))
    return "killed" if status == -signal.SIGKILL else "done before", lost(bench, command, True)


def on_a_full_disk(bench: Bench, command: str, random_: random.Random) -> tuple[str, str | None]:
    """No file may grow over a size by chance, which fails as a full disk does."""
    size = random_.choice([0, 10, 100, 500, 1000, 2000, 5000, 20000, 100000])

    def prepare():
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

    # What the command says would not fit either: it goes into a pipe.
    reader, writer = os.pipe()

    def prepare_with_pipe():
        os.dup2(writer, 1)
        os.dup2(writer, 2)
        prepare()

    started = start(bench, command, prepare_with_pipe)
    os.close(writer)
    with os.fdopen(reader, "rb") as pipe:
        said = pipe.read().decode()
    status, _ = wait(started)
    if "Traceback" in said or status not in (0, 1, *([3] if command == "review" else [])):
        return "fell", f"status {status}: {said[-400:]}"
    if status and bench.after[command] == files(bench.root):
        return "refused", f"refused and written: {said[-300:]}"
    return "refused" if status else "written", lost(bench, command, False)


def where_only_reading_is_allowed(bench: Bench, command: str, random_: random.Random) -> tuple[str, str | None]:
    """Folders and files by chance belong to somebody else, and may only be read."""
    paths = [path for path in (bench.root, *bench.root.rglob("*")) if SHELF not in str(path) or random_.random() < 0.5]
    ours = {path for path in paths if random_.random() < 0.6}
    for path in (bench.root, *bench.root.rglob("*")):
        path.chmod((0o777 if path.is_dir() else 0o666) if path in ours else (0o555 if path.is_dir() else 0o444))

    def prepare():
        if os.geteuid() == 0:
            os.setgid(65534)
            os.setuid(65534)

    status, said = wait(start(bench, command, prepare))
    for path in (bench.root, *bench.root.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)
    if "Traceback" in said or status not in (
        0,
        1,
        *([3] if command == "review" else []),
    ):  # git may not trust the folder
        return "fell", f"status {status}: {said[-600:]}"
    return "refused" if status else "written", lost(bench, command, False)


def two_at_once(bench: Bench, command: str, random_: random.Random) -> tuple[str, str | None]:
    """Two people enter a reading each of the same feature on the same day; both have to be there, under ids of their own."""
    sizes = [f"49.9{number}" for number in random_.sample(range(40, 48), 2)]  # the same twice is asked about
    started = []
    for size in sizes:
        words = ["enter", "small", LINE.replace("49.945", size), "--yes", "--on", "2025-02-20"]
        started.append(start(bench, "enter", words=words))
        time.sleep(random_.uniform(0, 0.3) * random_.randrange(2) * bench.seconds["enter"])
    ends = [wait(one) for one in started]
    build = load_build(bench.root / "builds/small", "builds/small", shelf())
    there = sorted(row.reads[0].text.removesuffix(" mm") for row in build.rows if str(row.date) == "2025-02-20")
    there = [size for size in there if size in sizes]
    if build.problems or [status for status, _ in ends] != [0, 0] or there != sorted(sizes):
        return "lost", f"{ends} {there} {build.problems}"
    return "both written", None


FAULTS = {
    "killed at any time": killed_at_any_time,
    "killed at a step of writing": killed_at_a_step,
    "a full disk": on_a_full_disk,
    "only reading allowed": where_only_reading_is_allowed,
    "two writers on one file": two_at_once,
}


def run(bench: Bench, fault: str, runs: int, seed: int) -> tuple[Counter, list[str]]:
    """How the runs of one fault ended, and what was lost."""
    random_, ended, losses = random.Random(f"{seed} {fault}"), Counter(), []
    commands = ["enter"] if fault.startswith("two") else list(bench.after)
    for number in range(runs):
        command = commands[number % len(commands)]
        end, loss = FAULTS[fault](bench, command, random_)
        ended[end] += 1
        if loss:
            losses.append(f"{fault}, run {number}, {command}: {loss}")
        renew(bench)
    return ended, losses


if __name__ == "__main__":
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:  # where a flush to the disk costs nothing
        Path(folder).chmod(0o777)
        made = make_bench(Path(folder), list(WRITING)[:wanted])
        print({command: round(seconds, 2) for command, seconds in made.seconds.items()}, flush=True)
        for name in FAULTS:
            began = time.monotonic()
            how, lost_there = run(made, name, wanted, int(sys.argv[2]) if len(sys.argv) > 2 else 1)
            print(
                f"{name}: {wanted} runs, {dict(how)}, lost {len(lost_there)}, {time.monotonic() - began:.0f} s",
                flush=True,
            )
            for text in lost_there[:8]:
                print("  " + text, flush=True)
