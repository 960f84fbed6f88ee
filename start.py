#!/usr/bin/env python3
"""Set everything up, then build and serve the site, pass the tests, or hold the code to its habits.

    python3 start.py site           build the site and serve it, reloading on every edit
    python3 start.py site --once    build the site into site/ and end
    python3 start.py check          all problems of the records, and nothing where there are none
    python3 start.py test [...]     pass the tests (what follows goes to pytest; -n 0 for one process)
    python3 start.py test --fast    pass those that take under a minute together: for every edit
    python3 start.py test --coverage  pass them all, and hold the share of branches that they go through
    python3 start.py lint           what ruff and the type checker say of the code
    python3 start.py gudgeon ...    a command on the records: review, enter, new ... (gudgeon --help tells them)

Python 3.11 or newer is all it needs, and git for the tests and for review and history. It writes to .venv/ and site/ only.
What the site needs is set up first; the libraries of tests and lint when these are first asked for, those of the book with
"gudgeon book".
"""

import contextlib
import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import sysconfig
import time
import venv
from pathlib import Path

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None
try:
    import tomllib
except ImportError:  # an older Python, which is told so
    tomllib = None

HOME = Path(__file__).resolve().parent
VENV = HOME / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
LOCK = HOME / "requirements.lock"  # what the site needs
MORE = {  # the same, and what is needed beside it
    "tests": HOME / "requirements-test.lock",  # for tests and lint
    "book": HOME / "requirements-book.lock",
}
STAMP = VENV / "set-up-from"
FAST = ("-m", "not slow and not browser")  # DEVELOPERS.md, "Tests", says what is slow
# One process a core. A file stays in one, so that a site is built once; without the slow ones no core shall wait for another.
PARALLEL, FAST_PARALLEL = (
    ("-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder"),
    ("-n", "auto", "--dist", "worksteal"),
)
COVERED_BRANCHES = 90  # percent; it may only rise


def run(*command, **more):
    """Run a command in the project's folder; end with its exit status where it fails."""
    done = subprocess.run([str(part) for part in command], cwd=HOME, env=environment(), **more)
    if done.returncode:
        sys.exit(done.returncode)


def environment():
    """What commands are given: text is UTF-8 whatever LANG says, and nothing is kept where there is no home to keep it in."""
    env = {
        **os.environ,
        "PYTHONUTF8": "1",
        "NO_MKDOCS_2_WARNING": "1",  # the theme's notice of its end of life; see DEVELOPERS.md, "Platform"
    }
    try:
        at_home = os.access(Path.home(), os.W_OK)
    except RuntimeError:  # nobody's home
        at_home = False
    return env if at_home else {"UV_NO_CACHE": "1", "PIP_NO_CACHE_DIR": "1", **env}


def wanted(*locks):
    """What the environment has to have been made from: the locks, the project file, this Python, this place."""
    files = [lock.read_bytes() for lock in (LOCK, *locks)]
    parts = [*files, (HOME / "pyproject.toml").read_bytes(), sys.version.encode(), os.fsencode(HOME)]
    return hashlib.sha256(b"\0".join(parts)).hexdigest().encode()


def is_ready(more=None):
    """Whether the environment was made to its end, from what it has to be made from, and its Python is still there; with
    more, whether these libraries were added too."""
    try:
        made = STAMP.read_bytes() == wanted() and PYTHON.exists() and not VENV.is_symlink()
        return made and (more is None or stamp_of(more).read_bytes() == wanted(MORE[more]))
    except OSError:
        return False


def stamp_of(more):
    return VENV / f"{more}-set-up-from"


def clear():
    """Remove what is left of an environment. Its stamp goes first: what is half removed is never taken for ready."""
    if VENV.is_symlink() or VENV.is_file():
        VENV.unlink()
    STAMP.unlink(missing_ok=True)
    if VENV.exists():
        shutil.rmtree(VENV)


