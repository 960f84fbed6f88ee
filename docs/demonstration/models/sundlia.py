"""Parts of the Sundlia upright as they stand in its records; what these lack is a proportion named here.

Engine: the crank's axis is X with the flywheel (drive end) at +X, the cylinder stands along Z, the origin is the crank's centre.
"""

import math

import parts
from kit import box, coil, cut, gear, hexagon, lathe, pipe, place, prism, rod, rounded, stud, together
from sizes import sizes

MM = 1 / 25.4
S = sizes("sundlia")
BORE = S["liner.bore"] / 2
THROW = S["engine.stroke"] / 2
CENTRES = S["rod.centres"]
SKIRT = S["piston.skirt"] / 2
PIN = S["pin.od"] / 2
# Proportions that no record holds (the skirt's lower station is at 85 mm, the liner's last at 150 mm).
PISTON_LENGTH = 108 * MM
CROWN_TO_PIN = 62 * MM
LINER = 170 * MM
FACE = THROW + CENTRES + CROWN_TO_PIN + 0.02  # joint face of block and head over the crank
JACKET = 3.7  # half the jacket across
SHELF = FACE - LINER - 0.5  # the block stands here on the crankcase
PAN = -5.2
GROUND = -11.6


def piston(grooves=4, pin_hole=True, of="aluminium", skirt=None):
    """Crown at height 0, skirt upwards; the pin's bore along X."""
    radius = skirt or SKIRT
    land = S["piston.land1"] / 2 if grooves else radius
    outside = [(land - 0.03, 0), (land, 0.03)]
    top = S["first_ring_depth"]
    widths = [S["piston.groove1_w"]] * 3 + [S["ring4.width"] + 0.003]
    for number, width in enumerate(widths[:grooves]):
        under = radius if number == grooves - 1 else land
        outside += [(land, top), (radius - 0.17, top), (radius - 0.17, top + width), (under, top + width)]
        top += width + 4.6 * MM
    inner = radius - 0.2
    skin = "cast aluminium"
    inside = [
        (radius - 0.03, PISTON_LENGTH),
        (inner, PISTON_LENGTH),
        (inner - 0.05, 2.1),
        (inner - 0.35, 0.5),
        (0, 0.42),
    ]
    points = [(0, 0), *outside, (radius, PISTON_LENGTH - 0.03), *inside]
    body = lathe(points, [of] * (len(outside) + 2) + [of] + [skin] * (len(inside) - 1))
    things = [body]
    for side in (-1, 1):
        boss = rod(0.72, -0.6, 0.6, skin, "X", (side * (radius - 0.75), 0, CROWN_TO_PIN))
        things.append(cut(boss, rod(radius + 3, -1, 6, skin, edge=0, hole=inner + 0.05)))
    if pin_hole:
        for thing in things:
            cut(thing, rod(S["piston.pin_bore"] / 2, -4, 4, of, "X", (0, 0, CROWN_TO_PIN), 0))
    return together(*things)


def ring(free=True, scraper=False):
    width = S["ring4.width"] if scraper else S["ring1.width"]
    gap = 0.42 if free else S["ring1.gap"]
    return parts.ring(BORE, 0.15, width, gap, free)


def pin():
    half = SKIRT - 0.22
    return together(rod(PIN, -half, half, "ground steel", "X", edge=0.04, hole=0.22))


def liner(low=0.0, stretch=(1, 1)):
    """Standing along Z, its upper end at LINER."""
    outside = S["liner.od"] / 2
    tube = lathe(
        [(BORE, low), (outside - 0.03, low), (outside, low + 0.06), (outside, LINER), (BORE, LINER)],
        ["iron", "iron", "iron", "iron", "bored iron"],
    )
    tube.scale = (*stretch, 1)
    return tube


