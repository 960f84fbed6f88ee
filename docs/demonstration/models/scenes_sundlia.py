"""The pictures of Sundlia's series: one function each, in the order of the instalments."""

import math

import parts
import shop
import sundlia as s
from kit import (
    box,
    camera,
    circle,
    cut,
    gear,
    hexagon,
    lathe,
    light,
    pipe,
    place,
    prism,
    rod,
    section,
    stud,
    together,
)

SCENES = {}


def picture(name):
    def keep(scene):
        SCENES[name] = scene
        return scene

    return keep


@picture("sundlia-upright")
def upright():
    shop.floor(s.GROUND, 60)
    s.engine()
    light((0, 0, 4), 50)
    camera((46, -66, 25), (1.0, 5, 6.2), 44)


@picture("the-stitched-crack")
def stitched_crack():
    wall = prism([(-12, 0), (12, 0), (12, 8), (-12, 8)], 0.4, 2, "rusty iron", "Y")
    wall.scale[1] = -1
    # Twenty pins of 8.5 mm, each cut into the one before it, filed nearly flush. The rows from the left (six) and from
    # the right (thirteen) met at the seventh, which laps the eighth by next to nothing.
    radius, count = 8.5 / 25.4 / 2, 20
    x = -2.35
    for number in range(count):
        x += radius * (1.9 if number == 7 else 1.36)
        z = 3.9 + 0.12 * math.sin(number * 0.8) + number * 0.035
        rod(radius, 0.372 - 0.006 * (number % 3), 1, "iron", "Y", (x, 0, z), 0.012)
        if number == 6:
            drop = [(0, 0.26), (0.03, 0.19), (0.1, 0.06), (0.115, -0.03), (0.08, -0.1), (0, -0.13)]
            lathe(drop, "water", at=(x + 0.04, 0.36, z - radius - 0.12), closed=False)
    light((0, -1, 4), 12, 1.1)
    camera((0.9, -8.2, 5.0), (0, 0.4, 4.0), 56)


@picture("liner-going-in")
def liner_going_in():
    shop.bench()
    low = -s.LINER - 0.5
    up = -low + 1.9
    sleeve = s.liner()
    sleeve.location = (0, 0, -s.LINER * 0.5)
    top = s.LINER * 0.5
    # A long screw through two thick plates draws the sleeve down.
    plates = [rod(2.5, top, top + 0.8, "iron", edge=0.08), rod(3.2, low - 0.8, low, "iron", edge=0.08)]
    screw = [
        stud(0.42, low - 1.6, top + 3.6),
        hexagon(1.25, top + 0.85, top + 1.7, "black steel"),
        hexagon(1.25, low - 1.5, low - 0.85, "black steel"),
    ]
    spanner = prism(
        [
            (-0.9, -0.75),
            (0.9, -0.75),
            (1.0, -0.4),
            (9.0, -0.4),
            (9.2, 0),
            (9.0, 0.4),
            (1.0, 0.4),
            (0.9, 0.75),
            (-0.9, 0.75),
        ],
        top + 1.0,
        top + 1.5,
        "steel",
        edge=0.08,
    )
    cut(spanner, prism(circle(0.74, 6), top, top + 3, "steel"))
    turned = place(together(spanner), turn=(0, 0, -24))
    place(together(s.block(with_liner=False, studs=False), sleeve, *plates, *screw, turned), at=(0, 2, up))
    for x in (-4.4, 4.4):
        box((x - 1.3, -2.2, 0), (x + 1.3, 6.2, 1.9), "oak", 0.08)
    light((0, 0, 6), 26)
    camera((9, -32, 19), (1.4, 0, 7.2), 46)


@picture("first-size-of-the-piston")
def first_size():
    shop.bench()
    place(s.block(studs=False), at=(-3.6, 2.6, s.LINER + 0.5))
    place(s.piston(), at=(4.6, -1.6, s.PISTON_LENGTH), turn=(180, 0, 60))
    light((0, 0, 4), 22)
    camera((5, -20, 15), (0.0, 0.4, 3.6), 48, stop=8)


