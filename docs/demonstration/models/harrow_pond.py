"""Parts of Harrow Pond No. 3 as they stand in its records; what these lack is a proportion named here.

Engine: the crank's axis is Y, the cylinder lies along X with its head at +X, Z is up, the origin is the crank's centre.
"""

import math

import parts
from kit import box, coil, cut, gear, hexagon, lathe, pipe, place, prism, rod, rounded, stud, together
from sizes import sizes

S = sizes("harrow-pond")
BORE = S["engine.bore"] / 2
THROW = S["crank.throw"]
CENTRES = S["rod.centres"]
CROWN_TO_PIN = S["piston.comp_h"]
SKIRT = S["piston.skirt"] / 2
# Proportions that no record holds.
FACE = THROW + CENTRES + CROWN_TO_PIN + 0.15  # head joint, a little past the crown at inner dead centre
CYLINDER = 11.6  # the bore's stations run to 10.5
WHEELS_AT = 6.1  # middle of each flywheel from the crank's middle
BEARINGS_AT = 3.5
CRANKPIN_LENGTH = 2.0
GROUND = -14.0
SPIGOT = SKIRT - 0.12  # the ring cast on at the mouth, smaller than the skirt, 5/8 in long


def groove_places():
    """Top edges of the grooves from the crown: the last ends where the skirt below the rings begins."""
    last = S["piston.length"] - S["piston.skirt_length"] - S["piston.groove1_w"]
    return [last - 1.56, last - 0.78, last]


def piston(grooves=3, pin_hole=True, of="iron", extra=0.0, spigot=0.0):
    """Crown at height 0, skirt upwards (+Z); the pin's bore along X.

    `extra` is what stands over on the radius, `spigot` the length of the ring at the mouth that the chuck holds.
    """
    radius, length, root = SKIRT + extra, S["piston.length"], S["piston.groove_root"] / 2
    outside = [(radius - 0.04, 0), (radius, 0.04)]
    for top in groove_places()[:grooves]:
        bottom = top + S["piston.groove1_w"]
        outside += [(radius, top), (root, top), (root, bottom), (radius, bottom)]
    inside = [(radius - 0.03, length), (SKIRT - 0.22, length), (SKIRT - 0.28, 2.9), (SKIRT - 0.6, 0.6), (0, 0.5)]
    points = [(0, 0), *outside, (radius, length - 0.03), *inside]
    skin = "cast iron" if of == "iron" else of
    names = [of] * (len(outside) + 2) + ["iron" if of == "iron" else of] + [skin] * (len(inside) - 1)
    body = lathe(points, names)
    bosses = [
        cut(
            rod(0.72, -1.0, 1.0, skin, "X", (side * (SKIRT - 1.16), 0, CROWN_TO_PIN)),
            rod(SKIRT + 3, -1, length + 1, skin, edge=0, hole=SKIRT - 0.2),
        )
        for side in (-1, 1)
    ]
    things = [body, *bosses]
    if spigot:
        chucked = rod(SPIGOT, length - 0.05, length + spigot, skin, edge=0.04, hole=SKIRT - 0.3)
        things.append(chucked)
    if pin_hole:
        hole = S["piston.pin_bore"] / 2
        for thing in things:
            cut(thing, rod(hole, -4, 4, "bored iron", "X", (0, 0, CROWN_TO_PIN), 0))
    return together(*things)


def ring(free=False):
    gap = S["ring1.free_gap"] if free else S["ring1.gap"]
    return parts.ring(BORE, S["ring1.wall"], S["ring1.width"], gap, free)


def pin():
    length = 2 * SKIRT - 0.5
    return together(rod(S["pin.od"] / 2, -length / 2, length / 2, "ground steel", "X", edge=0.04, hole=0.2))


def bush(of="bronze"):
    """The small-end bush, standing."""
    return together(rod(S["sebush.od"] / 2, 0, S["sebush.length"], of, edge=0.03, hole=S["sebush.bore"] / 2))


