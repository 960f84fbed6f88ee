"""Makes a club of N builds like Harrow Pond and prints what it costs. A benchmark: it measures, it does not pass or fail.

    .venv/bin/python tests/benchmarks/club.py [N ...]      (1, 10 and 100 where none is given)

Each figure is from a process of its own. "cold" begins with an empty cache, "one reading more" with what that left. "plain MkDocs" builds
the same final pages from a folder, without the plugin. All builds have the same pictures, whose copies are made once.
"""

import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import gudgeon

ROOT = Path(__file__).parent.parent.parent


def make_club(folder: Path, count: int) -> Path:
    """A project with so many copies of the demonstration build."""
    shutil.copytree(ROOT / "docs", folder / "docs")
    for name in ("mkdocs.yml", "README.md"):
        shutil.copy(ROOT / name, folder / name)
    for number in range(1, count + 1):
        shutil.copytree(ROOT / "builds" / "harrow-pond", folder / "builds" / f"pond-{number:03d}")
    return folder


def phases(project: str) -> None:
    """Read, work out and write pages and data in this process; prints seconds of each."""
    from gudgeon.site import make_site

    site = make_site(gudgeon.open(project))
    worked_out = site.seconds["read and work out"]
    print(worked_out, sum(site.seconds.values()) - worked_out, len(site.pages))


def read_once_more(project: Path) -> None:
    """One reading more in the first build."""
    readings = sorted((project / "builds" / "pond-001" / "readings").glob("*.yaml"))[0]
    text = readings.read_text(encoding="utf-8")
    row = re.search(r"^  - \{id: \w+,", text, re.MULTILINE)
    line = text[row.start() :].partition("\n")[0]
    more = re.sub(r"id: \w+,", "id: more1,", line)
    readings.write_text(f"{text.rstrip()}\n{more}\n", encoding="utf-8")


def plain(project: Path, folder: Path) -> Path:
    """The same final pages as a folder of Markdown for MkDocs alone."""
    from gudgeon.site import make_site

    site = make_site(gudgeon.open(project))
    shutil.copytree(project / "docs", folder / "docs", ignore=shutil.ignore_patterns("knowledge"))
    shutil.copy(project / "README.md", folder / "README.md")
    for page in site.pages:
        (folder / "docs" / page.uri).parent.mkdir(parents=True, exist_ok=True)
        (folder / "docs" / page.uri).write_text(page.text, encoding="utf-8")
    for asset in site.assets:
        (folder / "docs" / asset.uri).parent.mkdir(parents=True, exist_ok=True)
        (folder / "docs" / asset.uri).write_bytes(asset.content)
    settings = (project / "mkdocs.yml").read_text(encoding="utf-8").replace("  - gudgeon\n", "")
    theme = f"theme:\n  custom_dir: {ROOT / 'plugins' / 'gudgeon' / 'theme'}"
    (folder / "mkdocs.yml").write_text(
        re.sub(r"^theme:", theme, settings, flags=re.MULTILINE) + "extra_css: [assets/gudgeon.css]\n", encoding="utf-8"
    )
    return folder


def timed(*command: str, cwd: Path, cache: str = "") -> tuple[float, float, str]:
    """Seconds, peak memory in MB and output of a command."""
    began = time.perf_counter()
    before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    done = subprocess.run(
        command,
        cwd=cwd,
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1", "GUDGEON_CACHE": cache},
    )
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return time.perf_counter() - began, (peak if peak > before else before) / 1024, done.stdout


def main(counts: list[int]) -> None:
    print(
        "| builds | pages | read and work out s | write pages s | cold s | one reading more s | plain MkDocs s | cold, ratio | "
        "one reading more, ratio | peak memory MB |"
    )
    print("| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |", flush=True)
    for count in counts:  # rising, because the memory of child processes is known by its peak alone
        with tempfile.TemporaryDirectory() as folder:
            project, cache = make_club(Path(folder) / "club", count), str(Path(folder) / "cache")
            build = (sys.executable, "-m", "mkdocs", "build", "-q")
            cold, peak, _ = timed(*build, cwd=project, cache=cache)
            _, _, out = timed(sys.executable, __file__, "--phases", str(project), cwd=ROOT, cache=pictures_of(cache))
            worked_out, written, pages = (float(each) for each in out.split())
            read_once_more(project)
            again, _, _ = timed(*build, cwd=project, cache=cache)
            alone, _, _ = timed(*build, cwd=plain(project, Path(folder) / "plain"))
        print(
            f"| {count} | {pages:.0f} | {worked_out:.2f} | {written:.2f} | {cold:.1f} | {again:.1f} | {alone:.1f} | {cold / alone:.2f} | "
            f"{again / alone:.2f} | {peak:.0f} |",
            flush=True,
        )


def pictures_of(cache: str) -> str:
    """A cache that holds the copies of pictures alone."""
    place = Path(f"{cache}-pictures")
    place.mkdir()
    for path in Path(cache).glob("*.bytes"):
        shutil.copy(path, place)
    return str(place)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--phases"]:
        phases(sys.argv[2])
    else:
        main(sorted(int(each) for each in sys.argv[1:]) or [1, 10, 100])
