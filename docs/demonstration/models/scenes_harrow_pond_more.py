"""Further pictures of Harrow Pond's series: gauges, and what is drawn larger than it is to be seen at all."""

import math

import harrow_pond as h
import shop
from kit import arrow, box, camera, circle, cut, lathe, light, pipe, place, prism, rod, section, together
from scenes_harrow_pond import picture


@picture("head-casting")
def head_casting():
    shop.sand_floor()
    place(together(h.head("fresh casting", valves=False, studs=False)), at=(0, 0, 0.0), turn=(0, -90, -24))
    light((0, 0, 2), 24)
    camera((3, -17, 12), (0, 0, 1.1), 50)


@picture("spokes-straight-curved")
def spokes():
    # Both wheels have six spokes and one rim; the crack is drawn far wider than any would be.
    shop.floor(-13.0, 40)
    place(h.flywheel("fresh casting", machined=False), at=(13.4, 0, -0.9))
    inner = h.S["fly_l.rim_od"] / 2 - h.S["fly_l.rim_depth"]
    straight = h.flywheel("fresh casting", spokes=0, machined=False)
    rim = straight.children[0]
    gap = prism([(-0.22, 0), (0.22, 0), (0.3, 4), (-0.1, 4)], -3, 3, "rubber", "Y")
    gap.scale[1] = -1
    gap.location = (0, 0, inner - 0.6)
    cut(rim, gap)
    arms = []
    for count in range(6):
        a = math.pi / 2 + 2 * math.pi * count / 6
        ends = [(reach * math.cos(a), 0, reach * math.sin(a)) for reach in (1.7, inner + 0.3)]
        section_ = [(0.95 * math.cos(b), 0.5 * math.sin(b)) for b in (2 * math.pi * k / 20 for k in range(20))]
        arms.append(pipe(ends, 0.6, "fresh casting", section=section_, smooth=False))
        here, there = ((reach * math.cos(a), -1.0, reach * math.sin(a)) for reach in (7.6, 4.2))
        arms.append(arrow(here, there, 0.2))
    place(together(straight, *arms), at=(-13.4, 0, -0.9))
    light((0, -6, 0), 46)
    camera((0, -70, 6), (0, 0, -0.8), 46)


@picture("gauge-drawer")
def gauge_drawer():
    shop.bench()
    box((-12, -6, 0), (12, 7, 0.3), "oak", 0.05)
    for low, high in (
        ((-12, -6.3, 0), (12, -5.9, 2.0)),
        ((-12, 7, 0), (12, 7.4, 2.0)),
        ((-12.3, -6.3, 0), (-11.9, 7.4, 2.0)),
        ((11.9, -6.3, 0), (12.3, 7.4, 2.0)),
    ):
        box(low, high, "oak", 0.05)
    box((-11.8, -5.8, 0.3), (11.8, 6.9, 0.42), "cloth")
    for gap, size, x, y in ((0.6, 1.0, -9.2, 5.2), (1.5, 1.8, -3.6, 5.2), (4.4, 4.6, 5.4, 5.0)):
        place(shop.micrometer(gap, size), at=(x, y, 0.85), turn=(90, 0, 180))
    gauge = place(shop.bore_gauge(h.S["engine.bore"], 10.0), turn=(0, 90, 0))
    place(gauge, at=(-8.2, -3.6, 1.6), turn=(-90, 0, 4))
    for count in range(5):
        wide = 0.2 + 0.06 * count
        x = -7.6 + count * 1.3
        box((x, -0.6, 0.42), (x + 0.9, 0.5, 0.42 + wide), "ground steel", 0.02)
    # Telescoping gauges: a handle and a head across it.
    for count, reach in enumerate((0.7, 1.1, 1.5)):
        y = -4.9 + count * 1.25
        rod(0.16, 4.6, 9.0, "ground steel", "X", (1.4, y, 0.62))
        rod(0.2, y - reach / 2, y + reach / 2, "ground steel", "Y", (5.9, 0, 0.64))
    light((0, 0, 2), 24)
    camera((2, -25, 21), (0, 0.2, 0.3), 48)