def connecting_rod(with_bush=True, cap=True, poured=True):
    bush_bore = S["sebush.bore"] if with_bush else None
    eye = (S["rod.small_eye"], S["rod.seat_outside"], S["sebush.length"])
    return parts.connecting_rod(CENTRES, eye, (S["bigend.bore"], CRANKPIN_LENGTH), bush_bore, cap, poured)


def crank(turn=0.0, keys=True):
    """Its axis along Y; at turn 0 the throw points to +X (inner dead centre)."""
    main, crankpin, seat = S["crank.main_l"] / 2, S["crank.crankpin"] / 2, S["crank.seat_l"] / 2
    half = CRANKPIN_LENGTH / 2
    web = 1.05
    things = [rod(crankpin, -half - 0.2, half + 0.2, "ground steel", "Y", (THROW, 0, 0), 0)]
    for side in (-1, 1):
        y0, y1 = sorted((side * half, side * (half + web)))
        # A prism along Y keeps its own X; its own Y points down.
        outline = [(-1.25, -0.95), (-1.25, 0.95), (THROW + 0.95, 0.95), (THROW + 1.2, 0.6), (THROW + 1.2, -0.6)]
        things.append(prism([*outline, (THROW + 0.95, -0.95)], y0, y1, "steel", "Y", edge=0.06))
        y0, y1 = sorted((side * (half + web), side * 5.0))
        things.append(rod(main, y0 - 0.05, y1 + 0.05, "ground steel", "Y"))
        y0, y1 = sorted((side * 5.0, side * 10.1))
        things.append(rod(seat, y0, y1, "steel", "Y"))
    return place(together(*things), turn=(0, turn, 0))


def flywheel(of="blue paint", spokes=6, weights=False, machined=True, faces=False, keyway=True):
    """Its axis along Y, the middle of its rim at the origin."""
    radius, depth, width = S["fly_l.rim_od"] / 2, S["fly_l.rim_depth"], S["fly_l.rim_w"]
    hole, hub, hub_half = S["fly_l.bore"] / 2, 2.1, 2.0
    bright = "iron" if machined else of
    side = "iron" if faces else of
    half = width / 2
    rim = lathe(
        [
            (radius - depth + 0.25, -half),
            (radius - 0.35, -half),
            (radius - 0.3, -half),
            (radius, -half + 0.05),
            (radius, half - 0.05),
            (radius - 0.3, half),
            (radius - 0.35, half),
            (radius - depth + 0.25, half),
            (radius - depth, half - 0.35),
            (radius - depth, 0.35 - half),
        ],
        [side, side, bright, bright, bright, side, side, of, of, of],
        "Y",
    )
    middle = lathe(
        [(hole, -hub_half), (hub - 0.3, -hub_half), (hub, 0.3 - hub_half), (hub + 0.15, 0), (hub, hub_half - 0.3)]
        + [(hub - 0.3, hub_half), (hole, hub_half)],
        [bright, side, of, of, side, bright, bright],
        "Y",
    )
    if machined and keyway:
        wide = S["key_l.width"] / 2
        cut(middle, box((-wide, -4, hole - 0.2), (wide, 4, hole + 0.2), "iron"))
    section = [(0.95 * math.cos(a), 0.5 * math.sin(a)) for a in (2 * math.pi * k / 20 for k in range(20))]
    things = [rim, middle]
    for count in range(spokes):
        a = 2 * math.pi * count / spokes
        path = []
        for step in range(9):
            share = step / 8
            reach = hub - 0.4 + (radius - depth - hub + 0.8) * share
            bend = a + 0.32 * math.sin(math.pi * share) * (1 if share < 2 else 0)
            path.append((reach * math.cos(bend), 0, reach * math.sin(bend)))
        things.append(pipe(path, 0.6, of, section=section))
    if weights:
        for a in (0.5, 0.5 + math.pi):
            x, z = 5.2 * math.cos(a), 5.2 * math.sin(a)
            things.append(rod(0.95, 0.7, 1.7, "black steel", "Y", (x, 0, z)))
            things.append(pipe([(x, 1.2, z), (0.55 * x, 1.3, 0.55 * z), (0.3 * x, 1.4, 0.3 * z)], 0.22, "steel"))
    return together(*things)


