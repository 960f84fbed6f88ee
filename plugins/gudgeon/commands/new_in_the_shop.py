"""gudgeon new gauge, new lathe and new fit: what a build has to know before a reading or a cut can be answered."""

import click

from gudgeon.commands.options import answer_to, asked_option, build_argument, find_build, open_project, root_option
from gudgeon.entry.shop import STEEL, listed, new_fit, new_gauge, new_lathe
from gudgeon.entry.starting import Missing
from gudgeon.records.fit_kinds import KINDS

EXIT = "\b\nExit status: 0 written, 1 something given does not do and nothing was written, 2 the command's words are off, 3 there is no such build."


def add_to(group: click.Group, write) -> None:
    """Put the commands into the group `new`. write(project, name, make): writes what make(build) gives."""

    @group.command(
        epilog="""\b
Example:
  gudgeon new gauge my-engine om45 --name "outside mic 4-5 in" --range "4 in, 5 in" --step "0.0001 in" --scale "0.0002 in" --use "0.0002 in"
"""
        + EXIT
    )
    @build_argument
    @click.argument("gauge")
    @asked_option("--name", prompt="What is it, such as: outside mic 4-5 in", help="What it is called.")
    @click.option("--range", "reach", help="Least and most that it can reach, such as 4 in, 5 in.")
    @asked_option(
        "--step", prompt="The smallest step that it shows, such as 0.0001 in", help="The smallest step it shows."
    )
    @click.option("--scale", help="U (k = 2) of its own scale or zero: what a check against a known size leaves open.")
    @click.option("--set-in", help="The id of the gauge that it is set in, in place of --scale.")
    @asked_option(
        "--use", prompt="How well it repeats in your hands (U, k = 2), such as 0.0002 in", help="U (k = 2) of use."
    )
    @click.option(
        "--cte",
        default=STEEL,
        show_default=True,
        help="How much it grows with heat; that of steel where nothing is said.",
    )
    @click.option(
        "--checked", default="never", show_default=True, help="The day it was checked, each session, or never."
    )
    @click.option("--due", help="The day of its next check, or each session.")
    @click.option("--contacts", type=click.Choice(["2", "3"]), help="Whether it bears at two points or at three.")
    @root_option
    def gauge(build, gauge, name, reach, step, scale, set_in, use, cte, checked, due, contacts, root):
        """Put GAUGE into the drawer of BUILD."""
        project = open_project(root)
        units = find_build(project, build).sound_head.units
        if scale is None and set_in is None:
            scale = answer_to(
                "How well its scale is known (U, k = 2), such as 0.0002 in; or set in GAUGE", "--scale or --set-in"
            )
            if scale.lower().startswith("set in "):
                scale, set_in = None, scale[7:].strip()

        def make(now):
            if due is None and checked != "never":
                raise Missing("nothing says when its next check is due. Say --due 2027-01-31, or --checked never.")
            return new_gauge(
                now,
                gauge,
                {
                    "name": name,
                    "range": listed(reach, units, "ends of its range") if reach else None,
                    "resolution": _with_unit(step, units),
                    "scale": _with_unit(scale, units) if scale else None,
                    "scale_from": set_in,
                    "use": _with_unit(use, units),
                    "contacts": contacts,
                    "cte": cte,
                    "checked": checked,
                    "due": due,
                },
            )

        write(project, build, make)

    @group.command(
        epilog="""\b
Example:
  gudgeon new lathe my-engine big --name "14 in lathe" --speeds "28, 45, 72, 118 rpm" --feeds "0.004, 0.006 in" --dial radius --division "0.001 in"
"""
        + EXIT
    )
    @build_argument
    @click.argument("lathe")
    @asked_option("--name", prompt="What is it, such as: 14 in lathe", help="What it is called.")
    @asked_option("--speeds", prompt="Spindle speeds in rpm, with commas", help="The spindle's ladder, in rpm.")
    @asked_option("--feeds", prompt="Feeds per revolution, with commas", help="The feed ladder, per revolution.")
    @asked_option(
        "--dial",
        prompt="Moved by one division, does the tool go that far in (radius), or does the work lose that much (diameter)",
        type=click.Choice(["radius", "diameter"]),
        help="What its dial reads: the radius (the tool's way) or the diameter.",
    )
    @asked_option("--division", prompt="One division of the dial, such as 0.001 in", help="One division of its dial.")
    @root_option
    def lathe(build, lathe, name, speeds, feeds, dial, division, root):
        """Write down LATHE of BUILD: its speeds, feeds and dial."""
        project = open_project(root)
        units = find_build(project, build).sound_head.units

        def make(now):
            said = {
                "name": name,
                "speeds": listed(_same_unit(speeds), "rpm", "spindle speeds"),
                "feeds": listed(_same_unit(feeds), units, "feeds"),
                "dial_reads": dial,
                "dial_division": _with_unit(division, units),
            }
            return new_lathe(now, lathe, said)

        write(project, build, make)

    @group.command(
        epilog="""\b
Example:
  gudgeon new fit my-engine F1 --kind skirt --hole cyl.bore --shaft piston.skirt --want "4.5, 6.5 thou" --because "as the last one ran"
"""
        + EXIT
    )
    @build_argument
    @click.argument("fit")
    @asked_option(
        "--kind", prompt="Kind of fit", type=click.Choice(sorted(KINDS)), help="Kind of fit.", show_choices=False
    )
    @click.option("--name", help="What it is called (default: the shaft in the hole).")
    @asked_option("--hole", prompt="The outer half, as part.feature", help="The outer half, as part.feature.")
    @asked_option("--shaft", prompt="The inner half, as part.feature", help="The inner half, as part.feature.")
    @click.option("--want", help="Least and most clearance wanted, such as 4.5, 6.5 thou.")
    @click.option("--class", "fit_class", help="A class of fit instead, such as 25 H7/g6.")
    @click.option("--rule", help="The rule of thumb that it goes by, by its id.")
    @click.option("--because", help="Why this range.")
    @root_option
    def fit(build, fit, kind, name, hole, shaft, want, fit_class, rule, because, root):
        """Write down FIT of BUILD: its two halves, and what is wanted of it."""
        project = open_project(root)
        records = find_build(project, build)
        if want is None and fit_class is None and rule is None:
            want = answer_to("Least and most clearance wanted, such as 4.5, 6.5 thou", "--want, --class or --rule")
        short_unit = "thou" if records.sound_head.units == "in" else "mm"

        def make(now):
            halves = [now.features[ref].name for ref in (shaft, hole) if ref in now.features]
            said = {
                "name": name or " in ".join([halves[0], halves[1].lower()] if len(halves) == 2 else halves) or fit,
                "kind": kind,
                "hole": hole,
                "shaft": shaft,
                "want": listed(_same_unit(want), short_unit, "ends of the range") if want else None,
                "class": fit_class,
                "rule": rule,
                "because": because,
            }
            return new_fit(now, fit, said)

        write(project, build, make)


def _with_unit(text: str, unit: str) -> str:
    """A length with its unit: that of the drawings where none was said."""
    plain = text.strip()
    return plain if any(letter.isalpha() for letter in plain) else f"{plain} {unit}"


def _same_unit(text: str) -> str:
    """A list whose unit stands once, at its end, with it behind every number: "28, 45 rpm" -> "28 rpm, 45 rpm"."""
    *numbers, last = (part.strip() for part in text.split(",")) if "," in text else text.split(" and ")
    unit = last.strip("0123456789./ -")
    return ", ".join(
        [*(one if any(sign.isalpha() for sign in one) else f"{one} {unit}".strip() for one in numbers), last]
    )
