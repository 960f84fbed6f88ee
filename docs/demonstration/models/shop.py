"""The workshop round the parts: bench, lathe, measuring tools, foundry and yard. No maker's pattern is followed."""

import math

from kit import box, cut, hexagon, lathe, pipe, place, prism, rod, together


def bench(top=0.0, width=70.0, depth=26.0, wall=True, board=None):
    """Planks along X, their top at `top`, a wall behind."""
    things, plank = [], depth / 4
    for count in range(4):
        y = -depth * 0.45 + count * plank
        things.append(box((-width / 2, y + 0.02, top - 2), (width / 2, y + plank - 0.02, top), "bench", 0.05))
    if wall:
        things.append(box((-width, depth, top - 30), (width, depth + 2, top + 50), "plaster"))
        things.append(box((-width, depth * 0.6, top - 3), (width, depth, top - 2), "bench"))
        things += _shelf(depth, top)
    if board:
        things.append(box((-board / 2, -board * 0.36, top), (board / 2, board * 0.36, top + 0.7), "pine", 0.08))
    return things


def _shelf(depth, top):
    """A shelf on the wall, far enough to be out of focus."""
    z = top + 13
    y = depth - 3
    things = [box((-34, y - 3, z - 0.8), (34, y + 3, z), "oak")]
    kinds = ("brass", "cast iron", "blue paint", "pine", "black steel", "red paint", "pine", "iron")
    for count, kind in enumerate(kinds * 2):
        x, height = -31 + count * 4.2, 2.2 + (count * 7 % 5) * 0.9
        if count % 3:
            things.append(rod(1.2 + count % 2 * 0.4, z, z + height, kind, at=(x, y, 0)))
        else:
            things.append(box((x - 1.5, y - 1.5, z), (x + 1.5, y + 1.5, z + height), kind, 0.1))
    return things


def surface_plate(width=22.0, depth=14.0, thick=2.4):
    return together(box((-width / 2, -depth / 2, 0), (width / 2, depth / 2, thick), "granite", 0.12))


def vee_block(width=2.0, height=3.0, reach=3.4, rests=1.75):
    """A vee along Y; a bar of the diameter `rests` lies with its axis at the height that is handed back."""
    deep = 1.25
    outline = [(-reach / 2, 0), (reach / 2, 0), (reach / 2, height), (deep, height), (0.08, height - deep + 0.08)]
    outline += [(0.08, height - deep - 0.4), (-0.08, height - deep - 0.4), (-0.08, height - deep + 0.08)]
    outline += [(-deep, height), (-reach / 2, height)]
    # Seen along Y a prism's own Y points down.
    block = prism([(x, -z) for x, z in outline], -width / 2, width / 2, "ground steel", "Y")
    return together(block), height - deep + rests / 2 * math.sqrt(2)


def chuck(holds=2.0, radius=5.6, jaws=4, face=0.0, turn=45.0):
    """A chuck whose face lies at `face` on the X axis, its jaws closed on the radius `holds`."""
    things = [
        lathe(
            [(0.7, face - 4.6), (radius - 0.25, face - 4.6), (radius, face - 4.3), (radius, face - 0.3)]
            + [(radius - 0.25, face), (1.2, face), (1.2, face - 2), (0.7, face - 2)],
            ["black steel", "iron", "iron", "iron", "iron", "iron", "black steel", "black steel"],
            "X",
        )
    ]
    for count in range(jaws):
        a = math.radians(turn) + 2 * math.pi * count / jaws
        jaw = together(
            box((face - 0.2, -0.55, holds), (face + 1.0, 0.55, max(radius - 0.1, holds + 1.6)), "steel", 0.06),
            box((face + 0.95, -0.55, holds), (face + 2.0, 0.55, holds + 1.15), "steel", 0.06),
            box((face - 0.05, -0.75, 1.6), (face + 0.03, 0.75, radius - 0.2), "black steel"),
        )
        things.append(place(jaw, turn=(math.degrees(a), 0, 0)))
    return together(*things)


