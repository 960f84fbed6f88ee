"""Further pictures of Sundlia's series: gauges and closer views."""

import math

import shop
import sundlia as s
from kit import box, camera, cut, hexagon, light, pipe, place, prism, rod, rounded, together
from mathutils import Matrix
from scenes_sundlia import crank_in_vees, picture


@picture("crack-in-the-jacket")
def crack_in_the_jacket():
    shop.bench()
    block = s.block(with_liner=False, studs=False)
    place(block, at=(0, 2.5, s.LINER + 0.5), turn=(0, 0, -14))
    # A hand long (about 7 in), on the side towards us, with rust run out below it.
    line = [(-3.1, 2.2), (-2.5, 2.45), (-2.1, 2.5), (-1.5, 2.85), (-1.0, 2.95), (-0.5, 3.3), (0.1, 3.42), (0.5, 3.78)]
    line += [(1.1, 3.95), (1.5, 4.25), (2.1, 4.4), (2.6, 4.75)]
    crack = [pipe([(x, -s.JACKET - 0.005, z - 6.4) for x, z in line], 0.024, "rubber", smooth=False)]
    for x, z in line[2:-1:3]:
        streak = prism(
            [(x - 0.14, -(z - 6.4)), (x + 0.14, -(z - 6.4)), (x + 0.05, -(z - 7.5)), (x - 0.06, -(z - 7.3))],
            0,
            0.01,
            "rusty iron",
            "Y",
            (0, -s.JACKET - 0.005, 0),
        )
        crack.append(streak)
    place(together(*crack), at=(0, 2.5, s.LINER + 0.5), turn=(0, 0, -14))
    light((0, 0, 4), 22)
    camera((3.2, -24, 11), (0.2, 0, 3.6), 52)


@picture("mic-on-the-crankpin")
def mic_on_the_crankpin():
    shop.bench()
    z = crank_in_vees(180)
    low = z - s.THROW
    place(shop.micrometer(s.S["crank.crankpin"], 1.9), at=(0, 0, low), turn=(0, -90, -90))
    light((0, -2, 6), 18)
    camera((8.5, -18, 10), (0.3, -0.6, 5.6), 48, stop=11)


@picture("jacket-under-test")
def jacket_under_test():
    shop.bench()
    low = s.LINER + 0.5
    plate = prism(rounded(7.4, 7.4, 1.2), 0.1, 0.5, "iron", edge=0.04)
    sheet = prism(rounded(7.4, 7.4, 1.2), 0.012, 0.1, "rubber")
    bolts = []
    for turn in range(6):
        a = math.radians(30 + 60 * turn)
        bolts.append(
            hexagon(
                0.7,
                0.5,
                0.85,
                "black steel",
                at=(s.S["stud_circle"] / 2 * math.cos(a), s.S["stud_circle"] / 2 * math.sin(a), 0),
            )
        )
    union = [rod(0.45, 0.5, 0.9, "brass", at=(0, 0, 0)), hexagon(0.9, 0.85, 1.2, "brass"), rod(0.3, 1.1, 1.6, "brass")]
    place(together(s.block(with_liner=False, studs=False), plate, sheet, *bolts, *union), at=(-5, 3, low))
    # Hand pump: a tank with a barrel, a lever and a gauge.
    cut(box((3.5, -4.5, 0), (11.5, 0.5, 2.2), "red paint", 0.2), box((3.8, -4.2, 0.3), (11.2, 0.2, 5), "red paint"))
    box((3.9, -4.1, 1.4), (11.1, 0.1, 1.45), "water")
    rod(0.8, 0.3, 4.6, "brass", at=(6.2, -2, 0))
    rod(0.3, 4.6, 6.0, "steel", at=(6.2, -2, 0))
    pipe([(5.0, -2, 5.6), (6.2, -2, 6.0), (12.5, -2, 8.2)], 0.28, "black steel", smooth=False)
    rod(0.45, 11.9, 14.3, "rubber", "X", (0, 0, 0)).matrix_world = lever_grip(12.0, 8.05)
    box((4.6, -2.3, 4.4), (5.3, -1.7, 5.9), "black steel", 0.05)
    rod(0.22, 2.4, 4.0, "brass", at=(9.4, -2, 0))
    rod(0.3, 6.2, 9.7, "brass", "X", (0, -2, 2.6))
    place(shop.dial(1.25, 118), at=(9.4, -2.1, 5.2))
    top = low + 1.6
    pipe(
        [
            (-5, 3, top),
            (-5, 3, top + 1.6),
            (-2, 1.6, top + 2.2),
            (1.4, 0, 4.6),
            (2.6, -1, 1.6),
            (4.2, -2, 2.6),
            (5.4, -2, 2.6),
        ],
        0.26,
        "rubber",
    )
    light((2, 0, 4), 26)
    camera((7, -29, 15), (1.9, 0, 4.0), 46)


def lever_grip(x, z):
    """Where the rubber grip of the pump's lever sits: along the lever's end."""
    lean = math.atan2(2.2, 6.3)
    return (
        Matrix.Translation((0.2, -2, -0.15))
        @ Matrix.Translation((x, 0, z))
        @ Matrix.Rotation(-lean, 4, "Y")
        @ Matrix.Translation((-x, 0, 0))
        @ Matrix.Rotation(math.pi / 2, 4, "Y")
    )