@picture("skin-in-layers")
def skin_in_layers():
    # The skin is taken as 0.04 in deep; all is drawn some forty times as large as it is.
    shop.bench()
    for x, deep in ((-4.3, 0.55), (4.3, 2.5)):
        face = x + 0.6
        box((x - 3.6, 0, 0), (x + 3.4, 3, 3.2), "iron", 0.02)
        box((face, -0.02, 3.2), (x + 3.4, 3.02, 4.8), "rusty iron", 0.05)
        for count in range(26):
            gx, gz = face + 0.2 + (count * 7 % 25) / 25 * 2.5, 3.35 + (count * 11 % 26) / 26 * 1.35
            rod(0.07 + 0.03 * (count % 3), -0.06, 0.1, "core sand", "Y", (gx, 0, gz), 0.02)
        if deep < 1:
            box((x - 3.6, 0, 3.2), (face, 3, 4.25), "rusty iron", 0.02)
        else:
            cut(box((x - 3.7, -0.3, 2.3), (face - 0.0, 3.3, 3.4), "iron"), box((x - 9, -9, 0), (x + 9, 9, 9), "iron"))
        tip_z = 4.25 if deep < 1 else 3.0
        tool = [(0, 0), (0.5, 0.9), (0.5, 2.6), (-1.6, 2.6), (-1.6, 1.2), (-0.35, 0.12)]
        bit = prism([(px, -pz) for px, pz in tool], 0.3, 2.7, "ground steel", "Y", (face - 0.02, 0, tip_z), 0.03)
        bit.name = "tool"
    light((0, -2, 3), 18)
    camera((1.5, -22, 9), (0, 0.5, 3.0), 50)


@picture("bell-mouth")
def bell_mouth():
    # 4.2512, 4.2514, 4.2515, 4.2516 and 4.2521 in at the five stations; what they are over 4.2510 is drawn 900 times.
    shop.floor(-10)
    means = [(0.0, 4.2511), (0.75, 4.2512), (2.5, 4.2514), (5.0, 4.2515), (7.5, 4.2516), (10.5, 4.2521), (11.6, 4.2523)]
    wall = [(h.BORE + (mean - 4.2510) * 900, -along) for along, mean in means]
    outer = h.BORE + 1.4
    tube = lathe([*wall, (outer, -11.6), (outer, 0)], ["bored iron"] * 6 + ["cast iron"] * 3, "X", (5.8, 0, 0))
    together(tube)
    section(tube.parent, (-30, -30, -30), (30, -0.01, 30))
    for z in (-h.BORE, h.BORE):
        pipe([(5.8, -0.05, z), (-5.8, -0.05, z)], 0.03, "chalk", smooth=False)
    for station, mean in means[1:6]:
        radius = h.BORE + (mean - 4.2510) * 900
        ring = lathe(
            [(radius - 0.012, -0.03), (radius - 0.012, 0.03), (radius + 0.02, 0.03), (radius + 0.02, -0.03)],
            "arrow",
            "X",
            (5.8 - station, 0, 0),
        )
        cut(ring, box((-30, -30, -30), (30, 0, 30), "arrow"))
    box((-6.5, -4.4, -9.9), (6.8, 5, -3.55), "oak", 0.2)
    light((0, -4, 0), 26)
    camera((4.0, -26, 6), (0, 0, -0.5), 48)


