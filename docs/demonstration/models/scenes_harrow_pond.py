"""The pictures of Harrow Pond's series: one function each, in the order of the instalments."""

import harrow_pond as h
import shop
from kit import arrow, box, camera, cut, lathe, light, paint, place, prism, rod, section, stud, together

SCENES = {}


def picture(name):
    def keep(scene):
        SCENES[name] = scene
        return scene

    return keep


@picture("whole-engine")
def whole_engine():
    paint(h.engine(turn=-40), "clay")
    box((-300, -300, h.GROUND - 1), (300, 300, h.GROUND), "paper")
    light((5, 0, 0), 48, 1.1, sky=0.5)
    camera((50, -70, 30), (8.2, 0, -2.6), 57)


@picture("piston-pattern")
def piston_pattern():
    shop.bench(board=24)
    top, radius = 0.7, 4.543 / 2
    pattern = lathe(
        [
            (0, 0),
            (radius - 0.12, 0),
            (radius, 0.12),
            (radius, 7.2),
            (h.SPIGOT, 7.2),
            (h.SPIGOT, 7.83),
            (1.9, 7.83),
            (1.85, 10.6),
        ]
        + [(1.78, 10.7), (0, 10.7)],
        ["pattern"] * 4 + ["pine"] * 2 + ["core print"] * 4,
        closed=False,
    )
    place(together(pattern), at=(-6.4, 2.2, top + radius), turn=(0, 90, -6))
    for x in (-4.6, -1.2):
        place(together(prism([(-0.3, -2), (0.3, -2), (0.3, 2), (-0.3, 2)], 0, 0.2, "pine")), at=(x, 2.0, top))
    # Half of the core box, its print lengthened to suit the spigot, and a core out of it.
    block = box((-6.4, -1.45 - 2.6, top), (4.2, 1.45 - 2.6, top + 2.5), "pine", 0.05)
    cut(
        block,
        lathe(
            [(0, -3.2), (1.82, -3.2), (1.87, 6.6), (1.4, 6.9), (0, 6.9)],
            "core print",
            "X",
            (-3.2, -4.05, top + 2.5),
            closed=False,
        ),
    )
    place(together(block), at=(-0.4, -1.6, 0), turn=(0, 0, -4))
    core = lathe([(0, 0), (1.78, 0), (1.85, 0.1), (1.85, 9.6), (1.6, 10), (0, 10)], "core sand", closed=False)
    place(together(core), at=(6.4, -4.6, top + 1.85), turn=(0, 90, 62))
    light((0, 0, 3), 22)
    camera((4, -31, 17), (0.9, -0.4, 1.9), 50, stop=8)


@picture("floated-core")
def floated_core():
    inner = 2.0  # the core is 4 in across, the wall half an inch all round as cast; the core rose by 0.31 in
    outer = inner + 0.5
    for x, lift in ((-4.6, 0.0), (4.6, 0.31)):
        for z0, z1, name in ((0, 4.1, "top"), (-4.1, 0, "bottom")):
            flask = box((x - 4.3, 0, z0), (x + 4.3, 9, z1), "oak", 0.06)
            cut(
                flask,
                box(
                    (x - 3.8, -1, z0 - (0.1 if name == "top" else -0.4)),
                    (x + 3.8, 10, z1 - (0.4 if name == "top" else -0.1)),
                    "oak",
                ),
            )
            sand = box(
                (x - 3.8, 0.05, z0 + (0.02 if name == "top" else 0.4)),
                (x + 3.8, 8.9, z1 - (0.4 if name == "top" else 0.02)),
                "sand",
            )
            cut(sand, rod(outer, -1, 20, "sand", "Y", (x, 0, 0), 0))
        ring = rod(outer, 0.12, 8, "cut face", "Y", (x, 0, 0), 0)
        cut(ring, rod(inner, -1, 20, "cut face", "Y", (x, 0, lift), 0))
        rod(inner, -0.1, 8, "core sand", "Y", (x, 0, lift), 0.02)
    arrow((4.6, -0.4, -1.0), (4.6, -0.4, 1.5), 0.16)
    box((-40, -30, -5.1), (40, 40, -4.1), "bench")
    box((-60, 22, -10), (60, 24, 40), "boards")
    light((0, -2, 0), 22, sky=0.6)
    camera((0.5, -32, 4.5), (0, 0, -0.2), 55)