@picture("liner-between-plugs")
def liner_between_plugs():
    shop.lathe_bed()
    left = 3.4
    tube = s.liner()
    place(together(tube), at=(left, 0, 0), turn=(0, 90, 0))
    bore = s.BORE - 0.002
    for x0, x1, lip in (
        (left - 0.35, left + 0.9, left - 0.35),
        (left + s.LINER - 0.9, left + s.LINER + 0.35, left + s.LINER),
    ):
        rod(bore, x0, x1, "brass", "X")
        rod(bore + 0.07, lip, lip + 0.35, "brass", "X")
    rod(0.6, -1.5, left + s.LINER + 2.4, "steel", "X")
    hexagon(1.6, left + s.LINER + 0.35, left + s.LINER + 1.1, "black steel", "X")
    shop.chuck(0.6, 5.6)
    shop.tail_centre(left + s.LINER + 2.3)
    outside = s.S["liner.od"] / 2
    shop.tool_post((left + 4.3, -outside, 0), 2.4, "round")
    light((5, -2, 0), 24)
    camera((15.5, -18, 12), (6.4, -0.6, -0.3), 48)


@picture("grease-cup-on-the-main")
def grease_cup_on_the_main():
    # Gears and governor are off, so that the cup is seen.
    shop.floor(s.GROUND, 60)
    s.crankcase()
    s.crank(28, 9.6)
    place(s.block(studs=False), at=(0, 0, s.FACE))
    x = -3.6 - 0.85
    # A wire round the cup holds the note that says when to look again.
    pipe([(x - 0.2, -0.42, 2.3), (x - 0.5, -1.2, 2.0), (x - 0.5, -1.7, 1.5)], 0.03, "copper")
    tag = box((-0.5, -0.02, -0.7), (0.5, 0.02, 0.1), "paper")
    place(together(tag), at=(x - 0.5, -1.75, 1.5), turn=(0, 8, -24))
    light((-5, -3, 1), 16, 1.1)
    camera((x - 9.0, -12.0, 6.6), (x + 0.5, -0.3, 1.0), 58)


@picture("piston-in-the-chuck")
def piston_in_the_chuck():
    # The first size, before the grooves: held by the spigot at the mouth, the crown on the tailstock's side.
    shop.lathe_bed()
    shop.chuck(s.SKIRT - 0.12, 6.2, jaws=3, turn=90)
    rod(s.SKIRT - 0.12, -1.2, 1.3, "cast aluminium", "X", hole=s.SKIRT - 0.3)
    length = s.PISTON_LENGTH
    place(s.piston(grooves=0, pin_hole=False, skirt=92.411 / 25.4 / 2), at=(1.25 + length, 0, 0), turn=(0, -90, 0))
    shop.tool_post((4.2, -92.411 / 25.4 / 2, 0), 2.6, "round")
    shop.chips([(3.2, -2.9, -2.55, 20), (4.9, -3.6, -2.55, 70), (5.4, -3.0, -2.55, 130)], "aluminium", 0.13)
    light((3, -2, 0), 22)
    camera((11.5, -14, 10.5), (3.2, -0.8, -0.2), 50)


@picture("mic-on-the-skirt")
def mic_on_the_skirt():
    shop.bench()
    length = s.PISTON_LENGTH
    place(s.piston(), at=(0, 1.5, length), turn=(180, 0, 90))
    place(shop.micrometer(2 * s.SKIRT, 4.2), at=(0, 1.5, length - 85 / 25.4), turn=(90, 0, 180))
    # A block under the frame carries the micrometer.
    box((-0.9, -2.1, 0), (0.9, -0.9, length - 85 / 25.4 - 0.42), "oak", 0.04)
    # Thermometer: a glass stem with its thread and bulb, without figures.
    things = [
        rod(0.16, 0, 7.5, "glass", "X"),
        rod(0.05, 0.2, 4.1, "arrow", "X"),
        rod(0.12, -0.25, 0.2, "arrow", "X"),
        box((0.6, 0.17, -0.16), (7.4, 0.2, 0.16), "dial"),
    ]
    place(together(*things), at=(-3.4, -4.0, 0.2), turn=(0, 0, -8))
    light((0, 0, 3), 18)
    camera((4.5, -16, 10.5), (0.5, -0.6, 1.8), 48, stop=11)


@picture("feelers-inch-and-metric")
def feelers_inch_and_metric():
    shop.bench()
    place(s.piston(), at=(0.4, 4.2, s.PISTON_LENGTH), turn=(180, 0, 20))
    place(shop.feelers(7, 66, 0.02), at=(-3.4, -1.0, 0.12), turn=(0, 0, 62))
    place(shop.feelers(7, 66, 0.05), at=(2.6, -1.4, 0.12), turn=(0, 0, 62))
    light((0, 0, 2), 18)
    camera((2.0, -15, 12), (0.2, 0.6, 0.9), 50)
