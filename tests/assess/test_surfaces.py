"""Surfaces of features: a size that carries on what it shares with others."""

import numpy as np
import pytest
from gudgeon.assess.measuring.sizes import LocalSize, expanded
from gudgeon.assess.measuring.surfaces import surface_of
from uncertainties import covariance_matrix, ufloat

ANGLES = (0.0, 45.0, 90.0, 135.0)


def read(size, scale, seed, use=0.0015, stations=(0.0, 20.0, 40.0, 60.0, 80.0), angles=ANGLES):
    """A cylinder read at stations and angles with one gauge; every reading has an error of its own."""
    chance = np.random.default_rng(seed)
    return [
        LocalSize(z, a, ufloat(size + chance.normal(0, use), use, tag="use of mic") + scale, (f"m{z:g}-{a:g}",))
        for z in stations
        for a in angles
    ]


def test_no_places_no_surface():
    assert surface_of([]) is None


def test_the_worst_place_is_no_worse_than_the_part():
    """Twenty readings of a true bore and eight of a true skirt, 50 times: the clearance is 0.055 within what is stated."""
    inside, errors = 0, []
    for seed in range(50):
        bore = surface_of(read(50.010, ufloat(0, 0.001), seed))
        skirt = surface_of(read(49.955, ufloat(0, 0.001), 1000 + seed, stations=(0.0, 30.0)))
        assert bore and skirt
        clearance = bore.least().size - skirt.greatest().size
        errors.append(clearance.nominal_value - 0.055)
        inside += abs(errors[-1]) <= expanded(clearance)
    assert inside >= 46
    assert abs(np.mean(errors)) < 0.001


def test_a_scale_that_read_both_halves_cancels():
    scale = ufloat(0, 0.005, tag="scale of mic")
    bore, skirt = surface_of(read(50.010, scale, 1)), surface_of(read(49.955, scale, 2))
    assert bore and skirt
    least, greatest = bore.least(), skirt.greatest()
    assert expanded(least.size) > 0.010 and expanded(least.size - greatest.size) < 0.004
    assert least.mm == pytest.approx(bore.surface.least().value)
    assert expanded(least.size) == pytest.approx(2 * bore.surface.least().standard)
    assert least.fitted == 20 and least.rows == ("m0-0",), "the place nearest to where it lies"


def test_covariance_is_that_of_the_library():
    from gudgeon.assess.measuring.surfaces import _errors

    warmth = ufloat(0, 1.0, tag="temperature of the part")
    places = [LocalSize(p.station, p.angle, p.size - 0.0005 * warmth, p.rows) for p in read(50, ufloat(0, 0.002), 3)]
    alone, of_use, shared = _errors(places)
    assert shared.shape == (20, 2), "the scale and the temperature; what one place has for itself takes no column"
    covariance = np.diag(alone) + shared @ shared.T
    assert covariance == pytest.approx(np.array(covariance_matrix([place.size for place in places])), rel=1e-9)
    assert of_use == pytest.approx([0.0015**2] * 20)


def test_a_place_that_stands_off_decides_as_it_was_read():
    places = read(50, ufloat(0, 0.001), 4)
    low = places[6]
    places[6] = LocalSize(low.station, low.angle, low.size - 0.02, low.rows)
    fitted = surface_of(places)
    assert fitted and fitted.stand_off == (places[6],)
    assert fitted.least() is places[6] and fitted.greatest() is not places[6]
    assert low.rows[0] not in fitted.greatest().rows


@pytest.mark.parametrize(
    ("angles", "turned", "verdict"),
    [
        (ANGLES, 0, "out"),
        (ANGLES, 45, "out"),
        ((0.0, 90.0), 0, "out"),
        ((45.0, 135.0), 45, "out"),
        ((0.0, 90.0), 45, "not tested"),  # it lies where these angles cannot see it: never "in"
        ((45.0, 135.0), 0, "not tested"),
        ((0.0,), 0, "not tested"),
    ],
)
def test_ovality_that_the_angles_cannot_test_is_never_in(angles, turned, verdict):
    oval = [
        LocalSize(p.station, p.angle, p.size + 0.010 * np.cos(2 * np.radians(p.angle - turned)), p.rows)
        for p in read(50, ufloat(0, 0.001), 5, angles=angles)
    ]
    fitted = surface_of(oval)
    assert fitted and fitted.ovality_against(0.005) == verdict


def test_a_round_parallel_part_is_not_out():
    """5 µm of ovality and 4 µm of taper allowed, diameters known to 5.7 µm: 60 times."""
    rounds = [surface_of(read(50, ufloat(0, 0.002), seed, use=0.00285)) for seed in range(60)]
    assert all(rounds)
    assert sum(part.ovality_against(0.005) == "out" for part in rounds) <= 2
    assert sum(part.taper_against(0.004) == "out" for part in rounds) <= 2
    one = surface_of(read(50, ufloat(0, 0.002), 1, stations=(0.0,)))
    assert one and one.taper_against(0.004) == "not tested"