def block(of="green paint", with_liner=True, studs=True, bare=False):
    """The cylinder block, its joint face at the origin, standing down to -LINER - 0.5."""
    low = -LINER - 0.5
    hole = BORE if with_liner else S["block.liner_bore"] / 2
    body = prism(rounded(2 * JACKET, 2 * JACKET, 1.5), low + 0.5, -0.45, of, edge=0.12)
    # Water stands between the outside and the barrel round the liner.
    water = prism(rounded(2 * JACKET - 0.8, 2 * JACKET - 0.8, 1.2), low + 1.1, -0.9, "rusty iron")
    cut(body, cut(water, rod(S["block.seat_outside"] / 2, -20, 2, "rusty iron", edge=0)))
    top = prism(rounded(2 * JACKET + 0.4, 2 * JACKET + 0.4, 1.6), -0.6, 0, of, edge=0.04)
    foot = prism(rounded(2 * JACKET + 1.5, 2 * JACKET + 1.5, 1.2), low, low + 0.7, of, edge=0.08)
    skim = prism(rounded(2 * JACKET + 0.3, 2 * JACKET + 0.3, 1.6), -0.02, 0.012, "iron")
    things = [body, top, foot, skim]
    for thing in things:
        cut(thing, rod(S["block.liner_bore"] / 2, -20, 2, "iron", edge=0))
    if with_liner:
        things.append(place_shape(liner(), (0, 0, -LINER)))
    else:
        things.append(lathe([(hole, low), (hole + 0.2, low), (hole + 0.2, 0), (hole, 0)], ["iron"] * 4))
    for turn in range(6):
        a = math.radians(30 + 60 * turn)
        x, y = (S["stud_circle"] / 2 * f(a) for f in (math.cos, math.sin))
        if studs:
            things += stud(S["head.studs"] / 2, -0.3, S["stud_length"] + 0.2, at=(x, y, 0))
        else:
            cut(top, rod(S["tap_hole"] / 2, -2, 2, "rubber", at=(x, y, 0), edge=0))
            cut(skim, rod(S["tap_hole"] / 2, -2, 2, "rubber", at=(x, y, 0), edge=0))
    # Water comes in low and leaves high, at the back (+Y).
    if not bare:
        for z in (-1.4, low + 1.9):
            things.append(rod(1.1, JACKET - 0.1, JACKET + 0.55, of, "Y", (0, 0, z), 0.06, 0.55))
    return together(*things)


def place_shape(thing, at):
    thing.location = at
    return thing


def connecting_rod(cap=True):
    """Small end at the origin, big end towards -X."""
    return parts.connecting_rod(CENTRES, (PIN * 2 + 0.24, 1.42, 1.4), (S["shells.bore"], 1.9), S["sebush.bore"], cap)


def crank(turn=0.0, wheel_end=9.2):
    """Its axis along X; at turn 0 the throw points up."""
    main, crankpin = S["crank.main_de"] / 2, S["crank.crankpin"] / 2
    half, web = S["crank.crankpin_length"] / 2 * 0.82, 0.9
    things = [rod(crankpin, -half - 0.1, half + 0.1, "ground steel", "X", (0, 0, THROW), 0)]
    for side in (-1, 1):
        x0, x1 = sorted((side * half, side * (half + web)))
        things.append(box((x0, -1.25, -1.5), (x1, 1.25, THROW + 1.15), "steel", 0.1))
    things.append(rod(main, half + web - 0.02, half + web + 2.6, "ground steel", "X"))
    things.append(rod(S["crank.fly_seat"] / 2, half + web + 2.58, wheel_end, "steel", "X"))
    things.append(rod(main, -half - web - 2.6, -half - web + 0.02, "ground steel", "X"))
    things.append(rod(0.7, -half - web - 4.4, -half - web - 2.58, "steel", "X"))
    return place(together(*things), turn=(turn, 0, 0))


def flywheel(of="green paint", bright=True):
    """A disc, its axis along Z, the rim's middle at the origin, the hub's longer side up."""
    radius, depth, hub, hole = (
        S["flywheel.rim_od"] / 2,
        S["flywheel.rim_depth"],
        S["flywheel.hub_od"] / 2,
        S["flywheel.bore"] / 2,
    )
    half, web = 1.1, 0.4
    shine = "iron" if bright else of
    points = [
        (hole, -1.3),
        (hub - 0.1, -1.3),
        (hub, -1.2),
        (hub + 0.2, -web),
        (radius - depth - 0.15, -web),
        (radius - depth, -half),
    ]
    points += [
        (radius - 0.05, -half),
        (radius, 0.05 - half),
        (radius, half - 0.05),
        (radius - 0.05, half),
        (radius - depth, half),
    ]
    points += [(radius - depth - 0.15, web), (hub + 0.2, web), (hub, 1.5), (hub - 0.1, 1.6), (hole, 1.6)]
    kinds = [of] * 6 + [shine] * 3 + [of] * 5 + [shine, "iron"]
    return together(lathe(points, kinds))


