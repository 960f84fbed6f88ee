"""python -m tests.fuzz [TARGET ...] --inputs N --seed S: draws N inputs for each target, each by its own seed; see runs.py."""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from fuzz.lines import Lines
from fuzz.meaning import Bench
from fuzz.runs import Target, run
from fuzz.sums import Formulas, Sums
from fuzz.tiny import Records, Tiny

TARGETS: dict[str, Callable[[], Target]] = {
    "whole": Bench,
    "records": Records,
    "tiny": Tiny,
    "sums": Sums,
    "formulas": Formulas,
    "lines": Lines,
}

if __name__ == "__main__":
    asked = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    asked.add_argument("targets", nargs="*", metavar="TARGET", help=f"{', '.join(TARGETS)}; whole where none is named")
    asked.add_argument("--inputs", type=int, default=1000)
    asked.add_argument("--seed", type=int, default=0, help="the first seed; the next input has the next")
    asked.add_argument("--seconds", type=float, default=float("inf"), help="after which a target ends")
    asked.add_argument("--no-pages", action="store_true", help="leave the pages of whole builds out")
    asked.add_argument("--keep", type=Path, help="a folder for the smallest case of each fault")
    asked.add_argument("--tally", type=Path, help="a file to which a line with what was run is added for each target")
    given = asked.parse_args()
    failed = False
    for name in given.targets or ["whole"]:
        target = Bench(not given.no_pages) if name == "whole" else TARGETS[name]()
        keep = given.keep / name if given.keep else None
        failed |= bool(run(target, given.inputs, given.seed, keep, given.seconds, given.tally))
    sys.exit(1 if failed else 0)
