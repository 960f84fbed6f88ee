"""What one line costs: CPU of `gudgeon enter` and `gudgeon cut` with their answers, process and all; and each further line of one run.

python tests/benchmarks/one_line.py [runs]

Prints user and system seconds, the least of some runs (default 5), in a copy of this project's demonstration builds.
"""

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
LINES = {
    "enter": ["enter", "harrow-pond", "piston skirt 2 0 4.2562 15c/15c om45 by odette", "--on", "2025-04-07"],
    "cut": ["cut", "harrow-pond", "skirt dial 3 reads 2 0 4.2508 24c/16c om45 by odette", "--on", "2025-04-07"],
    "help": ["enter", "--help"],
}


PLACES = [(station, angle) for station in ("2", "2.5", "3", "3.5") for angle in (0, 45, 90)]


def cpu_of(words: list[str], folder: Path, lines: str = "") -> float:
    """User and system seconds of one command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "-m", "gudgeon.cli", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": os.pathsep.join([str(ROOT / "calc"), str(ROOT / "plugins")])},
        check=True,
        input=lines,
        text=True,
        capture_output=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(runs: int = 5) -> None:
    for name, words in LINES.items():
        costs = []
        for _ in range(runs):
            with tempfile.TemporaryDirectory() as place:
                for part in ("builds", "docs"):
                    shutil.copytree(ROOT / part, Path(place) / part)
                sure = [] if name == "help" else ["--yes", "--despite-doubts"]
                costs.append(cpu_of([*words, *sure], Path(place)))
        print(f"{name}: {min(costs):.2f} s CPU (least of {runs})")
    lines = [f"piston skirt {station} {angle} 4.2562 15c/15c om45 by odette\n" for station, angle in PLACES]
    first, all_of_them = (min(_run_of(lines[:count]) for _ in range(runs)) for count in (1, len(lines)))
    print(f"each further line of one run of enter: {(all_of_them - first) / (len(lines) - 1):.2f} s CPU")


def _run_of(lines: list[str]) -> float:
    """Some lines typed into one run of enter."""
    with tempfile.TemporaryDirectory() as place:
        for part in ("builds", "docs"):
            shutil.copytree(ROOT / part, Path(place) / part)
        words = ["enter", "harrow-pond", "--on", "2025-04-07", "--yes", "--despite-doubts"]
        return cpu_of(words, Path(place), "".join(lines))


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