def head(of="green paint", gear_on=True, guides=True):
    """Joint face at the origin, two valves standing on top."""
    thick = S["stud_grip"]
    body = prism(rounded(2 * JACKET + 0.4, 2 * JACKET + 0.4, 1.6), 0, thick, of, edge=0.12)
    things = [body]
    for turn in range(6):
        a = math.radians(30 + 60 * turn)
        x, y = (S["stud_circle"] / 2 * f(a) for f in (math.cos, math.sin))
        if gear_on:
            things += stud(S["head.studs"] / 2, thick - 0.1, S["stud_length"] + 0.35, at=(x, y, 0), nut=thick)
        else:
            cut(body, rod(S["stud_hole"] / 2, -1, 6, "iron", at=(x, y, 0), edge=0))
    for x, stem in ((-0.95, "invalve.stem"), (0.95, "exvalve.stem")):
        things.append(lathe([(0.3, 0), (0.62, 0), (0.45, 0.9), (0.3, 0.9)], of, at=(x, 0, thick - 0.05)))
        if guides:
            things.append(rod(0.27, thick, thick + 1.05, "bronze", at=(x, 0, 0), hole=S[stem] / 2))
        if gear_on:
            things.append(rod(S[stem] / 2, thick + 0.5, thick + 2.45, "ground steel", at=(x, 0, 0)))
            things.append(coil(0.42, thick + 0.85, thick + 2.1, 5, 0.07, at=(x, 0, 0)))
            things.append(rod(0.52, thick + 2.1, thick + 2.25, "steel", at=(x, 0, 0)))
    if gear_on:
        things.append(box((-1.9, 1.55, thick - 0.1), (1.9, 2.15, thick + 2.5), of, 0.2))
        things.append(rod(0.22, -1.9, 1.9, "steel", "X", (0, 1.85, thick + 2.65)))
        for x in (-0.95, 0.95):
            y = 0
            rocker = [
                (x, y, thick + 2.55),
                (x, 0.4, thick + 2.75),
                (x, 1.85, thick + 2.85),
                (x, 3.1, thick + 2.5),
                (x, 3.35, thick + 2.3),
            ]
            things.append(pipe(rocker, 0.24, "steel"))
            things.append(rod(0.42, -0.35, 0.35, "steel", "X", (x, 1.85, thick + 2.68)))
    things.append(rod(0.95, JACKET - 0.2, JACKET + 1.0, of, "X", (0, 0, thick * 0.5), hole=0.6))
    things.append(rod(0.95, -JACKET - 1.0, 0.2 - JACKET, of, "X", (0, 0, thick * 0.5), hole=0.6))
    return together(*things)


def crankcase(of="green paint"):
    """The bed with its two main bearings; the block stands on its shelf."""
    wide = 3.6
    body = prism(rounded(2 * wide + 1.0, 9.6, 1.3), PAN, SHELF, of, edge=0.15)
    cut(body, prism(rounded(2 * wide + 0.2, 8.8, 1.0), PAN + 0.5, SHELF - 0.5, "rusty iron"))
    foot = prism(rounded(2 * wide + 3.4, 12.0, 0.8), PAN - 0.9, PAN + 0.05, of, edge=0.15)
    door = prism(rounded(4.6, 5.6, 0.6), -0.2, 0.25, of, "Y", (0, -4.85, 0.4), 0.08)
    things = [body, foot, door]
    for x in (-1.8, 1.8):
        for z in (-1.8, 2.6):
            things.append(hexagon(0.5, -5.3, -5.05, "black steel", "Y", (x, 0, z)))
    for side in (-1, 1):
        x0, x1 = sorted((side * wide, side * (wide + 1.6)))
        things.append(rod(1.7, x0, x1, of, "X", edge=0.1, hole=S["main_de.bore"] / 2 + 0.3))
        things.append(
            rod(S["main_de.bore"] / 2 + 0.3, x0 - 0.02, x1 + 0.06, "bronze", "X", edge=0.02, hole=S["main_de.bore"] / 2)
        )
        things += grease_cup((side * (wide + 0.85), 0, 1.6))
    for x in (-4.6, 4.6):
        for y in (-5.3, 5.3):
            things += stud(0.3, PAN - 1.2, PAN + 1.0, at=(x, y, 0), nut=PAN + 0.05)
    return together(*things)


def grease_cup(at):
    return [
        rod(0.2, 0, 0.5, "brass", at=at),
        hexagon(0.5, 0.35, 0.6, "brass", at=at),
        rod(0.42, 0.6, 0.8, "brass", at=at),
        lathe(
            [(0, 0.72), (0.52, 0.72), (0.52, 1.3), (0.4, 1.42), (0.15, 1.5), (0.15, 1.62), (0, 1.65)],
            "brass",
            at=at,
            closed=False,
        ),
    ]


