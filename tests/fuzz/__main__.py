"""python -m tests.fuzz --inputs N --seed S: bends N whole builds, each by its own seed; see meaning.py."""

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from fuzz.meaning import run

asked = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
asked.add_argument("--inputs", type=int, default=1000)
asked.add_argument("--seed", type=int, default=0, help="the first seed; the next input has the next")
asked.add_argument("--no-pages", action="store_true", help="leave the pages out: several times as many inputs")
asked.add_argument("--keep", type=Path, help="a folder for the smallest case of each fault")
given = asked.parse_args()
sys.exit(1 if run(given.inputs, given.seed, given.keep, not given.no_pages) else 0)