def skirt_in_the_lathe(tip_at, skirt, reach=2.6, kind="round"):
    """The piston on a stub in the chuck, drawn on by its pin; its skirt's mouth at the chuck."""
    shop.lathe_bed()
    shop.chuck(s.SKIRT - 0.5, 6.2, jaws=3, turn=90)
    rod(s.SKIRT - 0.21, -1.0, 2.3, "steel", "X")
    place(s.piston(skirt=skirt), at=(2.2 + s.PISTON_LENGTH, 0, 0), turn=(0, -90, 0))
    shop.tool_post((tip_at, -s.SKIRT, 0), reach, kind)


@picture("second-cut-on-the-skirt")
def second_cut():
    skirt_in_the_lathe(3.5, s.SKIRT)
    spots = [
        (3.2, -2.9, -2.55, 20),
        (2.4, -3.6, -2.55, 70),
        (5.0, -3.2, -2.55, 130),
        (4.4, -4.2, -2.55, 10),
        (1.8, -3.1, -2.55, 160),
    ]
    shop.chips(spots, "aluminium", 0.12)
    shop.chips([(3.4, -2.1, 0.05, 40), (3.5, -2.3, 0.05, 110)], "aluminium", 0.1)
    light((3, -2, 0), 22)
    camera((11, -14, 10), (3.6, -0.9, -0.2), 52)


@picture("mic-on-the-rod")
def mic_on_the_rod():
    shop.bench()
    gap = 75 / 25.4
    z = 3.6
    place(shop.micrometer(gap, 3.6), at=(0, 0, z), turn=(0, 0, 0))
    rod(0.17, -gap / 2, gap / 2, "ground steel", "X", (0, 0, z), 0.01)
    rod(0.27, -0.8, 0.8, "rubber", "X", (0, 0, z), 0.03)
    # The stand's jaws grip the frame at its lowest place.
    low = z - 0.4 - 3.6 * 0.62
    for y in (-0.62, 0.62):
        box((-0.7, y - 0.3, low - 0.4), (0.7, y + 0.3, low + 0.5), "black steel", 0.06)
    rod(0.2, -1.3, 1.3, "steel", "Y", (0, 0, low - 0.1))
    rod(0.36, -1.55, -1.25, "black steel", "Y", (0, 0, low - 0.1))
    box((-0.6, -0.9, 0.5), (0.6, 0.9, low - 0.3), "black steel", 0.1)
    box((-2.4, -2.0, 0), (2.4, 2.0, 0.6), "grey paint", 0.2)
    light((0, 0, 3), 16)
    camera((3.4, -13.5, 6.4), (0.7, 0, 2.6), 52, stop=8)


@picture("parts-on-the-bench")
def parts_on_the_bench():
    shop.bench(width=90, depth=40)
    place(s.block(with_liner=False, studs=False), at=(-11.5, 8, s.LINER + 0.5), turn=(0, 0, 12))
    place(s.head(gear_on=False), at=(1.5, 9.5, 0), turn=(0, 0, -10))
    place(s.flywheel(), at=(15.5, 8, 1.3))
    place(s.crank(90), at=(-9.5, -4.0, 1.5), turn=(0, 0, 16))
    place(s.connecting_rod(), at=(8.6, -2.6, 0.97), turn=(90, 0, 8))
    place(s.piston(of="cast iron"), at=(13.0, -5.5, s.PISTON_LENGTH), turn=(180, 0, 40))
    place(s.pin(), at=(9.2, -7.0, s.PIN), turn=(0, 0, 20))
    for count in range(4):
        place(
            s.ring(scraper=count == 3),
            at=(2.2 + 0.5 * count, -8.6 + 0.4 * count, 0.12 * count),
            turn=(0, 0, 50 * count),
        )
    for count, stem in enumerate(("invalve.stem", "exvalve.stem")):
        place(
            parts.valve(s.S[stem] / 2, 5.2, 0.75), at=(-5.0 + 0.2 * count, -9.4 - 1.9 * count, 0.72), turn=(0, 84, 12)
        )
    light((0, 0, 3), 36)
    camera((3, -42, 30), (2.4, 0.6, 0.8), 42)


def crank_in_vees(turn):
    """The crankshaft in two vee blocks on the surface plate, its journals resting in them."""
    place(shop.surface_plate(24, 13), at=(0, 0, 0))
    rests = s.S["crank.main_de"]
    for x in (-4.0, 4.0):
        block, height = shop.vee_block(1.6, 5.0, 3.2, rests)
        place(block, at=(x, 0, 2.4), turn=(0, 0, 90))
    place(s.crank(turn, 7.6), at=(0, 0, 2.4 + height))
    return 2.4 + height


