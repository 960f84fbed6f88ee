"""Every sum of the demonstration builds once more by hand, in the units of the build and by nothing of calc (decision 0038)."""

import math

import pytest
from gudgeon.assess.build import assess
from gudgeon.assess.calculations import REGISTRY
from gudgeon_calc.units import QUANTITY_KINDS, Quantity

pi, sqrt = math.pi, math.sqrt
G = 32.17405 * 12  # in/s², for pounds of mass and inches
DISC = pi / 4 * 4.25**2  # sq in, of Harrow Pond's piston
PUMPED = DISC * 6.375 * 420 / 2 / 12 / 33000  # hp for each psi, all charges fired
INERTIA = 0.5 * 9.4 * 6.375 / 2 * (2 * pi * 420 / 60) ** 2 / G  # lbf: half of what goes to and fro, at the crank
RUN = 2 * pi * 840 / 60
GRIP = 2 * 52 * math.tan(math.radians(30))
# Sum -> (part, value by hand, unit). The rest of Harrow Pond's, then Sundlia's.
HARROW = {
    "working-strokes": (None, 420 / 2 * 110 / 120, "1/minute"),
    "power-as-hit": (None, 62 * PUMPED * 110 / 120, "horsepower"),
    "brake-torque": (None, 25 * 24.5 / 2 / 12, "force_pound * foot"),
    "brake-power": (None, 25 * pi * 24.5 / 12 * 415 / 33000, "horsepower"),
    "brake-mean-pressure": (None, 4 * pi * 25 * 24.5 / 2 / (DISC * 6.375), "psi"),
    "mechanical-efficiency": (None, 25 * pi * 24.5 / 12 * 415 / 33000 / (62 * PUMPED * 110 / 120 * 415 / 420), ""),
    "power-with-losses": (None, ((59.5 * 110 - 3.5 * 10) / 120 - 9) * PUMPED, "horsepower"),
    "crown-thickness": ("piston", 4.25 * sqrt(3 * 260 / (16 * 5500)), "inch"),
    "skirt-pressure": ("piston", 26 * DISC / (4.25 * 4.5), "psi"),
    "head-gas-load": ("head", 260 * pi / 4 * 4.6**2, "force_pound"),
    "stud-pitch": ("head", pi * 6.25 / 4, "inch"),
    "gas-load-per-stud": ("head", 65 * pi / 4 * 4.6**2, "force_pound"),
    "stud-preload-wanted": ("head", 2.5 * 65 * pi / 4 * 4.6**2, "force_pound"),
    "head-thickness": ("head", 4.6 * sqrt(26 / 4500), "inch"),
    "ring-wall": ("ring1", 4.25 * sqrt(36 / 24000), "inch"),
    "ring-pressure-weighed": ("ring2", 12.4 / (4.25 * 0.1865), "psi"),
    "ring-force-across": ("ring1", 2.05 * 6.2, "force_pound"),
    "ring-free-gap-wanted": ("ring2", 0.017 + 36 * pi / 16 * 12 * 4.25 * (4.25 / 0.165 - 1) ** 3 / 14503774, "inch"),
    "inlet-full-lift": ("exvalve", 1.125 / 4, "inch"),
    "inlet-curtain": ("exvalve", pi * 1.125 * 0.22, "inch**2"),
    "inlet-gas-speed": ("exvalve", 2 * 6.375 / 12 * 420 * DISC / (pi * 1.125 * 0.22), "foot/minute"),
    "automatic-inlet-spring": ("exvalve", 1.5 * pi / 4 * 1.125**2, "force_pound"),
    "governor-force": ("gov", 1.3 * 4 * (2 * pi * 7) ** 2 / G, "force_pound"),
    "governor-force-in": ("gov", 1.3 * 4 * (2 * pi * 6.75) ** 2 / G, "force_pound"),
    "governor-force-out": ("gov", 1.3 * 4.5 * (2 * pi * 430 / 60) ** 2 / G, "force_pound"),
    "governor-rate": ("gov", 1.3 * (4.5 * (430 / 60) ** 2 - 4 * 6.75**2) * 4 * pi**2 / G / 0.5, "force_pound/inch"),
    "governor-spring-load": ("gov", 1.3 * 4 * (2 * pi * 6.75) ** 2 / G * 2 / 0.8, "force_pound"),
    "foundation-ratio": ("skid", 2200 / 640, ""),
    "dead-centre-mark": ("fly_l", 6.225, "inch"),
    "rim-radius-most": ("fly_l", sqrt(1500 / (7200 / 27679.9047) * G) / RUN, "inch"),
    "exhaust-duration": ("gears", 228, "degree"),
    "taper-rest-angle": (None, math.degrees(math.atan(0.0625 / 2)), "degree"),
    "taper-setover": (None, 9.5 * 0.0625 / math.hypot(2, 0.0625), "inch"),
    "journal-diameter": ("crank", sqrt(260 * DISC / 1500), "inch"),
    "rod-load": (
        "rod",
        (9.4 * (1 + 3.1875 / 13.75) + 2.5) * 3.1875 * (2 * pi * 7) ** 2 / G + 2.5 * DISC,
        "force_pound",
    ),
    "cap-thickness": (
        "rod",
        sqrt(((9.4 * (1 + 3.1875 / 13.75) + 2.5) * 3.1875 * RUN**2 / G + 2.5 * DISC) * 2.75 / (1.75 * 6000)),
        "inch",
    ),
    "bore-out-left": ("cyl", 2 * (0.375 - 260 * 4.25 / 10000 - 0.06), "inch"),
    "shaking-across-90": (None, -INERTIA, "force_pound"),
    "shaking-along-0": (None, INERTIA * (1 + 2 * 3.1875 / 13.75), "force_pound"),
    "melt-weight": ("cyl", 150 * 1.4 * 7200 / 27679.9047, "pound"),
}
SUNDLIA = {
    "jacket-test-pressure": ("block", 0.15, "MPa"),
    "gasket-volume": ("gasket", pi / 4 * 9.4**2 * 0.12, "cm**3"),
    "stud-pitch": ("head", pi * 128 / 6, "mm"),
    "head-thickness": ("head", 100 * sqrt(0.2 / 40), "mm"),
    "stud-thread-share": ("head", 1.8 / (1.75 * 5 * sqrt(3) / 8), ""),
    "stud-area": ("head", pi / 4 * (12 - 0.9382 * 1.75) ** 2, "mm**2"),
    "stud-stiffness": ("head", 207000 * pi / 4 * (12 - 0.9382 * 1.75) ** 2 / 62, "N/mm"),
    "clamped-stiffness": (
        "head",
        pi * 1e5 * 13 * GRIP / 104 / math.log((GRIP + 5) * 31 / ((GRIP + 31) * 5)),
        "N/mm",
    ),
    "stud-preload": ("head", 22000 / (0.18 * 12), "N"),
    "stud-torque-wanted": ("head", 0.18 * 0.012 * 2.5 * 2 * pi / 4 * 100**2 / 6, "N*m"),
    "inlet-curtain": ("exvalve", pi * 34 * 7.5, "mm**2"),
    "exhaust-curtain": ("exvalve", pi * 30 * 6.8, "mm**2"),
    "exhaust-gas-speed": ("exvalve", 2.2 * pi / 4 * 92.5**2 / (pi * 30 * 6.8), "m/s"),
    "boil-off": ("tank", 1.7 / 0.17 * 0.35 / 2257 * 3600, "kg/hour"),
    "reboring-allowance": ("block", 1.5 + 0.9 * 17.5 / 25, "mm"),
}
# What neither engine has: a rim with joints, a metric key, a parallel key. Harrow Pond's wheels are one piece with taper keys and Sundlia's
# is shrunk on without one; a part that no such engine has would teach a reader the wrong thing. They are worked out in
# test_sums.py and, of jointed rims, in test_uncertain_sums.py.
OF_NEITHER = {
    *("jointed-rim-speed", "jointed-rim-share", "key-seat-hub", "key-width-metric", "key-height-metric"),
    *("key-seat-shaft-metric", "key-seat-hub-metric", "key-side-metric", "key-crushing-metric"),
}


@pytest.fixture(scope="module")
def worked_out(club):
    return {
        build.id: {(one.id, one.part): one for one in assess(build, club.knowledge).calculations}
        for build in club.builds
    }


@pytest.mark.parametrize(
    ("build", "name"), [*(("harrow-pond", name) for name in HARROW), *(("sundlia", name) for name in SUNDLIA)]
)
def test_by_hand(build, name, worked_out):
    part, value, unit = (HARROW if build == "harrow-pond" else SUNDLIA)[name]
    finding = worked_out[build][name, part]
    found = Quantity(finding.value, QUANTITY_KINDS[finding.kind].unit).m_as(unit)
    assert found == pytest.approx(value, rel=2e-5), unit


def test_each_sum_is_worked_out_on_one_of_the_two(worked_out):
    shown = {name for sums in worked_out.values() for (name, _), one in sums.items() if one.value is not None}
    assert {one.id for one in REGISTRY} - shown == OF_NEITHER
