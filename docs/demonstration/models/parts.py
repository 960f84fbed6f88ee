"""Parts that both engines have, by their sizes (inches)."""

import math

from kit import box, cut, hexagon, lathe, prism, rod, stud, together


def connecting_rod(centres, small_end, big_end, bush_bore=None, cap=True, poured=True, of="steel"):
    """Small end at the origin, big end at -X by the centres; the eyes' axes along Y.

    `small_end` is eye, outside and width, `big_end` the bearing's bore and the crankpin's length.
    """
    eye, outside, width = small_end[0] / 2, small_end[1] / 2, small_end[2]
    bearing, crankpin_length = big_end[0] / 2, big_end[1]
    small = rod(outside, -width / 2, width / 2, of, "Y", edge=0.04, hole=eye)
    far = -centres
    half = outside * 0.62
    shank = prism(
        [(-0.5, -half), (-0.5, half), (far + 1.3, half * 1.35), (far + 1.3, -half * 1.35)],
        -0.42,
        0.42,
        of,
        "Y",
        edge=0.14,
    )
    cut(shank, rod(eye, -3, 3, of, "Y", edge=0), rod(1.3, -3, 3, of, "Y", (far, 0, 0), 0))
    for side in (-1, 1):
        y0, y1 = sorted((side * 0.26, side * 0.6))
        cut(shank, box((far + 2.6, y0, -half * 0.62), (-1.5, y1, half * 0.62), of, 0.1))
    wide = 0.5 * crankpin_length - 0.06
    upper = box((far + 0.02, -wide, -1.9), (far + 1.5, wide, 1.9), of, 0.12)
    lower = box((far - 1.25, -wide, -1.9), (far - 0.02, wide, 1.9), of, 0.12)
    things = [small, shank, upper]
    if cap:
        things.append(lower)
    else:
        lower.hide_render = True
    for block in (upper, lower):
        cut(block, rod(bearing + 0.16, -3, 3, of, "Y", (far, 0, 0), 0))
    if poured:
        shell = rod(bearing + 0.16, -wide - 0.03, wide + 0.03, "white metal", "Y", (far, 0, 0), 0.02, bearing)
        if not cap:
            cut(shell, box((far - 3, -3, -3), (far, 3, 3), "white metal"))
        things.append(shell)
    for side in (-1, 1):
        at = (far, 0, side * 1.45)
        things += stud(0.19, -1.75 if cap else -1.9, 1.7, "X", at)
        things.append(hexagon(0.6, 1.5, 1.75, "black steel", "X", at))
        if cap:
            things.append(hexagon(0.6, -1.55, -1.25, "black steel", "X", at))
    if bush_bore:
        bush_in = rod(eye, -width / 2, width / 2, "bronze", "Y", edge=0.02, hole=bush_bore / 2)
        things.append(bush_in)
    return together(*things)


def ring(bore, wall, width, gap, free=False, of="iron"):
    """A ring in the plane of X and Y, its gap towards +X, as it lies free or closed in its bore (a radius)."""
    radius = bore + (gap / (2 * math.pi) if free else 0)
    half = gap / 2 / radius
    turn = [half + (2 * math.pi - 2 * half) * k / 120 for k in range(121)]
    outline = [(radius * math.cos(a), radius * math.sin(a)) for a in turn]
    outline += [((radius - wall) * math.cos(a), (radius - wall) * math.sin(a)) for a in reversed(turn)]
    return together(prism(outline, 0, width, of))


def valve(stem, length=6.2, head=0.78):
    """Head down at height 0, stem up."""
    return together(
        lathe(
            [(0, 0), (head - 0.08, 0), (head, 0.09), (head - 0.12, 0.2), (stem + 0.16, 0.42), (stem, 0.8)]
            + [(stem, length - 0.05), (stem - 0.05, length), (0, length)],
            ["steel", "steel", "ground steel", "steel", "steel", "ground steel", "steel", "steel", "steel"],
        )
    )