@contextlib.contextmanager
def alone():
    """One set-up at a time in this folder; another one waits, and then finds it ready."""
    if fcntl is None:
        yield
        return
    with LOCK.open("rb") as handle:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            print("Another run is setting up here; waiting for it.", file=sys.stderr, flush=True)
            fcntl.flock(handle, fcntl.LOCK_EX)
        except OSError:  # a file system without locks
            pass
        yield


def set_up(more=None):
    """Make .venv from the lock file with its hashes, once, and add the libraries that are asked for; later runs find them
    ready, and what was broken off is made anew."""
    if is_ready(more):
        return
    with alone():
        try:
            if not is_ready():
                make()
            if not is_ready(more):
                add(more)
        except OSError as error:
            sys.exit(
                f"{VENV.name}/ cannot be made in {HOME}: {error.strerror or error}. It has to be yours, and there has to "
                "be room. Then run the same again."
            )


def make():
    """Make .venv anew. Paths are told from the project's folder: brackets in its name would be read as something else."""
    began = time.monotonic()
    uv = shutil.which("uv")
    print(
        f"Setting up in {VENV.name}/ with {'uv' if uv else 'venv and pip'}: half a minute or so, once.",
        file=sys.stderr,
        flush=True,
    )
    print("1/3 a fresh environment", file=sys.stderr, flush=True)
    clear()
    if uv:
        run(uv, "venv", "--quiet", "--python", sys.executable, VENV.name)
    else:
        try:
            venv.create(VENV, with_pip=not has_pip())
        except subprocess.CalledProcessError:
            sys.exit("This Python cannot make environments. On Debian: apt install python3-venv; or install uv.")
    print("2/3 the locked libraries, each checked against its hash", file=sys.stderr, flush=True)
    run(*installer(), "--no-deps", "--require-hashes", "-r", LOCK.name)
    print("3/3 the project itself", file=sys.stderr, flush=True)
    name_the_project()
    run(PYTHON, "-c", "from gudgeon.pages.page import compile_templates; compile_templates()")
    STAMP.write_bytes(wanted())
    print(f"Set up in {time.monotonic() - began:.0f} s.", file=sys.stderr, flush=True)


def add(more):
    """Add libraries that the site does without, from a lock that holds the site's too, in the same versions."""
    print(f"Adding the libraries of the {more}, once.", file=sys.stderr, flush=True)
    run(*installer(), "--no-deps", "--require-hashes", "-r", MORE[more].name)
    stamp_of(more).write_bytes(wanted(MORE[more]))


def has_pip():
    """Whether the Python that runs this has pip, which then installs into .venv: unpacking another one takes seconds."""
    return importlib.util.find_spec("pip") is not None


def installer():
    """The command that installs into .venv. Nothing is compiled ahead: of all the modules the site needs the fewest, and
    Python keeps those that it compiles."""
    if uv := shutil.which("uv"):
        return [uv, "pip", "install", "--python", PYTHON]
    pip = [sys.executable, "-m", "pip", "--python", PYTHON] if has_pip() else [PYTHON, "-m", "pip"]
    return [*pip, "install", "--no-compile", "--disable-pip-version-check", "--progress-bar", "on"]


