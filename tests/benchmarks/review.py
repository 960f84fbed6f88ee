"""Times a review of one edit in a club of N builds like Harrow Pond. A benchmark: it measures, it does not pass or fail.

    .venv/bin/python tests/benchmarks/review.py [N ...]      (1, 10 and 100 where none is given)

"review s" is the whole command in a process of its own with nothing kept, with starting Python and importing libraries; "kept s"
the same where all builds were worked out before the edit, as building a site does; "everything twice" reads and assesses all
builds of both sides in one process.
"""

import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.club import make_club
from club_repo import ENV

EDITS = {
    "a new reading": (
        "builds/pond-001/readings/2025-04-06-skirt.yaml",
        lambda _: (
            "rows:\n  - {id: a090, of: piston.skirt, date: 2025-04-06, by: odette, gauge: om45, station: 6.60 in, angle: 90 deg, reads: 4.2565 in, part_temp: 15 °C, gauge_temp: 15 °C, after: A-PIS-70}\n"
        ),
    ),
    "an instrument": (
        "builds/pond-001/instruments.yaml",
        lambda text: text.replace("scale: 0.0002 in", "scale: 0.0003 in", 1),
    ),
    "a rule that no build cites": ("docs/knowledge/rules/A-R1.yaml", lambda text: text.replace("0.001", "0.0012")),
    "a rule that every build cites": ("docs/knowledge/rules/A-R2.yaml", lambda text: text.replace("0.001,", "0.0012,")),
}


def everything_twice(project: Path) -> float:
    """Seconds to read and assess all builds two times over."""
    code = (
        "import sys, time; import gudgeon; from gudgeon.assess.build import assess\n"
        "began = time.perf_counter()\n"
        "for side in range(2):\n"
        "    club = gudgeon.open(sys.argv[1]).club(); [assess(build, club.knowledge) for build in club.builds]\n"
        "print(time.perf_counter() - began)"
    )
    return float(
        subprocess.run([sys.executable, "-c", code, str(project)], check=True, capture_output=True, text=True).stdout
    )


def review(project: Path, cache: str) -> tuple[float, dict]:
    """Seconds that a review takes, and its slip. cache: the folder of what was worked out before; empty for none."""
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "gudgeon.cli", "review", "--form", "json"],
        cwd=project,
        env={**ENV, "GUDGEON_CACHE": cache},
        capture_output=True,
        check=True,
    )
    return time.perf_counter() - began, json.loads(done.stdout)


def keep(project: Path, cache: str) -> None:
    """Work all builds out and keep what they amount to, as building a site does."""
    code = "import sys, gudgeon; club = gudgeon.open(sys.argv[1]); [club.outcome_with_inputs(name) for name in club.build_names()]"
    subprocess.run([sys.executable, "-c", code, str(project)], check=True, env={**ENV, "GUDGEON_CACHE": cache})


def main(counts: list[int]) -> None:
    print("| builds | edit | builds reached | fits moved | review s | kept s | everything twice s | share |")
    print("| ---: | --- | ---: | ---: | ---: | ---: | ---: | ---: |", flush=True)
    for count in counts:
        with tempfile.TemporaryDirectory() as folder:
            project = make_club(Path(folder) / "club", count)
            for words in (["init", "-q", "-b", "main"], ["add", "-A"], ["commit", "-q", "-m", "the club"]):
                subprocess.run(["git", *words], cwd=project, env=ENV, check=True)
            twice, cache = everything_twice(project), str(Path(folder) / "kept")
            keep(project, cache)
            for edit, (name, change) in EDITS.items():
                path = project / name
                before = path.read_text(encoding="utf-8") if path.exists() else None
                path.write_text(change(before), encoding="utf-8")
                seconds, slip = review(project, "")
                kept, same = review(project, cache)
                assert same == slip, "what is kept makes no difference but to the time"
                path.unlink() if before is None else path.write_text(before, encoding="utf-8")
                print(
                    f"| {count} | {edit} | {len(slip['assessed'])} | {len(slip['fits'])} | {seconds:.2f} | {kept:.2f} | {twice:.1f} | {100 * seconds / twice:.0f} % |",
                    flush=True,
                )


if __name__ == "__main__":
    main(sorted(int(each) for each in sys.argv[1:]) or [1, 10, 100])