@picture("flywheel-casting")
def flywheel_casting():
    shop.sand_floor()
    wheel = h.flywheel("fresh casting", machined=False)
    plug = rod(1.7, -1.9, 2.6, "fresh casting", "Y", edge=0.3)
    stub = lathe(
        [(0, 0), (1.35, 0), (1.2, 1.0), (1.25, 1.7), (0.9, 1.85), (0, 1.8)],
        "fresh casting",
        "Y",
        (0, 2.4, 0),
        closed=False,
    )
    gate = box((11.6, -0.4, -1.0), (13.0, 0.3, 1.0), "fresh casting", 0.15)
    place(together(wheel, plug, stub, gate), at=(0, 0, 1.8), turn=(86, 0, 20))
    light((0, 0, 2), 32)
    camera((10, -36, 25), (0, -0.3, 1.0), 55)


@picture("cylinder-casting")
def cylinder_casting():
    shop.sand_floor()
    casting = h.cylinder("fresh casting", bored=False)
    hole = rod(0.62, -0.9, 0.2, "rubber", "Y", (-7.5, -4.0, 0.2), 0.02)
    boss = rod(0.95, -0.32, 0.2, "fresh casting", "Y", (-7.5, -4.2, 0.2), hole=0.6)
    place(together(casting, hole, boss), at=(4, 0, 4.6), turn=(0, 0, -28))
    light((0, 0, 5), 30)
    camera((13, -33, 17), (0, -0.5, 5.4), 52)


@picture("piston-casting")
def piston_casting():
    shop.sand_floor()
    over = 4.4775 / 2 - h.SKIRT
    casting = h.piston(0, False, "fresh casting", over, 0.625)
    place(casting, at=(-5.4, 2.6, h.SKIRT + over), turn=(0, 90, -52))
    stick = rod(2.45, 0, 8, "fresh casting", edge=0.15, hole=1.85)
    place(together(stick), at=(5.0, 2.0, 0))
    light((0, 0, 2), 24)
    camera((3, -27, 14), (0.2, 0.6, 2.9), 50)


@picture("castings-in-rain")
def castings_in_rain():
    shop.yard()
    shop.batten(-36, 40, -5)
    shop.batten(-36, 40, 5)
    place(h.cylinder("rusty iron", bored=False), at=(-8.5, 0, 6.6), turn=(0, 0, -14))
    place(h.base("rusty iron", raw=True), at=(9, 4.5, 12.2), turn=(0, 0, 0))
    wheel = h.flywheel("rusty iron", machined=False)
    place(wheel, at=(20, -11.0, 11.6), turn=(14, 0, -6))
    place(h.head("rusty iron", valves=False, studs=False), at=(-21.5, -2.5, 2.0), turn=(0, -90, 0))
    light((0, 0, 8), 60, 0.9, 0.25, sky=1.1)
    camera((8, -92, 30), (4, 0, 8.6), 50)


@picture("test-bar")
def test_bar():
    # Two collars a little over 4 in across, 6 in apart; the far one is 0.0008 in larger, which nobody can see.
    shop.lathe_bed()
    shop.chuck(1.1, 5.6)
    bar = [
        (0, -1.5),
        (1.1, -1.5),
        (1.1, 2.6),
        (2.05, 2.65),
        (2.05, 3.3),
        (1.1, 3.35),
        (1.1, 8.6),
        (2.05, 8.65),
        (2.05, 9.3),
    ]
    bar += [(1.1, 9.35), (1.1, 10.6), (0, 10.6)]
    lathe(bar, "bored iron", "X", closed=False)
    shop.tail_centre(10.5)
    place(shop.micrometer(4.1, 4.4), at=(9.0, 0, 0), turn=(90, 0, 90))
    light((6, -3, 0), 26)
    camera((13.5, -23, 12), (6.4, 0, -0.4), 50)


@picture("rough-bore")
def rough_bore():
    shop.floor(-14)
    casting = place(h.cylinder("cast iron", bored=True), at=(5.8, 0, 0))
    section(casting, (-30, -30, -2.2), (30, -0.01, 30))
    section(casting, (-30, -30, -30), (30, -0.01, -2.19))
    shop.boring_bar(34, 0.8, 0.4, h.BORE - 0.03)
    for x in (-14.5, 14.5):
        box((x - 1.6, -2.2, -14), (x + 1.6, 2.2, 1.6), "grey paint", 0.3)
    box((-18, -5, -14), (18, 5, -10), "grey paint", 0.3)
    box((-5, -5.4, -10), (7, 5.4, -4.6), "iron", 0.1)
    light((0, -4, 0), 30, 1.0)
    camera((7, -33, 13), (0, 0, 0.6), 47)


