"""Screw threads: the hole to tap, how much thread a drill leaves, the area that carries."""

import math

from gudgeon_calc.units import Number, formula

DEPTH = 5 * math.sqrt(3) / 8  # of the pitch: both sides' height of full thread, on diameter 1.08253


@formula("mm", source="derived", diameter="mm", pitch="mm", share="")
def tap_drill(diameter: Number, pitch: Number, share: Number) -> Number:
    """Hole that leaves a share of the full thread: D − 2·(5/8)·H·X, H = P·√3/2; that is D − 1.08253·P·X.

    diameter [mm]: nominal, of the thread. pitch [mm]: 1 inch over the threads per inch. share []: of full thread, 1 is a hole of
    the basic minor diameter. Returns [mm]. Source: derived here from the 60° profile with an eighth of H cut off outside and a
    quarter inside (ISO 68-1 and Unified share it; tap-drill-page prints it for both); the American National form of old books has
    1.29904 for 1.08253 and calls the same hole fewer percent. Valid: threads of the ISO and Unified profile; drills cut a little large.
    """
    return diameter - DEPTH * pitch * share


@formula("", source="derived", diameter="mm", pitch="mm", hole="mm")
def thread_share(diameter: Number, pitch: Number, hole: Number) -> Number:
    """Share of full thread that a hole leaves: (D − d)/(1.08253·P), the tap drill turned round.

    diameter [mm]: nominal. pitch [mm]. hole [mm]: as drilled. Returns []. Source: derived here, see `tap_drill`; 0.6 to 0.75 is usual in iron (common practice, no source). Valid: threads of the ISO and
    Unified profile.
    """
    return (diameter - hole) / (DEPTH * pitch)


@formula("mm**2", source="thread-area-page", diameter="mm", pitch="mm")
def stress_area(diameter: Number, pitch: Number) -> Number:
    """Area of a thread that carries in tension: π/4·(d − 0.9382·P)², of a Unified thread π/4·(D − 0.9743·P)².

    diameter [mm]: nominal. pitch [mm]: 1 inch over the threads per inch, n; in inches the second is 0.7854·(D − 0.9743/n)². A pitch
    that goes a whole number of times into an inch is Unified; no pitch of the metric series does. Returns [mm**2].
    Source: thread-area-page (π·(D2/2 − 3·H/16)² and 0.9743/n for ASME B1.1, 0.938194·P for metric): the circle at the mean of the pitch diameter, d − 3/4·H, and the root's, d − 17/12·H,
    so that 0.9382 is 13/12·√3/2; both held against printed areas. Valid: threads of the ISO and Unified profile, not Whitworth's.
    """
    per_inch = 25.4 / pitch
    unified = abs(per_inch - round(per_inch)) < 0.01 or abs(per_inch - 4.5) < 0.01
    return math.pi / 4 * (diameter - (0.9743 if unified else 0.9382) * pitch) ** 2


@formula("MPa", source="derived", load="newton", area="mm**2")
def stud_stress(load: Number, area: Number) -> Number:
    """Tension in a stud's thread: P/As.

    load [newton]. area [mm**2]: stress area. Returns [MPa]. Source: derived. Valid: straight pull; twist of the tightening comes on top.
    """
    return load / area
