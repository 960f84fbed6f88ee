"""What a long list costs grows in step with it: told by counting calls, which no busy machine changes."""

import sys

import pytest
from benchmarks.lists import LISTS
from fuzz.whole_builds import Folder, base

pytestmark = pytest.mark.slow  # long lists

FEW, MANY = 80, 240


def calls(name: str, count: int) -> int:
    """How many functions are called to load a build with such a list."""
    counted = 0

    def count_one(frame, event, argument):
        nonlocal counted
        counted += event in ("call", "c_call")

    folder, files = Folder(), LISTS[name](count)
    folder.load(base("small"))  # what is read once is read now
    sys.setprofile(count_one)
    try:
        folder.load(files)
    finally:
        sys.setprofile(None)
    return counted


@pytest.mark.parametrize("name", LISTS)
def test_loading_takes_calls_in_step_with_the_list(name):
    assert calls(name, MANY) <= MANY / FEW * 1.25 * calls(name, FEW)
