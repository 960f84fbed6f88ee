"""gudgeon limits: limits of a hole and a shaft from the clearance that is wanted."""

import click

from gudgeon.commands.terminal import TROUBLE, leave

OPEN = "-"  # written for an end that nothing is wanted of


def _length(context, parameter, text):
    from gudgeon_calc.units import NotAQuantity, read_quantity

    try:
        return None if text is None else float(read_quantity(text, "length"))
    except NotAQuantity as error:
        raise click.BadParameter(str(error), context, parameter) from None


def _wanted(context, parameter, text):
    return None if text == OPEN else _length(context, parameter, text)


@click.command(
    # An interference begins with a minus, and "-5 thou" is no call for -h.
    context_settings={"ignore_unknown_options": True, "help_option_names": ["--help"]},
    epilog="""\b
Examples:
  gudgeon limits "40 mm" "0.025 mm" "0.066 mm"                     neither half is made
  gudgeon limits "1.5 in" "3 thou" "7 thou" --basis shaft          from bought bar
  gudgeon limits "4 in" "17 thou" -                                the want has no most
  gudgeon limits "50 mm" "0.05 mm" "0.08 mm" --hole "50.012 mm" --within "0.004 mm"

\b
Exit status: 0 worked out, 1 nothing is left for the other half, 2 the command's words are off.""",
)
@click.argument("size", callback=_length)
@click.argument("least", callback=_wanted)
@click.argument("most", callback=_wanted)
@click.option(
    "--basis",
    type=click.Choice(["hole", "shaft"]),
    default="hole",
    show_default=True,
    help="Whose limit stands at the size.",
)
@click.option(
    "--share",
    type=click.FloatRange(0, 1, min_open=True, max_open=True),
    default=0.5,
    show_default=True,
    help="How much of the tolerance the hole takes.",
)
@click.option("--hole", callback=_length, help="The hole as it was read, if it is made first.")
@click.option("--shaft", callback=_length, help="The shaft as it was read, if it is made first.")
@click.option(
    "--within", callback=_length, help="How well the half that was read is known, plus or minus; without it as exact."
)
@click.option("--inches", is_flag=True, help="Show inches and thou; without it millimetres.")
def limits(size, least, most, basis, share, hole, shaft, within, inches):
    """Work out limits for a hole and a shaft of SIZE that give a clearance of LEAST to MOST; interference is below 0.

    A - stands for a least or a most that nobody wants. Limits are rounded inward, so that what is shown is never wider than
    what was worked out.

    The nearest classes of ISO 286 and ANSI B4.1 stand beside them, with how far their least and most clearance are off.
    """
    from gudgeon_calc.from_want import LimitsFromWant, NoTolerance, limits_from_want, limits_of_other, nearest_classes

    from gudgeon.wording import UnitFormatter

    if hole is not None and shaft is not None:
        raise click.UsageError("one half is made first: write --hole or --shaft, not both")
    if within is not None and within < 0:
        raise click.UsageError("--within must not be negative")
    if within is not None and hole is None and shaft is None:
        raise click.UsageError("--within goes with --hole or --shaft: it says how well the half that was read is known")
    fmt, exact = UnitFormatter("in" if inches else "mm"), within is None
    within = within or 0.0
    made, read = (hole, "hole") if hole is not None else (shaft, "shaft")
    try:
        if made is None:
            parts = limits_from_want(size, least, most, basis, share)
        else:
            parts = limits_of_other(made - within, made + within, least, most, read)
    except NoTolerance as lack:
        leave(TROUBLE, f"{lack}.")
    shown = {"hole": parts.hole, "shaft": parts.shaft}
    for name, limits_of_half in shown.items():
        if made is not None and name == read:
            doubt = "taken as exact: write --within" if exact else f"±{fmt.clearance_text(within)}"
            click.echo(f"{name} as read: {fmt.size_text(made)}, {doubt}")
            continue
        click.echo(f"{name}: {fmt.limits_text(*limits_of_half)}, tolerance {fmt.tolerance_text(*limits_of_half)}")
        shown[name] = fmt.shown_limits(*limits_of_half)
    low, high = LimitsFromWant(**shown).clearance
    together = fmt.range_text(low, high)
    if low is None and high is not None:
        together = f"at most {fmt.clearance_text(high)}"
    click.echo(f"together: {together} clearance")
    if least is None or most is None:
        click.echo("No standard class is the nearest: that takes a least and a most.")
        return
    for system, classes in zip(("ISO 286", "ANSI B4.1"), nearest_classes(size, least, most, basis), strict=True):
        click.echo(f"nearest of {system}:" + ("" if classes else " none is held for this size"))
        for near in classes:
            ends = f"{fmt.clearance_text(near.off_low, True)} at the least, {fmt.clearance_text(near.off_high, True)} at the most"
            grounds = ", ".join(dict.fromkeys((near.hole.basis, near.shaft.basis)))
            click.echo(f"  {near.name}: {fmt.range_text(*near.clearance)}; {ends}; {grounds}")