def name_the_project():
    """Make the code, the command and the plugin of this folder known in .venv/, as an editable install would, without a build
    back end and in a tenth of its time. The code's folders are named from within .venv/ and not from the root: Python reads
    that file in the encoding of LANG, and falls over an accent in the project's place where that is ASCII."""
    project = tomllib.loads((HOME / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    libraries = Path(sysconfig.get_path("purelib", "venv", vars={"base": str(VENV)}))
    code = [os.path.relpath(HOME / folder, libraries) for folder in ("calc", "plugins")]
    (libraries / f"{project['name']}.pth").write_text("".join(f"{folder}\n" for folder in code), encoding="ascii")
    known_by = libraries / f"{project['name']}-{project['version']}.dist-info"
    known_by.mkdir(exist_ok=True)
    (known_by / "METADATA").write_text(
        f"Metadata-Version: 2.1\nName: {project['name']}\nVersion: {project['version']}\n", encoding="utf-8"
    )
    groups = {"console_scripts": project["scripts"], **project["entry-points"]}
    (known_by / "entry_points.txt").write_text(
        "".join(
            f"[{group}]\n" + "".join(f"{name} = {place}\n" for name, place in entries.items())
            for group, entries in groups.items()
        ),
        encoding="utf-8",
    )
    for name, place in project["scripts"].items():
        module = place.partition(":")[0]
        if os.name == "nt":
            (BIN / f"{name}.cmd").write_text(f'@"%~dp0python.exe" -m {module} %*\n', encoding="ascii")
        else:
            script = BIN / name
            script.write_text(f'#!/bin/sh\nexec "$(dirname "$0")/python" -m {module} "$@"\n', encoding="ascii")
            script.chmod(0o755)


def test(words):
    """Pass the tests; --fast leaves the slow ones out, --coverage counts the branches that were gone through."""
    pytest = ["-m", "pytest", *(FAST_PARALLEL if "--fast" in words else PARALLEL)]
    if "--fast" in words:
        words = [*FAST, *(word for word in words if word != "--fast")]
    if "--coverage" not in words:
        return run(PYTHON, *pytest, *words)
    run(PYTHON, "-m", "coverage", "erase")
    run(PYTHON, "-m", "coverage", "run", *pytest, *(word for word in words if word != "--coverage"))
    run(PYTHON, "-m", "coverage", "combine", "--quiet")
    run(PYTHON, "-m", "coverage", "report")
    report = HOME / ".cache" / "coverage.json"
    run(PYTHON, "-m", "coverage", "json", "--quiet", "-o", report)
    totals = json.loads(report.read_text(encoding="utf-8"))["totals"]
    share = 100 * totals["covered_branches"] / totals["num_branches"]
    print(f"{share:.1f} % of the branches are gone through; {COVERED_BRANCHES} % are asked for.")
    if share < COVERED_BRANCHES:
        sys.exit(1)


def lint():
    """What ruff and the type checker say of the code, as the forge asks it."""
    run(PYTHON, "-m", "ruff", "check")
    run(PYTHON, "-m", "ruff", "format", "--check")
    run(PYTHON, "-m", "basedpyright")


def main():
    if sys.version_info < (3, 11):  # noqa: UP036 - told to somebody who has an older one
        sys.exit("Gudgeon needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".")
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="backslashreplace")  # a path may hold what LANG cannot write
    words = sys.argv[1:]
    if not words or words[0] not in ("site", "check", "test", "lint", "gudgeon"):
        sys.exit(__doc__.strip())
    job, rest = words[0], words[1:]
    if job == "test" and not shutil.which("git"):
        sys.exit("The tests need git, and find none on the path.")
    set_up("tests" if job in ("test", "lint") else "book" if job == "gudgeon" and rest[:1] == ["book"] else None)
    if job == "test":
        test(rest)
    elif job == "lint":
        lint()
    elif job == "check":
        run(PYTHON, "-m", "gudgeon.cli", "check", *rest)
    elif job == "gudgeon":
        run(PYTHON, "-m", "gudgeon.cli", *rest)
    elif "--once" in rest:
        rest.remove("--once")
        if "--verbose" in rest:  # the cost alone: the generator's own word for it tells each file besides
            rest.remove("--verbose")
            os.environ["GUDGEON_TELL_COST"] = "1"
        run(PYTHON, "-m", "mkdocs", "build", *rest)
        if not rest:  # otherwise it may have been put elsewhere
            print(f"The site is in {HOME / 'site'}: open index.html there.")
    else:
        run(PYTHON, "-m", "gudgeon.serving", *rest)


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit("\nEnded.")
