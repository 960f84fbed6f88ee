"""Every figure that people write says what it can be at all; what the demonstration builds write lies in it."""

import pytest
from gudgeon.records.figures import FIGURES
from gudgeon.records.plausible import bounds_of


@pytest.mark.parametrize("name", FIGURES)
def test_every_figure_has_bounds(name):
    kind = FIGURES[name][0]
    bounds = bounds_of(name)
    assert bounds is not None, "say in records/plausible.py what it can be"
    assert bounds.fault(-1e12, kind, "") and bounds.fault(1e15, kind, ""), "neither end is without a bound"
