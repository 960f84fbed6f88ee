"""What it costs to ask the packages of N made-up builds. A benchmark: it measures, it does not pass or fail.

    .venv/bin/python tests/benchmarks/survey.py [N ...]      (10, 1000 and 10000 where none is given)

Each figure is from a process of its own, on packages that were just written, so that no disk is waited for. "pandas" reads all tables
into one frame of each; "dask" reads 500 packages at a time and brings only the answer together, in 2 threads.
"""

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
from made_up_packages import distributed, made_up  # noqa: E402

COUNTS = [10, 1_000, 10_000]
BATCH = 500
INCHES = 25.4


def ask(engine: str, folder: str) -> None:
    """Ask in this process; prints seconds to find, read and answer, CPU seconds in all, the peak of memory in MB, and the answer."""
    from gudgeon.records.problems import Problems
    from gudgeon.survey.ask import Question, answer
    from gudgeon.survey.packages import packages
    from gudgeon.survey.tables import TABLES, read

    if engine == "dask":
        import dask

        dask.config.set(scheduler="threads", num_workers=2)
    began = time.perf_counter()
    listed = packages([Path(folder)], Problems())
    known = time.perf_counter()
    tables = [
        read(name, listed, Problems()) if engine == "pandas" else distributed(name, listed, BATCH) for name in TABLES
    ]
    ready = time.perf_counter()
    told = answer(Question("ring", None, (5 * INCHES, 7 * INCHES)), *tables)
    done = time.perf_counter()
    verdicts = told.parts["verdict"].value_counts().to_dict()
    cpu = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    seconds = [f"{span:.2f}" for span in (known - began, ready - known, done - ready, done - began, cpu)]
    print("|", " | ".join([*seconds, f"{peak:.0f}", str(len(told.parts)), str(verdicts)]), "|")


def main(counts: list[int]) -> None:
    print(
        "| builds | MB of packages | engine | find s | read s | answer s | all s | CPU s | peak memory MB | parts | verdicts |"
    )
    print("| ---: | ---: | --- | ---: | ---: | ---: | ---: | ---: | ---: | --- |", flush=True)
    for count in counts:
        with tempfile.TemporaryDirectory() as folder:
            made_up(Path(folder) / "union", count)
            size = sum(path.stat().st_size for path in Path(folder).rglob("*.*") if path.is_file()) / 1e6
            for engine in ("pandas", "dask"):
                done = subprocess.run(
                    [sys.executable, __file__, "--ask", engine, folder], check=True, capture_output=True, text=True
                )
                print(f"| {count} | {size:.1f} | {engine} {done.stdout.strip()}", flush=True)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--ask"]:
        ask(*sys.argv[2:])
    else:
        main([int(word) for word in sys.argv[1:]] or COUNTS)
