"""A fuzz run: coverage-guided, so many seconds for each target, in processes of their own. Finds are kept in found/.

    python tests/fuzz/run.py [SECONDS [TARGET ...]]        (100 for each of the six targets where nothing is said: ten minutes)

Needs atheris, which is no dependency of the project: pip install atheris.
"""

import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

HERE = Path(__file__).parent
TARGETS = ("records", "line", "csv_table", "expression", "quantity", "slip")


def fuzz(name: str, corpus: str, seconds: int) -> None:
    import atheris

    sys.path.insert(0, str(HERE))
    with atheris.instrument_imports(include=["gudgeon", "gudgeon_calc"]):
        import targets
    for index, seed in enumerate(targets.seeds(name)):
        (Path(corpus) / f"seed-{index}").write_bytes(seed)
    # Whole words to put in and swap, so that much of what comes out is still YAML that the records know.
    words = {each for seed in targets.seeds(name) for each in re.findall(rb"[A-Za-z0-9_.-]{2,20}|[\[{:,}\]] ?", seed)}
    dictionary = Path(corpus).with_suffix(".dict")
    dictionary.write_text(
        "".join('"' + "".join(f"\\x{byte:02x}" for byte in each) + '"\n' for each in sorted(words)), encoding="ascii"
    )
    atheris.Setup(
        [
            sys.argv[0],
            corpus,
            f"-max_total_time={seconds}",
            f"-dict={dictionary}",
            "-timeout=5",
            "-max_len=3000",
            "-rss_limit_mb=4096",
            "-print_final_stats=1",
            f"-artifact_prefix={corpus}/find-",
        ],
        targets.TARGETS[name],
    )
    atheris.Fuzz()


def main(seconds: int, names: tuple[str, ...] = TARGETS) -> int:
    found = 0
    for name in names:
        with tempfile.TemporaryDirectory() as corpus:
            began = time.monotonic()
            done = subprocess.run(
                [sys.executable, __file__, "--target", name, corpus, str(seconds)],
                capture_output=True,
                text=True,
                check=False,
            )
            runs = re.findall(r"number_of_executed_units: (\d+)|^#(\d+)", done.stderr, re.MULTILINE)
            finds = sorted(Path(corpus).glob("find-*"))
            for each in finds:
                place = HERE / "found" / name
                place.mkdir(parents=True, exist_ok=True)
                (place / each.name).write_bytes(each.read_bytes())
            found += len(finds)
            count = max((int(each) for pair in runs for each in pair if each), default=0)
            print(f"{name}: {count} inputs in {time.monotonic() - began:.0f} s, {len(finds)} found", flush=True)
            if done.returncode:
                print(done.stderr[-3000:], flush=True)
    return 1 if found else 0


if __name__ == "__main__":
    if sys.argv[1:2] == ["--target"]:
        fuzz(sys.argv[2], sys.argv[3], int(sys.argv[4]))
    else:
        sys.exit(main(int(sys.argv[1]) if sys.argv[1:] else 100, tuple(sys.argv[2:]) or TARGETS))
