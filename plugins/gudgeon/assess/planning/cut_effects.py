"""What the last cut leaves behind and bends, and how long its tool lasts, where the operation has the figures for it."""

from gudgeon_calc.cutting import surface_speed
from gudgeon_calc.cutting_forces import (
    bend_between_centres,
    bend_overhung,
    cutting_force,
    feeds_printed,
    mean_roughness,
    peak_height,
    specific_forces,
    tool_life,
    tool_life_exponents,
    tool_life_ground,
)
from gudgeon_calc.units import quantity

from gudgeon.assess.calculations.ranges import note_of_range, outside_of
from gudgeon.assess.calculations.uncertain import exact
from gudgeon.assess.findings import FeatureFinding, Note, Pass
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.planning.settings import Settings

BAR = "carbon-steel"  # the club's material that a boring bar is taken to be of


def effects_of(
    context: MeasuredBuild, settings: Settings, ref: str, feature: FeatureFinding, passes: list[Pass]
) -> tuple[Note, ...]:
    """Notes of finish, bending and tool life of the last finishing pass; none for what no figure is written for."""
    last = next((cut for cut in reversed(passes) if cut.kind == "finish"), None)
    if last is None:
        return ()
    told = [*_finish(settings, last), *_bending(context, settings, ref, feature, last), *_life(settings, last)]
    return tuple(told)


def _finish(settings: Settings, last: Pass) -> list[Note]:
    nose = settings.said("nose")
    if nose is None or last.feed is None:
        return []
    feed, radius = quantity(last.feed, "mm"), quantity(float(nose), "mm")
    if last.feed > float(nose):
        return [Note(code="feed-over-nose", lengths={"feed": last.feed, "nose": float(nose)})]
    left = {"rough": mean_roughness(feed, radius).m, "ridges": peak_height(feed, radius).m}
    rougher, ground = _between(settings, "rougher")
    ridges = Note(code="ridges-left", lengths=left, words={"ground": ground}, ratios=rougher)
    return [ridges, *outside_of(mean_roughness, feed=last.feed, nose=float(nose))]


def _between(settings: Settings, name: str) -> tuple[dict[str, float], str]:
    """A range of the club's judgement by its ends, and the ground of both."""
    ends = [settings.judgement[f"{name}_{end}"] for end in ("least", "most")]
    low, high = sorted(float(end) for end in ends)
    return {f"{name}_least": low, f"{name}_most": high}, " and ".join(dict.fromkeys(end.ground for end in ends))


def _bending(context: MeasuredBuild, settings: Settings, ref: str, feature: FeatureFinding, last: Pass) -> list[Note]:
    """What bends, and how far on the diameter, as a range over sources, the share that presses across and the modulus."""
    overhang, centres, bar = (settings.said(name) for name in ("overhang", "centres", "bar"))
    figures = context.materials.figures(context.materials.of_part(ref))
    printed = specific_forces(figures.club)
    outside = feature.stock is not None and feature.stock.side == "external"
    across_shares, ground = _between(settings, "across")
    if last.feed is None or not printed or not (overhang or (outside and centres)) or not (outside or bar):
        return []
    depth, feed = quantity(last.on_diameter / 2, "mm"), quantity(last.feed, "mm")
    forces = [
        cutting_force(quantity(pressure, "MPa"), depth, feed).m
        for pressure in (min(least for least, _, _ in printed), max(most for _, most, _ in printed))
    ]
    if outside:
        if figures.stiffness is None:
            return []
        within = figures.stiffness_within or 0.0
        moduli = (figures.stiffness + within, figures.stiffness - within)
        diameter = last.size_after
    else:
        steel = context.shelf.materials.get(BAR)
        if steel is None or steel.stiffness is None:
            return []
        moduli, diameter = (float(steel.stiffness), float(steel.stiffness)), float(bar)
    bends: list[float] = []
    for force, share, modulus in zip(forces, across_shares.values(), moduli, strict=True):
        across, size, whole = quantity(force * share, "newton"), quantity(diameter, "mm"), quantity(0.0, "mm")
        if overhang:
            give = bend_overhung(across, quantity(float(overhang), "mm"), size, whole, quantity(modulus, "MPa"))
        else:
            length = float(centres)
            middle = quantity(length / 2, "mm")
            give = bend_between_centres(across, quantity(length, "mm"), middle, size, whole, quantity(modulus, "MPa"))
        bends.append(2 * give.m)
    outside_range = (
        outside_of(bend_overhung, overhang=float(overhang), diameter=diameter)
        if overhang
        else outside_of(bend_between_centres, length=float(centres), diameter=diameter)
    )
    if (feeds := feeds_printed(figures.club)) and (coarse_or_fine := note_of_range(feeds, {"feed": exact(last.feed)})):
        outside_range.append(coarse_or_fine)
    lengths: dict[str, float] = dict(zip(("least", "most"), bends, strict=True))
    pushes: dict[str, float] = dict(zip(("weakest", "strongest"), forces, strict=True))
    sources = {"sources": tuple(source for _, _, source in printed)}
    return [
        Note(
            code="cut-bends-work",
            lengths=lengths,
            forces=pushes,
            ratios=across_shares,
            words={"ground": ground},
            names=sources,
        )
        if outside
        else Note(
            code="cut-bends-bar",
            lengths=lengths,
            forces=pushes,
            ratios=across_shares,
            words={"ground": ground},
            names=sources,
        ),
        *outside_range,
    ]


def _life(settings: Settings, last: Pass) -> list[Note]:
    lasts, at = settings.said("tool_lasts"), settings.said("tool_lasted_at")
    exponents = tool_life_exponents(settings.said("tool_of") or "")
    if not lasts or at is None or not exponents or not last.speed:
        return []
    now = surface_speed(quantity(last.speed, "revolution/minute"), quantity(last.size_after, "mm"))
    known = quantity(float(at) * 60, "m/minute")
    lives = sorted(
        tool_life(quantity(float(lasts), "minute"), known, now, quantity(exponent, "")).m for exponent in exponents
    )
    apart = max(1.0, float(settings.judgement["life_apart"]))
    if lives[-1] > apart * float(lasts) or lives[0] < float(lasts) / apart:
        return [Note(code="tool-life-too-far", speeds={"at": known.m})]
    sources, grounds = tool_life_ground(settings.said("tool_of"))
    return [
        Note(
            code="tool-lasts",
            minutes={"least": lives[0], "most": lives[-1], "lasts": float(lasts)},
            speeds={"at": known.m},
            ratios={"least_exponent": exponents[0], "most_exponent": exponents[1]},
            names={"sources": sources},
            words={"ground": " and ".join(grounds)},
        )
    ]