def cylinder(of="blue paint", bored=True, hopper=True, studs=False, skin=0.0):
    """The cylinder with its open hopper, along X; the head's joint face at the origin, the open end at -X."""
    inside, wall = BORE if bored else BORE - 0.12, S["cyl.wall"]
    bright, bore = ("iron", "bored iron") if bored else (of, of)
    outer = BORE + wall
    flange = S["stud_circle"] / 2 + 0.85
    barrel = lathe(
        [
            (inside, 0),
            (flange, 0),
            (flange, -1.0),
            (outer, -1.3),
            (outer, -CYLINDER + 0.8),
            (outer + 0.35, -CYLINDER + 0.7),
        ]
        + [(outer + 0.35, -CYLINDER), (inside + 0.12 if bored else inside, -CYLINDER), (inside, -CYLINDER + 0.14)],
        [bright, of, of, of, of, of, bright, bore, bore],
        "X",
    )
    for quarter in range(4):
        a = math.pi / 4 + quarter * math.pi / 2
        y, z = (S["stud_circle"] / 2 * f(a) for f in (math.cos, math.sin))
        if bored:
            cut(barrel, rod(S["cyl.studs"] / 2 * 0.86, -1.5, 1, "bored iron", "X", (0, y, z), 0))
    things = [barrel]
    if hopper:
        low, high, length, width = -3.9, 8.0, 8.6, 8.4
        middle = (-1.2 - length / 2, 0, 0)
        shell = prism(rounded(length, width, 1.1), low, high, of, at=middle, edge=0.1)
        cut(shell, prism(rounded(length - 0.8, width - 0.8, 0.8), low + 0.5, high + 1, "rusty iron", at=middle))
        cut(shell, rod(outer - 0.05, -20, 3, of, "X", edge=0))
        lip = prism(rounded(length + 0.7, width + 0.7, 1.3), high - 0.55, high + 0.06, of, at=middle, edge=0.15)
        cut(lip, prism(rounded(length - 0.8, width - 0.8, 0.8), high - 1, high + 1, of, at=middle))
        foot = prism(rounded(length + 1.6, width + 0.6, 0.9), low - 0.7, low + 0.1, of, at=middle, edge=0.12)
        things += [shell, lip, foot]
    if studs:
        for quarter in range(4):
            a = math.pi / 4 + quarter * math.pi / 2
            y, z = (S["stud_circle"] / 2 * f(a) for f in (math.cos, math.sin))
            things += stud(S["cyl.studs"] / 2, -0.4, 2.6, "X", (0, y, z))
    return together(*things)


def head(of="blue paint", valves=True, studs=True):
    """The joint face at the origin, the outside towards +X; the valves one above the other."""
    half, thick = S["stud_circle"] / 2 + 0.85, 2.3
    body = lathe(
        [(0, 0), (half, 0), (half, 0.9), (half - 0.5, 1.2), (half - 0.7, thick), (0, thick)], ["iron"] + [of] * 5, "X"
    )
    things = [body]
    for height, stem in ((1.15, "exvalve.stem"), (-1.15, "invalve.stem")):
        at = (thick, 0, height)
        things.append(lathe([(0, -0.2), (0.62, -0.2), (0.45, 1.0), (0.4, 1.1), (0, 1.1)], of, "X", at))
        if valves:
            radius = S.get(stem, 0.372) / 2
            things.append(rod(radius, 0.5, 3.0, "ground steel", "X", at))
            things.append(coil(0.42, 1.12, 2.5, 5.5, 0.07, "steel", "X", at))
            things.append(rod(0.55, 2.5, 2.68, "steel", "X", at))
    # Exhaust leaves on the far side, mixture comes in from below.
    things.append(rod(0.95, 1.5, half + 0.7, of, "Y", (1.25, 0, 0.9)))
    things.append(rod(0.85, -half - 0.6, -1.5, of, "Z", (1.25, 0, 0)))
    if studs:
        for quarter in range(4):
            a = math.pi / 4 + quarter * math.pi / 2
            y, z = (S["stud_circle"] / 2 * f(a) for f in (math.cos, math.sin))
            things += stud(S["cyl.studs"] / 2, 0.3, 2.0, "X", (0, y, z), nut=1.12)
    return together(*things)