@picture("lapping-the-crankpin")
def lapping_the_crankpin():
    shop.bench()
    z = crank_in_vees(180) - s.THROW
    radius = s.S["crank.crankpin"] / 2
    things = []
    for side in (-1, 1):
        y0, y1 = sorted((side * 0.05, side * 1.5))
        half = box((-0.62, y0, -1.2), (0.62, y1, 1.2), "cast iron", 0.1)
        things.append(cut(half, rod(radius, -3, 3, "iron", "X", edge=0)))
        things.append(rod(0.3, *sorted((side * 1.4, side * 4.6)), "oak", "Y"))
    for height in (-1.0, 1.0):
        things += [rod(0.16, -1.75, 1.75, "steel", "Y", (0, 0, height))]
        things += [
            hexagon(0.5, *sorted((end * 1.5, end * 1.75)), "black steel", "Y", (0, 0, height)) for end in (-1, 1)
        ]
    place(together(*things), at=(0, 0, z), turn=(-14, 0, 0))
    lathe([(radius, -0.95), (radius + 0.03, -0.9), (radius + 0.03, 0.9), (radius, 0.95)], "rubber", "X", (0, 0, z))
    light((0, -2, 7), 20)
    camera((9.5, -19, 11), (0.4, 0, 5.2), 44, stop=11)


@picture("boring-the-block")
def boring_the_block():
    # The block lies on the cross slide, its bore along the lathe's axis, strapped down; the bar turns between centres.
    shop.lathe_bed(left=-30, right=50)
    half = (s.LINER + 0.5) / 2
    place(s.block(with_liner=False, studs=False, bare=True), at=(4 + half, 0, 0), turn=(0, 90, 0))
    shop.boring_bar(30, 0.8, 0, s.S["block.liner_bore"] / 2).location = (6, 0, 0)
    shop.tail_centre(20.4)
    rod(0.55, -10.2, -8.9, "ground steel", "X")
    shop.chuck(0.8, 5.0, face=-8.5)
    box((-1.5, -7.5, -6.4), (10, 7.5, -4.6), "iron", 0.15)
    box((-2.5, -8.5, -9), (11, 8.5, -6.4), "grey paint", 0.3)
    for x in (1.2, 6.4):
        box((x - 0.6, -5.6, 3.75), (x + 0.6, 5.6, 4.5), "black steel", 0.1)
        for y in (-5.1, 5.1):
            stud(0.35, -4.7, 5.6, at=(x, y, 0), nut=4.5)
    for y in (-3.2, 3.2):
        box((-0.2, y - 0.7, -4.6), (8.0, y + 0.7, -s.JACKET - 0.2), "iron", 0.04)
    light((5, -3, 2), 30)
    camera((21, -24, 14), (4.2, 0, -0.4), 46)


@picture("reaming-the-mains")
def reaming_the_mains():
    shop.floor(-14)
    case = s.crankcase()
    section(case, (-30, -30, 0.0), (30, -0.01, 30), "cut face")
    hole = s.S["main_de.bore"] / 2
    place(shop.reamer(hole, 11.0, 8), at=(1.2, 0, 0), turn=(0, 90, 0))
    rod(hole - 0.01, -7.4, 1.2, "ground steel", "X")
    rod(0.55, 11.6, 14.0, "steel", "X")
    rod(0.4, -5.5, 5.5, "steel", "Y", (13.2, 0, 0)).rotation_euler.rotate_axis("Y", 0.5)
    for y in (-4.2, 4.2):
        box((-10, y - 1.6, -11), (10.0, y + 1.6, s.PAN - 0.9), "oak", 0.15)
    light((2, -4, 2), 32)
    camera((20, -31, 17), (2.0, 0, -0.6), 46)


@picture("wheel-and-crank")
def wheel_and_crank():
    top = hot_wheel(4.6)
    lathe([(0.45, 0), (0.75, 0), (0.75, 0.5), (0.45, 0.5)], "black steel", at=(0, 0, top - 0.6))
    for x in (-0.72, 0.72):
        pipe([(x, 0, top - 0.3), (x * 0.9, 0, top + 1.0), (0, 0, top + 3.0)], 0.13, "oak")
    rod(0.22, top + 2.8, top + 40, "oak")
    light((0, -2, 6), 34, 0.9)
    camera((13, -42, 22), (0.5, 0, 5.6), 46)