def lathe_bed(axis=0.0, left=-30.0, right=60.0):
    """Ways and drip tray below the spindle, and the headstock behind the chuck."""
    low = axis - 9.0
    things = [
        box((left, -4.6, low - 4), (right, -2.6, low), "iron", 0.1),
        box((left, 2.6, low - 4), (right, 4.6, low), "iron", 0.1),
        box((left, -5, low - 9), (right, 5, low - 3.2), "grey paint", 0.3),
        box((left, -14, low - 13), (right, 14, low - 12), "black steel"),
        box((left, -6, low), (-6.2, 6, axis + 7), "grey paint", 0.8),
        box((left * 2, 32, -60), (right * 2, 34, 60), "plaster"),
        box((left * 2, -60, low - 31), (right * 2, 33, low - 30), "concrete"),
    ]
    return together(*things)


def tool_post(at, reach=1.6, kind="round", lean=0.0, base=-9.0, shank=0.5, pointing=0.0):
    """A tool from the operator's side (-Y), its tip at `at`; post, top slide and saddle hang below it."""
    x, y, z = at
    half = shank / 2
    if kind == "parting":
        nose = [
            (-0.09, 0),
            (0.09, 0),
            (0.075, -0.9),
            (half, -1.0),
            (half, -5.4),
            (-half, -5.4),
            (-half, -1.0),
            (-0.075, -0.9),
        ]
    elif kind == "round":
        tip = [(0.12 * math.cos(a), 0.12 * math.sin(a) - 0.12) for a in (math.pi * k / 8 for k in range(9))]
        nose = [*tip, (-half, -0.75), (-half, -5.4), (half, -5.4), (half, -0.75)]
    else:
        nose = [(0, 0), (-0.25, -0.55), (-half, -0.9), (-half, -5.4), (half, -5.4), (half, -0.35)]
    bit = prism(nose, -shank, 0, "ground steel")
    back = -reach
    # The holder grips the shank behind the reach.
    holder = cut(
        box((-0.95, back - 3.4, -2.6), (0.95, back, 0.55), "black steel", 0.1),
        box((-half - 0.02, back - 4, -shank - 0.02), (half + 0.02, back + 1, 0.02), "black steel"),
    )
    screws = [hexagon(0.5, 0.5, 1.0, "black steel", at=(sx, back - sy, 0)) for sx in (0,) for sy in (0.8, 1.7, 2.6)]
    low = base - z
    post = [
        rod(0.5, -2.6, 0.9, "steel", at=(1.5, back - 1.7, 0)),
        box((-2.4, back - 6.5, -4.4), (2.4, back + 0.3, -2.6), "iron", 0.15),
        box((-3.0, back - 7.5, -6.4), (3.0, back + 2.6, -4.4), "grey paint", 0.25),
        box((-4.4, -9, low), (4.4, 8, -6.4), "grey paint", 0.3),
        rod(0.5, back - 9.0, back - 7.4, "steel", "Y", (0, 0, -5.4)),
        rod(1.5, back - 9.6, back - 9.0, "steel", "Y", (0, 0, -5.4)),
    ]
    return place(together(place(together(bit, holder, *screws), turn=(0, lean, pointing)), *post), at=at)


def tail_centre(tip, at=(0, 0, 0)):
    """A tailstock's centre pointing to -X, its tip at `tip`, with barrel and body behind."""
    return place(
        together(
            lathe([(0, tip), (0.55, tip + 0.95), (0.55, tip + 2.2), (0, tip + 2.2)], "ground steel", "X", closed=False),
            rod(1.1, tip + 1.9, tip + 7.5, "steel", "X"),
            rod(2.2, tip + 6.5, tip + 14, "grey paint", "X", edge=0.3),
            box((tip + 6.8, -3.6, -9), (tip + 13.6, 3.6, -0.6), "grey paint", 0.4),
        ),
        at=at,
    )


def chips(places, of="iron", radius=0.16, turns=3.0):
    """Short curls of swarf lying about; places are (x, y, z, turn)."""
    things = []
    for x, y, z, turn in places:
        path = []
        for step in range(int(turns * 10)):
            a = 2 * math.pi * step / 10
            path.append((0.05 * step / 1.6, radius * math.cos(a) * (1 - step / 90), radius + radius * math.sin(a)))
        things.append(place(together(pipe(path, 0.025, of, smooth=False)), at=(x, y, z), turn=(0, 0, turn)))
    return things