def tank():
    """The cooling tank on its stand behind the engine, with its two pipes."""
    y, low, radius = 17.0, -4.0, 7.9
    high = low + 28.0
    things = [
        lathe(
            [
                (0, low),
                (radius, low),
                (radius, high),
                (radius - 0.12, high),
                (radius - 0.12, high - 1.2),
                (0, high - 1.2),
            ],
            "grey paint",
            at=(0, y, 0),
            closed=False,
        )
    ]
    for z in (low + 0.6, low + 9, low + 18, high - 0.3):
        things.append(
            lathe(
                [(radius, z - 0.3), (radius + 0.12, z - 0.3), (radius + 0.12, z + 0.3), (radius, z + 0.3)],
                "grey paint",
                at=(0, y, 0),
            )
        )
    for x in (-5, 5):
        things.append(box((x - 1.3, y - 7, GROUND), (x + 1.3, y + 7, low), "oak", 0.12))
    front = y - radius
    for z, end in ((FACE - 1.4, high - 5.0), (FACE - LINER + 1.4, low + 2.0)):
        path = [
            (0, JACKET + 0.4, z),
            (0, JACKET + 2.0, z),
            (0, JACKET + 2.6, z),
            (0, front - 2.0, end),
            (0, front - 1.4, end),
            (0, front + 0.4, end),
        ]
        things.append(pipe(path, 0.6, "copper"))
        things.append(rod(0.95, JACKET + 0.45, JACKET + 0.75, "brass", "Y", (0, 0, z)))
        things.append(rod(0.95, front - 0.3, front + 0.2, "brass", "Y", (0, 0, end)))
    return together(*things)


def timing():
    """Gear pair, camshaft end and governor at the timing end (-X), push rods up to the rockers."""
    x = -6.0
    things = [gear(20, 1.3, x - 0.3, x + 0.3, "iron", "X")]
    things.append(gear(40, 2.6, x - 0.3, x + 0.3, "iron", "X", (0, 3.9, 0)))
    things.append(rod(0.5, x - 0.6, x + 3, "steel", "X", (0, 3.9, 0)))
    # Governor: two balls on arms round an upright spindle before the gears.
    top = 5.4
    things.append(box((x - 0.8, -4.4, 1.9), (x + 2.6, -2.6, 2.6), "green paint", 0.2))
    things.append(rod(0.22, 2.4, top, "steel", at=(x, -3.5, 0)))
    for side in (-1, 1):
        joint, ball = (x, -3.5 + side * 0.25, top - 0.2), (x, -3.5 + side * 1.3, 3.7)
        things.append(pipe([joint, ball], 0.1, "steel", smooth=False))
        things.append(
            lathe(
                [(0.5 * math.sin(a), -0.5 * math.cos(a)) for a in (math.pi * k / 16 for k in range(17))],
                "brass",
                at=ball,
                closed=False,
            )
        )
    things.append(rod(0.4, top - 0.3, top + 0.15, "brass", at=(x, -3.5, 0)))
    things.append(rod(0.45, 2.6, 3.0, "brass", at=(x, -3.5, 0)))
    return together(*things)


def push_rods():
    high = FACE + S["stud_grip"] + 2.3
    things = []
    for x in (-0.95, 0.95):
        things.append(rod(0.15, SHELF + 0.2, high, "steel", at=(x, JACKET + 1.35, 0)))
    return together(*things)


def engine(turn=28.0, of="green paint", with_tank=True):
    """The whole engine on its timbers."""
    wheel = place(flywheel(of), turn=(0, 90, 0), at=(7.4, 0, 0))
    things = [crankcase(of), crank(turn, 9.6), wheel, timing()]
    things.append(place(block(of, studs=False), at=(0, 0, FACE)))
    things.append(place(head(of), at=(0, 0, FACE + 0.05)))
    copper = prism(rounded(2 * JACKET + 0.45, 2 * JACKET + 0.45, 1.6), FACE, FACE + 0.05, "copper")
    things.append(copper)
    if with_tank:
        things.append(tank())
    for y in (-4.2, 4.2):
        things.append(box((-12, y - 1.6, GROUND), (6.0, y + 1.6, PAN - 0.9), "oak", 0.15))
    mixture = (-JACKET - 1.0, 0, FACE + 1.0)
    x, y, z = mixture
    things.append(pipe([(x + 0.1, y, z), (x - 1.1, y, z), (x - 1.6, y, z - 0.4), (x - 1.6, y, z - 2.2)], 0.5, "brass"))
    things.append(rod(0.95, z - 4.6, z - 2.2, "brass", at=(x - 1.6, y, 0)))
    x = JACKET + 0.9
    things.append(
        pipe(
            [(x, y, z), (x + 2.0, y, z), (x + 3.2, y, z), (x + 3.2, y, z + 1.2), (x + 3.2, y, z + 5)], 0.6, "rusty iron"
        )
    )
    things.append(lathe([(0.6, 0), (1.5, 0.4), (1.6, 4.0), (0.6, 4.6)], "rusty iron", at=(x + 3.2, y, z + 4.5)))
    return together(*things)