def base(of="blue paint", raw=False):
    """The base with its two main bearings, its origin the crank's centre."""
    low, top, half = -9.6, -4.6, 4.9
    things = [
        prism([(-6.2, low), (FACE - 1, low), (FACE - 1.4, top), (-5.6, top)], -half, half, of, "Y", edge=0.35),
        box((-7.2, -half - 0.7, low - 0.5), (FACE, half + 0.7, low + 0.5), of, 0.2),
    ]
    # A prism along Y has its own Y pointing down: turn the side view the right way up.
    things[0].scale[1] = -1
    for side in (-1, 1):
        y = side * BEARINGS_AT
        things.append(box((-2.4, y - 0.95, top - 0.5), (2.4, y + 0.95, 0), of, 0.22))
        if raw:
            cut(things[-1], rod(1.2, -3, 3, of, "Y", (0, y, 0), 0))
            continue
        things.append(
            cut(box((-2.2, y - 0.9, 0.03), (2.2, y + 0.9, 1.45), of, 0.3), rod(1.15, -3, 3, of, "Y", (0, y, 0), 0))
        )
        cut(things[-2], rod(1.15, -3, 3, of, "Y", (0, y, 0), 0))
        bearing = S["main_l.bore"] / 2
        things.append(rod(1.15, -1.0, 1.0, "white metal", "Y", (0, y, 0), 0.03, bearing))
        for x in (-1.7, 1.7):
            things += stud(0.25, 1.2, 2.3, "Z", (x, y, 0), nut=1.42)
        things.append(
            lathe(
                [(0, 1.4), (0.35, 1.4), (0.35, 1.6), (0.5, 1.7), (0.5, 2.6), (0.42, 2.7), (0, 2.7)],
                "brass",
                at=(0, y, 0),
            )
        )
    return together(*things)


def skids():
    """Two timbers under the base, with cross pieces."""
    low = -9.6 - 0.5
    things = []
    for side in (-1, 1):
        y = side * 3.6
        things.append(box((-13, y - 1.4, GROUND + 0.02), (FACE + 7, y + 1.4, low), "oak", 0.12))
    for x in (-12, FACE + 5):
        things.append(rod(0.3, -5.6, 5.6, "black steel", "Y", (x, 0, GROUND + 2)))
        for side in (-1, 1):
            y0, y1 = sorted((side * 5.0, side * 5.4))
            things.append(hexagon(1.0, y0, y1, "black steel", "Y", (x, 0, GROUND + 2)))
    for x in (-6.6, FACE - 0.6):
        for side in (-1, 1):
            things += stud(S["skid.bolts"] / 2, -9.3, -8.2, "Z", (x, side * 5.1, 0), nut=-9.1)
    return together(*things)


def engine(turn=-35.0, of="blue paint", far_wheel=True, near_wheel=True, gear_side=True):
    """The whole engine as it is meant to stand, its crank turned so far from inner dead centre."""
    angle = math.radians(turn)
    pin_x, pin_z = THROW * math.cos(angle), -THROW * math.sin(angle)
    small_x = pin_x + math.sqrt(CENTRES**2 - pin_z**2)
    lean = math.degrees(math.atan2(-pin_z, small_x - pin_x))
    things = [base(of), skids(), crank(turn)]
    things.append(place(cylinder(of), at=(FACE, 0, 0)))
    things.append(place(head(of), at=(FACE, 0, 0)))
    things.append(place(connecting_rod(), at=(small_x, 0, 0), turn=(0, -lean * -1, 0)))
    things.append(place(piston(), at=(small_x + CROWN_TO_PIN, 0, 0), turn=(0, -90, 0)))
    if near_wheel:
        things.append(place(flywheel(of), at=(0, -WHEELS_AT - 1.4, 0), turn=(0, turn, 0)))
    if far_wheel:
        things.append(place(flywheel(of, weights=True), at=(0, WHEELS_AT + 1.4, 0), turn=(0, turn + 20, 0)))
    if gear_side:
        things.append(timing(turn))
    things += [mixer(), muffler(), oiler()]
    return together(*things)