def micrometer(gap, size=1.0, deep=None):
    """An outside micrometer: it measures along X, its anvils' faces `gap` apart about the origin, its frame below."""
    half = gap / 2
    deep = deep or max(size * 0.62, 0.9)
    out = half + 0.45
    arc = [(-out, -0.0), (-out - 0.05, -0.35)]
    for step in range(9):
        a = math.pi + math.pi * step / 8
        arc.append(((out + 0.05) * math.cos(a), -0.4 + deep * math.sin(a)))
    arc += [(out + 0.05, -0.35), (out, 0)]
    thick = 0.20 + size * 0.035
    section = [
        (0.26 * math.cos(a) * (1 + size * 0.07), thick * 1.2 * math.sin(a))
        for a in (math.pi * k / 10 for k in range(20))
    ]
    frame = pipe([(x, 0, z) for x, z in arc], thick, "grey paint", section=section)
    spindle = 0.125
    return together(
        frame,
        rod(spindle, -half - 0.5, -half, "ground steel", "X", edge=0.01),
        rod(0.27, -half - 0.62, -half - 0.22, "steel", "X"),
        rod(spindle, half, half + 1.2, "ground steel", "X", edge=0.01),
        rod(0.30, half + 0.25, half + 0.8, "steel", "X"),
        rod(0.21, half + 0.8, half + 1.9, "ground steel", "X"),
        rod(0.29, half + 1.25, half + 2.5, "steel", "X"),
        lathe([(0.22, half + 1.12), (0.29, half + 1.25), (0.29, half + 1.3), (0.2, half + 1.3)], "ground steel", "X"),
        rod(0.2, half + 2.5, half + 2.85, "black steel", "X"),
    )


def dial(radius=1.1, hand=40.0):
    """A dial without figures, facing -Y, its middle at the origin."""
    things = [
        rod(radius, -0.12, 0.42, "black steel", "Y", edge=0.05),
        rod(radius * 0.9, -0.16, -0.1, "dial", "Y", edge=0),
        lathe([(radius * 0.9, -0.24), (radius, -0.24), (radius, -0.05), (radius * 0.9, -0.05)], "steel", "Y"),
        rod(0.07, -0.24, -0.1, "black steel", "Y"),
    ]
    for count in range(20):
        tick = box((-0.012, -0.175, radius * 0.7), (0.012, -0.155, radius * 0.84), "rubber")
        things.append(place(together(tick), turn=(0, count * 18, 0)))
    things.append(place(together(box((-0.02, -0.2, -0.2), (0.02, -0.18, radius * 0.74), "rubber")), turn=(0, hand, 0)))
    return together(*things)


def bore_gauge(across, length=9.0, hand=25.0):
    """A two-point bore gauge: it measures along X at the origin, its stem up along Z, its dial facing -Y."""
    half = across / 2
    return together(
        rod(0.34, -0.34, 1.2, "steel"),
        rod(0.3, -half + 0.5, half - 0.35, "steel", "X"),
        rod(0.16, -half + 0.02, -half + 0.6, "ground steel", "X", edge=0.08),
        rod(0.16, half - 0.5, half - 0.02, "ground steel", "X", edge=0.08),
        rod(0.24, 1.1, length, "ground steel"),
        rod(0.42, length - 2.6, length - 0.3, "oak"),
        rod(0.34, length - 0.2, length + 0.5, "black steel"),
        place(dial(1.15, hand), at=(0, 0, length + 1.45)),
    )


