"""What a cut leaves behind, asks for and bends: finish, force, power, deflection, the tool's life."""

import math

from gudgeon_calc.published import table
from gudgeon_calc.units import Number, formula
from gudgeon_calc.validity import ValidRange, holds_for


@holds_for(
    ValidRange(
        "the feed over the nose",
        "feed",
        "the flats of the tool cut besides its round, and leave other ridges",
        "derived here",
        most=2.0,
        over="nose",
    )
)
@formula("mm", source="derived", feed="mm", nose="mm")
def peak_height(feed: Number, nose: Number) -> Number:
    """Height of the ridges that a round-nosed tool leaves: r − √(r² − f²/4), nearly f²/(8·r).

    feed [mm]: per revolution. nose [mm]: radius of the tool's nose. Returns [mm]. Source: derived here: arcs of the nose, one feed
    apart. Valid: exact as geometry while the cut stays on the round; a torn or built-up surface is rougher.
    """
    return nose - math.sqrt(nose**2 - feed**2 / 4)


@holds_for(
    ValidRange(
        "the feed over the nose",
        "feed",
        "the parabola lies off the arc, and the roughness reads up to 5 percent low at a feed of one nose",
        "derived here",
        most=0.5,
        over="nose",
    )
)
@formula("mm", source="derived", feed="mm", nose="mm")
def mean_roughness(feed: Number, nose: Number) -> Number:
    """Arithmetic mean roughness Ra of the same ridges: f²/(18·√3·r), that is f²/(31.18·r); handbooks round it to f²/(32·r).

    feed [mm]: per revolution. nose [mm]: radius of the tool's nose. Returns [mm]. Source: derived here: a parabola of height h has its
    mean line at h/3 and its mean departure from it 4·h/(9·√3), with h = f²/(8·r). Valid: exact for the parabola; the least that the
    tool can leave, real cuts are rougher.
    """
    return feed**2 / (18 * math.sqrt(3) * nose)


@formula("newton", source="derived", pressure="MPa", depth="mm", feed="mm")
def cutting_force(pressure: Number, depth: Number, feed: Number) -> Number:
    """Main cutting force in turning, downward on the tool: k·a·f.

    pressure [MPa]: specific cutting force of the metal, a range; it rises as the feed falls. depth [mm]: per side. feed [mm]: per
    revolution. Returns [newton]. Source: derived from what k means. Valid: sharp tool, a feed that k is printed for (`feeds_printed`).
    """
    return pressure * depth * feed


@holds_for(
    ValidRange(
        "the length over the diameter",
        "length",
        "shear adds over 6 percent to the bending, and centres and spindle give more than that",
        "derived here",
        least=6.0,
        over="diameter",
    )
)
@formula("mm", source="derived", force="newton", length="mm", place="mm", diameter="mm", bore="mm", stiffness="MPa")
def bend_between_centres(
    force: Number, length: Number, place: Number, diameter: Number, bore: Number, stiffness: Number
) -> Number:
    """How far work between centres gives way under the tool: F·a²·(L − a)²/(3·E·I·L); in the middle F·L³/(48·E·I).

    force [newton]: across the work. length [mm]: between centres. place [mm]: a, of the tool from one centre. diameter, bore [mm]: of the work, bore nought
    when solid. stiffness [MPa]: Young's modulus. Returns [mm], of the axis; the diameter grows by twice the part toward the tool.
    Source: derived: a beam on two supports. Valid: long work of one section; the give of centres and spindle comes on top.
    """
    return force * place**2 * (length - place) ** 2 / (3 * stiffness * _second_moment(diameter, bore) * length)


@holds_for(
    ValidRange(
        "the overhang over the diameter",
        "overhang",
        "shear adds over 6 percent to the bending, and chuck and slides give more than that",
        "derived here",
        least=3.0,
        over="diameter",
    )
)
@formula("mm", source="derived", force="newton", overhang="mm", diameter="mm", bore="mm", stiffness="MPa")
def bend_overhung(force: Number, overhang: Number, diameter: Number, bore: Number, stiffness: Number) -> Number:
    """How far work in the chuck, or a boring bar, gives way at its free end: F·L³/(3·E·I).

    force [newton]: across it. overhang [mm]: from the jaws or the clamp. diameter, bore [mm]: of it, bore nought when solid. stiffness [MPa]:
    Young's modulus. Returns [mm], of the axis. Source: derived: a beam held at one end. Valid: one section; the give of chuck
    and slides comes on top and is often the larger.
    """
    return force * overhang**3 / (3 * stiffness * _second_moment(diameter, bore))


def _second_moment(diameter: Number, bore: Number) -> Number:
    return math.pi / 64 * (diameter**4 - bore**4)


@formula("minute", source="derived", life="minute", speed="m/minute", other="m/minute", exponent="")
def tool_life(life: Number, speed: Number, other: Number, exponent: Number) -> Number:
    """Tool life at another speed by Taylor: T·(V/V2)^(1/n).

    life [minute]: at speed [m/minute]. other [m/minute]: the other speed. exponent []: n, of the table. Returns [minute].
    Source: derived from V·T^n = C. Valid: one tool and metal, speeds not far apart.
    """
    return life * (speed / other) ** (1 / exponent)


def tool_life_exponents(tool: str) -> tuple[float, float] | None:
    """Taylor's exponent for the metal of a tool: (least, most).

    tool: high-speed steel or carbide. None where none is held. Source: named row by row. Valid: turning in general.
    """
    ends = [float(row[end]) for row in table("tool-life") if row["tool"] == tool for end in ("least", "most")]
    return (min(ends), max(ends)) if ends else None


def tool_life_ground(tool: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The sources that print the exponent for the metal of a tool, and on what grounds their rows stand."""
    rows = [row for row in table("tool-life") if row["tool"] == tool]
    return tuple(dict.fromkeys(row["source"] for row in rows)), tuple(dict.fromkeys(row["basis"] for row in rows))


def feeds_printed(metal: str) -> ValidRange | None:
    """The feeds that forces are printed for, of those sources that say it; None where none does.

    metal: the club's. Source: named row by row.
    """
    rows = [row for row in table("cutting-forces") if row["metal"] == metal and row["least_feed_mm"]]
    if not rows:
        return None
    return ValidRange(
        "the feed",
        "feed",
        "the finer the feed, the more force each square millimetre of the cut asks for",
        ", ".join(dict.fromkeys(row["source"] for row in rows)),
        least=min(float(row["least_feed_mm"]) for row in rows),
        most=max(float(row["most_feed_mm"]) for row in rows),
        unit="mm",
    )


def specific_forces(metal: str) -> list[tuple[float, float, str]]:
    """What each source prints for a metal: (least, most in MPa, source).

    metal: the club's. Empty where none is held. Source: named row by row. Valid: turning with a sharp tool of about no rake.
    """
    return [
        (float(row["least_mpa"]), float(row["most_mpa"]), row["source"])
        for row in table("cutting-forces")
        if row["metal"] == metal
    ]
