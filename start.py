#!/usr/bin/env python3
"""Set everything up, then build and serve the site, or pass the tests.

    python3 start.py site           build the site and serve it, reloading on every edit
    python3 start.py site --once    build the site into site/ and end
    python3 start.py test [...]     pass the tests (what follows goes to pytest)
    python3 start.py gudgeon ...    a command on the records: review, enter, new ... (gudgeon --help tells them)

Python 3.11 or newer and git are all it needs. It writes to .venv/ and site/ only.
"""

import hashlib
import os
import shutil
import subprocess
import sys
import time
import venv
from pathlib import Path

HOME = Path(__file__).resolve().parent
VENV = HOME / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
LOCK = HOME / "requirements.lock"
STAMP = VENV / "set-up-from"


def run(*command, **more):
    """Run a command in the project's folder; end with its exit status where it fails."""
    env = {
        **os.environ,
        "NO_MKDOCS_2_WARNING": "1",
    }  # the theme's notice of its end of life; see DEVELOPERS.md, "Platform"
    done = subprocess.run([str(part) for part in command], cwd=HOME, env=env, **more)
    if done.returncode:
        sys.exit(done.returncode)


def wanted():
    """What the environment has to have been made from: the lock, the project file, this Python, this place."""
    parts = [LOCK.read_bytes(), (HOME / "pyproject.toml").read_bytes(), sys.version.encode(), str(HOME).encode()]
    return hashlib.sha256(b"\0".join(parts)).hexdigest()


def set_up():
    """Make .venv from the lock file with its hashes, once; later runs find it ready."""
    if STAMP.exists() and STAMP.read_text() == wanted():
        return
    began = time.monotonic()
    uv = shutil.which("uv")
    print(
        f"Setting up in {VENV.name}/ with {'uv' if uv else 'venv and pip'}: a minute or so, once.",
        file=sys.stderr,
        flush=True,
    )
    print("1/3 a fresh environment", file=sys.stderr, flush=True)
    shutil.rmtree(VENV, ignore_errors=True)
    if uv:
        run(uv, "venv", "--quiet", "--python", sys.executable, VENV)
        install = [uv, "pip", "install", "--compile-bytecode", "--python", PYTHON]
    else:
        venv.create(VENV, with_pip=True)
        install = [PYTHON, "-m", "pip", "install", "--disable-pip-version-check", "--progress-bar", "on"]
    print("2/3 the locked libraries, each checked against its hash", file=sys.stderr, flush=True)
    run(*install, "--require-hashes", "-r", LOCK)
    print("3/3 the project itself", file=sys.stderr, flush=True)
    run(*install, "--no-deps", "--no-build-isolation", "-e", HOME)
    run(PYTHON, "-c", "from gudgeon.pages.page import compile_templates; compile_templates()")
    STAMP.write_text(wanted())
    print(f"Set up in {time.monotonic() - began:.0f} s.", file=sys.stderr, flush=True)


def main():
    if sys.version_info < (3, 11):  # noqa: UP036 - told to somebody who has an older one
        sys.exit("Gudgeon needs Python 3.11 or newer; this is " + sys.version.split()[0] + ".")
    if not shutil.which("git"):
        sys.exit("Gudgeon needs git, and finds none on the path.")
    words = sys.argv[1:]
    if not words or words[0] not in ("site", "test", "gudgeon"):
        sys.exit(__doc__.strip())
    job, rest = words[0], words[1:]
    set_up()
    if job == "test":
        run(PYTHON, "-m", "pytest", *rest)
    elif job == "gudgeon":
        run(PYTHON, "-m", "gudgeon.cli", *rest)
    elif "--once" in rest:
        rest.remove("--once")
        run(PYTHON, "-m", "mkdocs", "build", *rest)
        print(f"The site is in {HOME / 'site'}: open index.html there.")
    else:
        print("Serving on http://127.0.0.1:8000/ (Ctrl-C ends it).", flush=True)
        run(PYTHON, "-m", "mkdocs", "serve", *rest)


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit("\nEnded.")