@picture("core-plug")
def core_plug():
    shop.bench()
    casting = place(h.cylinder("rusty iron"), at=(6, 0, 4.6))
    x, y, z = spot = (-0.5, -4.2, 3.4)
    boss = rod(0.85, -0.25, 0.3, "rusty iron", "Y", spot)
    # Half-inch pipe thread: 0.84 in outside.
    plug = [
        rod(0.42, -0.45, 0.2, "steel", "Y", spot),
        box((x - 0.22, y - 0.98, z - 0.22), (x + 0.22, y - 0.43, z + 0.22), "steel", 0.03),
    ]
    compound = rod(0.47, -0.29, 0.1, "dial", "Y", spot, 0.03)
    together(casting, boss, compound, *plug)
    # The streak that the driven plug left.
    streak = [
        (-0.16, 0),
        (0.16, 0),
        (0.1, -0.8),
        (0.18, -1.6),
        (0.05, -2.2),
        (-0.12, -2.1),
        (-0.05, -1.2),
        (-0.16, -0.6),
    ]
    prism([(px, -pz) for px, pz in streak], 0, 0.012, "cast iron", "Y", (x, y - 0.006, z - 0.75))
    light((0, -3, 5), 18)
    camera((4.2, -15.5, 7.0), (0, -3.6, 3.8), 55, stop=8)


def turning(tip, holds, kind="round", reach=2.6):
    """The usual set-up: bed, chuck on the left, a tool from the front."""
    shop.lathe_bed()
    shop.chuck(holds, 6.4)
    shop.tool_post(tip, reach, kind)


@picture("under-the-skin")
def under_the_skin():
    # Held by the spigot at the mouth; the cut starts at the crown and goes towards the chuck.
    rough, bright = 4.4775 / 2, 4.3312 / 2
    left, right, step = 0.625, 7.7, 4.2
    lathe(
        [
            (0, left),
            (rough - 0.1, left),
            (rough, left + 0.15),
            (rough, step),
            (bright, step + 0.07),
            (bright, right - 0.1),
        ]
        + [(bright - 0.1, right), (0, right)],
        ["fresh casting", "fresh casting", "fresh casting", "iron", "iron", "iron", "fresh casting", "fresh casting"],
        "X",
        closed=False,
    )
    rod(h.SPIGOT, -1, 1, "fresh casting", "X")
    turning((step + 0.06, -bright, 0), h.SPIGOT)
    spots = [
        (6.5, -3.2, -4.4, 30),
        (4.4, -3.9, -2.6, 80),
        (5.6, -3.6, -2.6, 140),
        (5.4, -4.4, -2.6, 10),
        (2.6, -3.4, -4.4, 60),
    ]
    shop.chips(spots, "fresh casting")
    light((4, -2, 0), 24, 1.1)
    camera((11, -17, 13), (4.4, -1.5, -0.2), 50)


@picture("wheel-turned")
def wheel_turned():
    shop.floor(-13.0, 40)
    wheel = h.flywheel("fresh casting", faces=True, keyway=False)
    place(wheel, turn=(-2, 0, 0), at=(0, 0, -0.95))
    for x in (-8.0, 8.0):
        prism(
            [(x - 2.5, -4), (x + 2.5, -4), (x + 1.0 if x < 0 else x + 2.5, -2), (x - 2.5 if x < 0 else x - 1.0, -2)],
            -13,
            -10.5,
            "oak",
            edge=0.05,
        )
    box((-14, 3.4, -13), (14, 6, 20), "boards", 0.1)
    light((0, -4, 0), 34)
    camera((17, -46, 8), (0, 0, -0.4), 48)


@picture("rod-and-bush")
def rod_and_bush():
    shop.bench(width=60)
    place(h.connecting_rod(with_bush=False, poured=False), at=(6.2, 2.0, 1.02), turn=(90, 0, 8))
    place(h.bush(), at=(7.4, -3.0, h.S["sebush.od"] / 2), turn=(90, 0, 30))
    place(h.pin(), at=(3.6, -4.2, h.S["pin.od"] / 2), turn=(0, 0, 30))
    light((0, 0, 1), 22)
    camera((5.5, -20, 13), (0.6, -0.4, 0.3), 46, stop=8)


@picture("crankshaft")
def crankshaft():
    shop.bench(wall=True)
    place(shop.surface_plate(26, 14), at=(0, 0, 0))
    for x in (-7.4, 7.4):
        block, height = shop.vee_block(height=5.6, rests=h.S["crank.seat_l"])
        place(block, at=(x, 0, 2.4), turn=(0, 0, 90))
    place(h.crank(90), at=(0, 0, 2.4 + height), turn=(0, 0, 90))
    light((0, 0, 5), 24)
    camera((9, -30, 15), (0, 0, 5.4), 48, stop=8)


@picture("bush-pressed")
def bush_pressed():
    shop.bench(board=16)
    place(h.connecting_rod(), at=(2.6, 0, 1.6), turn=(90, 0, 0))
    for count in range(8):
        a = count * 3.14159265 / 4 + 0.39
        from math import cos, sin

        arrow((2.6 + 1.75 * cos(a), 1.75 * sin(a), 2.75), (2.6 + 0.95 * cos(a), 0.95 * sin(a), 2.62), 0.06)
    light((1, 0, 2), 14)
    camera((5.4, -8.6, 9.8), (1.7, 0, 1.7), 50)


