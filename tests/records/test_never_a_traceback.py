"""Seeded damage to a sound build: whatever comes out is either problems or findings and pages, never an exception."""

import random
import shutil
from pathlib import Path

import pytest
from gudgeon.assess.build import assess
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Club
from small_build import ROOT, rendered, seeds, shelf

HARROW = ROOT / "builds" / "harrow-pond"
SCRAPS = [
    "",
    "0 in",
    "-1 mm",
    "0",
    "1:0",
    "999999999 ft",
    "0.000000001 mm",
    "no",
    "[]",
    "{}",
    "null",
    "'",
    '"',
    ": ",
    "- ",
    "#",
    "\t",
    "cyl.bore",
    "A-R9",
    "A-PIS-100",
    "1970-01-01",
    "2199-12-31",
    "each session",
    "24 °C",
    "°",
    "50 F",
    "in",
    "mm",
    "\n",
    "  ",
    "bore",
    "external",
    "internal",
    "[0 in, 0 in]",
    "piston.*",
    "key_taper",
    "ring_gap",
    "&a",
    "*a",
    "!!x",
    "é",
    "100000 °C",
    "3",
    "radius",
]
SHELF = shelf()


def damage(text: str, chance: random.Random) -> str:
    """One to three changes of words, values or lines."""
    for _ in range(chance.randint(1, 3)):
        lines = text.split("\n")
        index = chance.randrange(len(lines))
        line = lines[index]
        way = chance.randrange(6)
        if way == 0:
            del lines[index]
        elif way == 1 and ":" in line:
            lines[index] = line[: line.index(":") + 1] + " " + chance.choice(SCRAPS)
        elif way == 2:
            words = line.split(" ")
            words[chance.randrange(len(words))] = chance.choice(SCRAPS)
            lines[index] = " ".join(words)
        elif way == 3:
            lines.insert(index, chance.choice(lines))
        elif way == 4 and line:
            at = chance.randrange(len(line))
            lines[index] = line[:at] + chance.choice(SCRAPS) + line[at + 1 :]
        else:
            other = chance.randrange(len(lines))
            lines[index], lines[other] = lines[other], lines[index]
        text = "\n".join(lines) or " "
    return text


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(120))
def test_damage(tmp_path, seed):
    chance = random.Random(seed)
    folder = tmp_path / "harrow-pond"
    shutil.copytree(HARROW, folder)
    files = sorted(path for path in folder.rglob("*") if path.suffix in (".yaml", ".md"))
    for path in chance.sample(files, 2):
        path.write_text(damage(path.read_text(encoding="utf-8"), chance), encoding="utf-8")
    build = load_build(folder, "builds/harrow-pond", SHELF)
    for problem in build.problems:
        assert (
            "\n" not in str(problem)
            and Path(problem.where.file).parts[:2] == ("builds", "harrow-pond")
            and len(str(problem)) < 600
        )
    findings = {} if build.problems else {build.id: assess(build, SHELF)}
    assert rendered(Club([build], SHELF), findings)[0]
