"""Keyseats and spinning discs against what others print."""

import pytest
from gudgeon_calc.flywheels import disc_stress
from gudgeon_calc.keys import seat_in_hub, seat_in_hub_taper, seat_in_shaft
from gudgeon_calc.units import Quantity

# Machinery's Handbook, 31st ed., p. 2552, Table 2 (ANSI/ASME B17.1-1967), square keys: shafts from 1/2 in by sixteenths. T of taper
# keys from the same table on an open page of the Pocket Companion, as far as it goes there.
S_SHAFT = (
    "430 493 517 581 644 708 771 796 859 923 986 1049 1112 1137 1201 1225 1289 1352 1416 1479 1542 1527 1591 1655 1718 1782 1845 1909 "
    "1972 1957 2021 2084 2148"
)
T_PARALLEL = (
    "560 623 709 773 837 900 964 1051 1114 1178 1241 1304 1367 1455 1518 1605 1669 1732 1796 1859 1922 2032 2096 2160 2223 2287 2350 "
    "2414 2477 2587 2651 2714 2778"
)
T_TAPER = (
    "535 598 684 748 812 875 939 1026 1089 1153 1216 1279 1342 1430 1493 1580 1644 1707 1771 1834 1897 2007 2071 2135 2198 2262 2325 "
    "2389 2452 2562"
)


@pytest.mark.parametrize(
    ("depth", "printed"), [(seat_in_shaft, S_SHAFT), (seat_in_hub, T_PARALLEL), (seat_in_hub_taper, T_TAPER)]
)
def test_depths_of_keyseats_row_by_row(depth, printed):
    """Every row to the last printed place."""
    for sixteenths, thousandths in enumerate(printed.split(), 8):
        found = depth(Quantity(sixteenths / 16, "inch")).m
        assert abs(found - int(thousandths) / 1000) <= 0.0006, sixteenths / 16


def test_a_spinning_disc_and_the_long_cylinder_beside_it():
    """Shigley and Mischke 1989, as two engineering pages quote them: (3 + ν)/4·ρω²·[ro² + (1 − ν)/(3 + ν)·ri²]; the long cylinder
    has (3 − 2ν)/(1 − ν) for the first factor and (1 − 2ν)/(3 − 2ν) for the second, 4 percent more at most for iron and steel."""
    density, omega, outer, inner = 7200.0, 125.0, 0.24, 0.02
    for poisson in (0.21, 0.26, 0.3):
        disc = (3 + poisson) / 4 * density * omega**2 * (outer**2 + (1 - poisson) / (3 + poisson) * inner**2) / 1e6
        given = (
            Quantity(outer * omega, "m/second"),
            Quantity(poisson, ""),
            *(Quantity(2 * r, "m") for r in (inner, outer)),
        )
        assert disc_stress(Quantity(density, "kg/m**3"), *given).m == pytest.approx(disc, rel=1e-12)
        first = (3 - 2 * poisson) / (1 - poisson)
        cylinder = first / 4 * density * omega**2 * (outer**2 + (1 - 2 * poisson) / (3 - 2 * poisson) * inner**2) / 1e6
        assert 1 <= cylinder / disc < 1.041