def feelers(count=6, spread=62.0, thick=0.02, length=3.4):
    """A fan of feeler strips with its screw at the origin, opening towards +X."""
    outline = [(-0.25, -0.24), (length - 0.2, -0.24), (length, 0), (length - 0.2, 0.24), (-0.25, 0.24)]
    things = [rod(0.22, -0.12, 0.06 + count * (thick + 0.03), "brass")]
    for number in range(count):
        z = number * (thick + 0.03)
        strip = together(prism(outline, z, z + thick, "ground steel"))
        things.append(place(strip, turn=(0, 0, -spread / 2 + spread * number / (count - 1))))
    for z in (-0.08, 0.02 + count * (thick + 0.03)):
        cheek = together(
            prism([(0.35, -0.32), (0.35, 0.32), (-3.4, 0.32), (-3.6, 0), (-3.4, -0.32)], z, z + 0.06, "black steel")
        )
        things.append(place(cheek, turn=(0, 0, 180 - 180)))
    return together(*things)


def sand_floor(top=0.0, reach=60.0, wall=True):
    things = [box((-reach, -reach, top - 2), (reach, reach, top), "sand")]
    for x, y, height, wide in ((-14, 10, 0.8, 9), (13, 12, 1.1, 8), (15, -9, 0.6, 7), (-17, -6, 0.5, 6)):
        things.append(
            lathe(
                [(wide, 0), (wide * 0.7, height * 0.4), (wide * 0.3, height * 0.9), (0, height)],
                "sand",
                at=(x, y, top),
                closed=False,
            )
        )
    if wall:
        things.append(box((-reach * 1.5, reach * 0.9, top - 2), (reach * 1.5, reach * 0.95, top + 60), "boards"))
    return things


def yard(top=0.0):
    """Grass before a boarded shed."""
    things = [
        box((-140, -140, top - 2), (140, 140, top), "grass"),
        box((-140, 42, top), (140, 43, top + 64), "black steel"),
    ]
    for count in range(26):
        x = -104 + count * 8
        things.append(box((x + 0.12, 40 + (count * 5 % 3) * 0.12, top), (x + 7.9, 41.5, top + 64), "boards", 0.06))
    return things


def batten(x0, x1, y, top=2.0, wide=2.6):
    return box((x0, y - wide / 2, top - 2.0), (x1, y + wide / 2, top), "oak", 0.1)


def floor(top=0.0, wall=46.0):
    return [
        box((-160, -160, top - 2), (160, 160, top), "concrete"),
        box((-160, wall, top), (160, wall + 2, top + 120), "plaster"),
    ]


def boring_bar(length=30.0, radius=0.75, cutter=0.0, sticks_out=2.1, along="X"):
    """A bar along X about the origin, its cutter at `cutter` pointing up."""
    bar = rod(radius, -length / 2, length / 2, "steel", "X", edge=0.08)
    bit = box((cutter - 0.19, -0.19, -radius - 0.15), (cutter + 0.19, 0.19, sticks_out - 0.22), "ground steel", 0.02)
    tip = prism([(-0.19, 0), (0.19, 0), (0.19, 0.1), (0.02, 0.22), (-0.1, 0.16)], -0.19, 0.19, "ground steel", "Y")
    tip.scale[1] = -1
    tip.location = (cutter, 0, sticks_out - 0.22)
    screw = rod(0.16, radius - 0.03, radius + 0.02, "black steel", "Y", (cutter, 0, 0))
    return together(bar, bit, tip, screw)


def reamer(radius, length=7.0, flutes=6):
    """A hand reamer along Z, its cutting end down at 0."""
    outline = []
    for count in range(flutes):
        for share, reach in ((-0.5, 0.74), (-0.2, 0.7), (-0.13, 1.0), (0.1, 0.99), (0.16, 0.86)):
            a = 2 * math.pi * (count + share) / flutes
            outline.append((reach * radius * math.cos(a), reach * radius * math.sin(a)))
    return together(
        prism(outline, 0, length * 0.5, "ground steel"),
        rod(radius * 1.12, length * 0.5, length * 0.5 + 0.3, "black steel"),
        rod(radius * 1.12, -0.28, 0.02, "black steel"),
        lathe([(0, -0.5), (radius * 0.45, -0.5), (radius * 0.6, 0.02), (0, 0.02)], "steel"),
        rod(radius * 0.82, length * 0.5 - 0.02, length * 0.9, "steel"),
        box((-radius * 0.55, -radius * 0.55, length * 0.9), (radius * 0.55, radius * 0.55, length), "steel", 0.03),
    )
