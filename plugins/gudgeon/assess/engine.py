"""Leading figures of the engine, from its specs and its flywheel."""

from gudgeon_calc.engine import clearance_volume, mean_piston_speed, rim_mark, swept_volume
from gudgeon_calc.flywheels import hoop_stress, rim_speed, rim_stress_between_spokes
from gudgeon_calc.units import Quantity

from gudgeon.assess.context import Context
from gudgeon.assess.findings import EngineFinding


def engine_finding(context: Context) -> EngineFinding:
    """Volumes, piston speed, and rim speed and stress where a flywheel has its sizes."""
    engine = context.build.head.engine
    bore, stroke, speed = (
        Quantity(float(engine.bore), "mm"),
        Quantity(float(engine.stroke), "mm"),
        Quantity(float(engine.speed), "revolution/minute"),
    )
    swept = swept_volume(bore, stroke)
    finding = EngineFinding(
        swept_volume=swept.m,
        clearance_volume=clearance_volume(swept, Quantity(engine.compression_ratio, "")).m
        if engine.compression_ratio
        else None,
        mean_piston_speed=mean_piston_speed(stroke, speed).m,
    )
    wheel = next(
        (
            part_id
            for part_id, part in context.build.parts.items()
            if part.family == "flywheel" and {"rim_od", "rim_depth"} <= set(part.features)
        ),
        None,
    )
    if wheel is None:
        return finding
    part, figures = context.build.parts[wheel], context.materials.figures(context.build.parts[wheel].material)
    outside, outside_from = _size(context, f"{wheel}.rim_od")
    depth, depth_from = _size(context, f"{wheel}.rim_depth")
    if outside is None or depth is None:
        return finding
    velocity = rim_speed(Quantity(outside, "mm"), Quantity(depth, "mm"), speed)
    finding.rim_speed, finding.rim_mark_per_degree = (
        velocity.m,
        rim_mark(Quantity(outside, "mm"), Quantity(1, "degree")).m,
    )
    finding.rim_from = f"{part.name}: outside from the {outside_from}, depth from the {depth_from}"
    if figures.density:
        density = Quantity(figures.density, "kg/m**3")
        finding.rim_hoop = hoop_stress(density, velocity).m
        if part.spokes:
            radius = Quantity((outside - depth) / 2, "mm")
            finding.rim_stress = rim_stress_between_spokes(
                density, velocity, radius, Quantity(depth, "mm"), part.spokes
            ).m
            finding.rim_stress_double_speed = rim_stress_between_spokes(
                density, 2 * velocity, radius, Quantity(depth, "mm"), part.spokes
            ).m
    return finding


def _size(context: Context, ref: str) -> tuple[float | None, str]:
    found = context.places(ref)
    return (max(each.mm for each in found), "reading") if found else (context.build.features[ref].size, "spec")
