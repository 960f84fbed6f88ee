"""Each ring in its own groove: side and back clearance from its own readings, nothing borrowed."""

from typing import Any

from gudgeon_calc.rings import back_clearance, side_clearance
from gudgeon_calc.units import quantity
from pint.facets.plain import PlainQuantity

from gudgeon.assess.findings import Note, RingFinding
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import expanded
from gudgeon.assess.measuring.worst_places import End
from gudgeon.assess.steps import first


def ring_findings(context: MeasuredBuild) -> list[RingFinding]:
    """Side and back clearance ring by ring."""
    by_part = context.steps.of_each(
        "ring", context.build.parts, lambda part_id, _: _ring(context, part_id), only=lambda part: part.family == "ring"
    )
    return list(by_part.values())


def _ring(context: MeasuredBuild, ring: str) -> RingFinding:
    features = context.build.features
    groove = first(features, lambda feature: f"{ring}.width" in feature.mates)
    root = first(features, lambda feature: f"{ring}.wall" in feature.mates)
    bore = first(
        features, lambda feature: feature.kind == "bore" and (ring in feature.mates or f"{ring}.gap" in feature.mates)
    )
    gap = features.get(f"{ring}.gap")
    bore = bore or (next((ref for ref in gap.mates if ref in features), None) if gap else None)
    wanted = {"groove": groove, "width": f"{ring}.width", "wall": f"{ring}.wall", "root": root, "bore": bore}
    places = {name: context.local_sizes(ref) if ref in features else [] for name, ref in wanted.items()}
    missing = [
        Note(code="to-be-read", subject=ref)
        if ref
        else Note(code="no-mate", subject="groove root" if name == "root" else name, names={"ring": (ring,)})
        for name, ref in wanted.items()
        if not places[name]
    ]

    def worst(name: str, end: End) -> PlainQuantity[Any]:
        ref = wanted[name]
        assert ref, "what was read has a name"
        return quantity(context.worst(ref).at(end).size, "mm")

    side = back = None
    if places["groove"] and places["width"]:
        side = side_clearance(worst("groove", "least"), worst("width", "greatest")).m
    if places["bore"] and places["root"] and places["wall"]:
        back = back_clearance(worst("bore", "least"), worst("root", "greatest"), worst("wall", "greatest")).m
    return RingFinding(
        ring=ring,
        groove=groove,
        side_clearance=side.nominal_value if side is not None else None,
        side_expanded=expanded(side) if side is not None else None,
        back_clearance=back.nominal_value if back is not None else None,
        back_expanded=expanded(back) if back is not None else None,
        missing=tuple(missing),
    )