def timing(turn=0.0):
    """Pinion, cam gear and the long push rod to the exhaust rocker, on the governor's side (+Y)."""
    y, cam_x = 5.2, 4.9
    things = [gear(24, 1.63, y - 0.3, y + 0.3, "iron", "Y")]
    things.append(gear(48, 3.26, y - 0.3, y + 0.3, "iron", "Y", (cam_x, 0, 0)))
    things.append(rod(0.55, -1.6, 0.7, "steel", "Y", (cam_x, y, 0)))
    things.append(box((cam_x - 0.9, y - 1.5, -5), (cam_x + 0.9, y - 0.5, 0.9), "blue paint", 0.2))
    end = FACE + 4.1
    things.append(rod(0.19, cam_x + 3.2, end, "steel", "X", (0, y + 0.1, 0.4)))
    things.append(box((cam_x + 2.9, y - 0.2, 0.05), (cam_x + 3.7, y + 0.4, 0.8), "steel", 0.08))
    for x in (FACE - 8.5,):
        things.append(box((x - 0.35, 3.9, -0.1), (x + 0.35, y + 0.5, 0.9), "cast iron", 0.1))
    # The rocker stands on the head; one end meets the push rod, the other the exhaust valve.
    things.append(box((FACE + 0.6, 3.0, -0.2), (FACE + 3.3, 3.7, 1.2), "cast iron", 0.15))
    things.append(
        pipe(
            [(end, y + 0.2, 0.4), (FACE + 4.0, 3.4, 0.7), (FACE + 5.5, 0.9, 1.1), (FACE + 5.5, -0.2, 1.15)],
            0.3,
            "steel",
        )
    )
    return together(*things)


def mixer():
    """Brass mixer under the head, its needle to the near side, a bent pipe up from the tank in the base."""
    x = FACE + 1.25
    at = (x, 0, 0)
    return together(
        rod(0.7, -6.2, -4.2, "brass", "Z", at),
        rod(1.0, -4.5, -4.2, "brass", "Z", at),
        rod(0.42, -2.0, 0, "brass", "Y", (x, 0, -5.3)),
        rod(0.12, -3.4, -1.8, "steel", "Y", (x, 0, -5.3)),
        rod(0.36, -3.6, -3.4, "brass", "Y", (x, 0, -5.3)),
        rod(0.85, -6.9, -6.2, "brass", "Z", at),
        pipe([(x, 0.6, -5.4), (x, 1.8, -5.4), (x - 0.4, 2.4, -7.4), (x - 2.4, 2.4, -8.0)], 0.14, "copper"),
    )


def muffler():
    x, z = FACE + 1.25, 0.9
    return together(
        pipe([(x, 4.5, z), (x, 6.4, z), (x, 7.0, z), (x, 7.0, z + 1), (x, 7.0, z + 5)], 0.62, "rusty iron"),
        lathe(
            [(0.6, 0), (1.6, 0.4), (1.8, 0.8), (1.8, 4.0), (1.6, 4.4), (0.7, 4.8)], "rusty iron", at=(x, 7.0, z + 4.2)
        ),
    )


def oiler():
    """Drip oiler over the open end of the cylinder."""
    at = (FACE - CYLINDER + 1.0, 0, BORE + S["cyl.wall"])
    return together(
        rod(0.2, -0.2, 0.9, "brass", at=at),
        rod(0.55, 0.9, 1.05, "brass", at=at),
        rod(0.5, 1.05, 2.2, "glass", at=at, hole=0.44),
        rod(0.43, 1.06, 1.7, "oil", at=at),
        rod(0.55, 2.2, 2.4, "brass", at=at),
        rod(0.12, 2.4, 2.8, "brass", at=at),
    )
