"""What the fuzz runs found, kept so that it stays mended, and every seed of theirs."""

from pathlib import Path

import pytest
from fuzz.targets import TARGETS, seeds

FOUND = Path(__file__).parent / "found"
CASES = [
    (path.parent.name, path) for path in sorted(FOUND.rglob("*")) if path.is_file() and path.parent.name in TARGETS
]


@pytest.mark.parametrize(("target", "path"), CASES, ids=[f"{target}-{path.name}" for target, path in CASES])
def test_what_was_found_stays_mended(target, path):
    TARGETS[target](path.read_bytes())


@pytest.mark.parametrize("target", TARGETS)
def test_every_target_takes_its_seeds(target):
    for each in seeds(target):
        TARGETS[target](each)
        TARGETS[target](each[: len(each) // 2])
    TARGETS[target](b"")
