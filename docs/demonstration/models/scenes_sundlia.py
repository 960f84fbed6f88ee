"""The pictures of Sundlia's series: one function each, in the order of the instalments."""

import math

import shop
import sundlia as s
from kit import (
    arrow,
    box,
    camera,
    circle,
    coil,
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