@picture("bore-stations")
def bore_stations():
    shop.floor(-10)
    casting = place(h.cylinder("cast iron", hopper=False), at=(5.8, 0, 0))
    section(casting, (-30, -30, -30), (30, -0.01, 30))
    for station in (0.75, 2.5, 5.0, 7.5, 10.5):
        ring = lathe(
            [(h.BORE - 0.012, -0.03), (h.BORE - 0.012, 0.03), (h.BORE + 0.02, 0.03), (h.BORE + 0.02, -0.03)],
            "arrow",
            "X",
            (5.8 - station, 0, 0),
        )
        cut(ring, box((-30, -30, -30), (30, 0, 30), "arrow"))
    place(shop.bore_gauge(h.S["engine.bore"], 11.0), at=(5.8 - 5.0, 0, 0), turn=(0, 90, 0))
    box((-6.5, -4.0, -9.9), (6.8, 5, -4.6), "oak", 0.2)
    for x in (-4.4, 3.6):
        block = prism([(x - 0.7, 0), (x + 0.7, 0), (x + 0.7, 5), (x - 0.7, 5)], -4.6, -1.2, "oak", edge=0.05)
        cut(block, rod(h.BORE + h.S["cyl.wall"], -20, 20, "oak", "X", edge=0))
    light((0, -4, 0), 26)
    camera((8, -28, 8), (4.6, 0, -0.9), 44)


@picture("main-bearing")
def main_bearing():
    shop.bench(board=16)
    top, radius, bearing = 0.7, 1.15, h.S["main_l.bore"] / 2
    lower = box((-2.4, -0.95, 0), (2.4, 0.95, 2.4), "cast iron", 0.15)
    cut(lower, rod(radius, -3, 3, "iron", "Y", (0, 0, 2.4), 0))
    metal = rod(radius, -1.0, 1.0, "white metal", "Y", (0, 0, 2.4), 0.03, bearing)
    cut(metal, box((-3, -3, 2.4), (3, 3, 6), "white metal"))
    shims = [
        box((s * 1.72 - 0.52, -0.9, 2.4 + n * 0.03), (s * 1.72 + 0.52, 0.9, 2.425 + n * 0.03), "brass")
        for s in (-1, 1)
        for n in range(3)
    ]
    studs = [stud(0.25, 2.0, 4.6, "Z", (x, 0, 0)) for x in (-1.7, 1.7)]
    for pack in shims:
        cut(pack, *[rod(0.27, 0, 6, "brass", "Z", (x, 0, 0), 0) for x in (-1.7, 1.7)])
    place(together(lower, metal, shims, studs), at=(-2.6, 1.4, top), turn=(0, 0, -18))
    cap = box((-2.2, -0.9, 0), (2.2, 0.9, 1.45), "cast iron", 0.2)
    cut(cap, rod(radius, -3, 3, "iron", "Y", (0, 0, 0), 0))
    for x in (-1.7, 1.7):
        cut(cap, rod(0.28, -1, 3, "iron", "Z", (x, 0, 0), 0))
    upper = rod(radius, -0.95, 0.95, "white metal", "Y", (0, 0, 0), 0.03, bearing)
    cut(upper, box((-3, -3, -6), (3, 3, 0), "white metal"), rod(0.16, 0, 4, "rubber", "Z", edge=0))
    cut(cap, rod(0.16, 0, 4, "rubber", "Z", edge=0))
    place(together(cap, upper), at=(3.4, -1.4, top + 0.92), turn=(-90, 0, 16))
    light((0, 0, 2), 16)
    camera((2.5, -15, 9.5), (0.4, 0, 1.9), 50)


@picture("three-grooves")
def three_grooves():
    shop.lathe_bed()
    shop.chuck(h.SPIGOT, 6.4)
    body = h.piston(3, False, "iron", 0.005, 0.625)
    place(body, at=(7.7, 0, 0), turn=(0, -90, 0))
    third = 7.7 - h.groove_places()[2] - h.S["piston.groove1_w"] / 2
    shop.tool_post((third, -h.SKIRT - 0.55, 0), 2.6, "parting")
    spots = [(6.5, -3.6, -4.4, 30), (5.9, -4.2, -2.6, 80), (4.2, -3.9, -2.6, 140)]
    shop.chips(spots, "iron", 0.1)
    light((5, -2, 0), 24, 1.1)
    camera((13.5, -15.5, 11.5), (5.4, -1.0, -0.2), 52)