def hot_wheel(lifted):
    """The disc flywheel flat on fire bricks, the crank upright over it with its seat so far above home."""
    shop.floor(-2.6, 34)
    for x in (-7, 0, 7):
        for y in (-5.5, 0, 5.5):
            if x or y:
                box((x - 2.2, y - 1.1, -2.6), (x + 2.2, y + 1.1, -1.12), "core sand", 0.1)
    place(s.flywheel("cast iron", bright=False), at=(0, 0, 0))
    # The seat's shoulder meets the top of the hub when it is home.
    half, web = s.S["crank.crankpin_length"] / 2 * 0.82, 0.9
    shoulder = half + web + 2.6
    seat_end = shoulder + 3.1
    # Thrust collar and bearing plate have to be on before the wheel.
    x = shoulder - 1.2
    plate = [rod(2.9, x - 0.6, x, "cast iron", "X", hole=1.0), rod(1.25, x - 0.8, x + 0.5, "bronze", "X", hole=0.9)]
    plate += [
        rod(0.27, x - 0.62, x + 0.02, "rubber", "X", (0, 2.3 * math.cos(a), 2.3 * math.sin(a)))
        for a in (0.8, 2.35, 3.9, 5.5)
    ]
    shaft = together(s.crank(0, seat_end), *plate)
    place(shaft, turn=(0, 90, 0), at=(0, 0, 1.6 + shoulder + lifted))
    return 1.6 + 2 * shoulder + 1.8 + lifted


@picture("film-the-wheel-goes-on")
def film_the_wheel_goes_on():
    hot_wheel(0.0)
    light((0, -2, 5), 32, 0.9)
    camera((11, -36, 18), (0.3, 0, 4.6), 42)


@picture("bore-gauge-in-the-liner")
def bore_gauge_in_the_liner():
    shop.bench()
    low = s.LINER + 0.5
    block = s.block(studs=False)
    section(block, (-20, -20, -20), (20, 0, 20), "cut face")
    gauge = place(shop.bore_gauge(s.S["liner.bore"], 9.4, 15), at=(0, 0, -75 / 25.4))
    place(together(block, gauge), at=(0, 2, low))
    light((0, -1, 5), 24)
    camera((6, -31, 15), (0.3, 1, 7.0), 42)


@picture("finished-parts-in-a-row")
def finished_parts_in_a_row():
    shop.bench(width=90, depth=44)
    box((-17, -5.5, 0), (17, 5.0, 0.6), "pine", 0.08)
    top = 0.6
    place(s.piston(), at=(-13.6, 0, top + s.PISTON_LENGTH), turn=(180, 0, 20))
    place(s.pin(), at=(-10.2, -2.6, top + s.PIN), turn=(0, 0, 70))
    for count in range(4):
        place(
            s.ring(scraper=count == 3),
            at=(-8.0 + 0.25 * count, 1.2 - 0.2 * count, top + 0.11 * count),
            turn=(0, 0, 60 * count),
        )
    place(s.connecting_rod(), at=(-0.6, -2.6, top + 0.97), turn=(90, 0, 12))
    place(s.head(gear_on=False), at=(4.8, 0.8, top), turn=(0, 0, 0))
    for count, stem in enumerate(("invalve.stem", "exvalve.stem")):
        place(parts.valve(s.S[stem] / 2, 5.2, 0.75), at=(10.2 + 1.9 * count, 2.6, top + 0.72), turn=(-84, 0, 180))
    place(together(gear(20, 1.3, 0, 0.6, "iron", hole=0.5)), at=(15.4, 0.9, top))
    place(together(gear(40, 2.6, 0, 0.6, "iron", hole=0.5)), at=(12.4, -2.6, top))
    place(
        together(place(s.flywheel(), turn=(0, 90, 0), at=(7.4, 0, 0)), s.crank(90, 9.6)),
        at=(-2, 17, 9.5),
        turn=(0, 0, -16),
    )
    for x in (-6, 3):
        block, height = shop.vee_block(2.0, 7.9, 4.0, s.S["crank.main_de"])
        at = place(block, at=(x, 0, 0), turn=(0, 0, 90))
        place(at, at=(-2, 17, 0), turn=(0, 0, -16))
    light((0, 0, 4), 36)
    camera((4, -42, 22), (0.4, 3.5, 4.4), 42)