@picture("key-and-hub")
def key_and_hub():
    # The keyway falls 1 in 96 and the key 1 in 100; both are drawn steeper, and their difference far greater.
    shop.bench()
    length = h.S["key_l.len"]
    z = 5.2
    hub = [(0, 0.9), (0, 2.1), (length, 2.1), (length, 1.34)]
    prism([(px, -pz) for px, pz in hub], 0, 1.6, "cut face", "Y", (-length / 2, 0, z - 1.2))
    shaft = rod(
        h.S["fly_l.bore"] / 2,
        -length / 2 - 2.6,
        length / 2 + 2.6,
        "steel",
        "X",
        (0, 0.0, z - 1.2 + 0.55 - h.S["fly_l.bore"] / 2),
    )
    cut(shaft, box((-20, -5, -5), (20, -0.0, 20), "cut face 3"))
    key = [
        (-0.25, 0.55),
        (-0.25, 0.86),
        (0, 0.9),
        (length, 1.16),
        (length + 0.5, 1.2),
        (length + 0.5, 1.75),
        (length + 1.2, 1.75),
        (length + 1.2, 0.55),
    ]
    prism([(px, -pz) for px, pz in key], -0.03, 1.5, "brass", "Y", (-length / 2, 0, z - 1.2))
    low = [(0, -1.4), (length, -1.4), (length, -2.8), (0, -2.8)]
    prism([(px, -pz) for px, pz in low], 0, 1.6, "cut face", "Y", (-length / 2, 0, z - 1.0))
    for x in (-3.3, 3.3):
        box((x - 0.6, -0.2, 0), (x + 0.6, 2.4, z - 1.2 + 0.5 - h.S["fly_l.bore"]), "oak", 0.05)
    light((0, -3, 4), 14)
    camera((1.6, -14.5, 6.6), (0.3, 0, 4.0), 52)


@picture("oval-piston")
def oval_piston():
    # Roughed out, crown up on its spigot; out of round by 0.0015 in, drawn two hundred times too great.
    shop.bench()
    size = 4.3318 / 2
    body = h.piston(0, False, "iron", size - h.SKIRT, 0.625)
    place(body, at=(0, 0, 7.625), turn=(180, 0, 0))
    stretch = together(body)
    stretch.scale = (1.045, 0.955, 1)
    hoop = [(size * x / 2, size * y / 2, 7.66) for x, y in circle(2, 64)]
    for count in range(0, 64, 2):
        pipe([hoop[count], hoop[count + 1]], 0.035, "chalk", smooth=False)
    for side in (-1, 1):
        arrow((side * 2.45, 0, 7.66), (side * 3.6, 0, 7.66), 0.09)
        arrow((0, side * 3.3, 7.66), (0, side * 2.2, 7.66), 0.09)
    light((0, 0, 6), 20)
    camera((3.2, -12.5, 19.5), (0, 0.2, 6.0), 46)


@picture("expanding-reamer")
def expanding_reamer():
    shop.bench()
    radius = h.S["sebush.bore"] / 2
    place(shop.reamer(radius, 8.0), at=(4.4, 1.9, radius), turn=(0, -90, 24))
    place(h.bush(), at=(1.6, -2.0, h.S["sebush.od"] / 2), turn=(90, 0, -12))
    place(h.bush(), at=(-2.6, -2.2, 0))
    light((0, 0, 1), 16)
    camera((2, -13, 7.5), (0.2, 0, 0.5), 50, stop=8)


@picture("groove-three")
def groove_three():
    shop.lathe_bed()
    body = h.piston(3, False)
    last = h.groove_places()[2]
    wide = h.S["piston.groove1_w"]
    place(body, turn=(0, 90, 0))
    # The wedge that the leaning tool took from the wall on the crown's side, drawn ten times too large.
    wedge = lathe(
        [
            (h.SKIRT + 0.1, last - 0.075),
            (h.SKIRT + 0.1, last + 0.1),
            (h.S["piston.groove_root"] / 2, last + 0.1),
            (h.S["piston.groove_root"] / 2, last),
        ],
        "iron",
        "X",
    )
    for part in list(body.children):
        if part.data.vertices and len(part.data.vertices) > 500:
            cut(part, wedge, keep=True)
    wedge.hide_render = True
    bit = prism(
        [(-0.08, 0), (0.08, 0), (0.07, -1.1), (0.25, -1.3), (0.25, -5.4), (-0.25, -5.4), (-0.25, -1.3), (-0.07, -1.1)],
        -0.5,
        0,
        "ground steel",
    )
    place(together(bit), at=(last + wide / 2 - 0.035, -h.SKIRT + 0.09, 0), turn=(0, 0, 5))
    light((2, -3, 0), 14)
    camera((4.3, -8.6, 4.6), (1.9, -1.7, 0.15), 62)
