"""Keys: their size and seats by the standard of the build's unit, and what they carry."""

from gudgeon_calc.keys import (
    bearing_height,
    bearing_height_metric,
    key_crushing,
    key_height_metric,
    key_shear,
    key_width,
    key_width_metric,
    seat_in_hub,
    seat_in_hub_metric,
    seat_in_hub_taper,
    seat_in_shaft,
    seat_in_shaft_metric,
)

from gudgeon.assess.calculations.model import Calculation, feature, figure, outcome
from gudgeon.records.parts import Part

SHAFT = {"shaft": feature("d", "bore", "nominal", "flywheel")}
CHORD = "[{shaft} − √({shaft}² − width²)]/2"
CARRIES = {
    "torque": figure("T", "key_torque"),
    "shaft": feature("d", "bore", "least", "flywheel"),
    "length": feature("l", "len", "least"),
}


def tapered(part: Part) -> bool:
    """Whether a key is tapered."""
    return "taper" in part.features


def parallel(part: Part) -> bool:
    """Whether a key is not tapered."""
    return not tapered(part)


CALCULATIONS = (
    *(
        Calculation(id, "key", gives, kind, formula, SHAFT, shown, only=only, drawn=drawn)
        for id, drawn, gives, kind, formula, shown, only in (
            (
                "key-width",
                "in",
                "Width of key that the standard gives for the seat",
                "size",
                key_width,
                "width by the table for {shaft}",
                None,
            ),
            (
                "key-seat-shaft",
                "in",
                "Bottom of the shaft's keyseat to the shaft's other side",
                "size",
                seat_in_shaft,
                "{shaft} − " + CHORD + " − width/2, width by the table for {shaft}",
                None,
            ),
            (
                "key-seat-hub",
                "in",
                "Bottom of the hub's keyseat to the bore's other side",
                "size",
                seat_in_hub,
                "{shaft} − " + CHORD + " + width/2 + 0.005 in, width by the table for {shaft}",
                parallel,
            ),
            (
                "key-seat-hub-taper",
                "in",
                "Bottom of the hub's keyseat, at its deep end, to the bore's other side",
                "size",
                seat_in_hub_taper,
                "{shaft} − " + CHORD + " + width/2 − 0.020 in, width by the table for {shaft}",
                tapered,
            ),
            (
                "key-side",
                "in",
                "Height on which a key of the table's size bears in the hub",
                "length",
                bearing_height,
                "(width by the table for {shaft}) ÷ 2",
                None,
            ),
            (
                "key-width-metric",
                "mm",
                "Width of key that the standard gives for the seat",
                "size",
                key_width_metric,
                "width by the table for {shaft}",
                None,
            ),
            (
                "key-height-metric",
                "mm",
                "Height of a parallel key that the standard gives for the seat",
                "size",
                key_height_metric,
                "height by the table for {shaft}",
                parallel,
            ),
            (
                "key-seat-shaft-metric",
                "mm",
                "Bottom of the shaft's keyseat to the shaft's other side",
                "size",
                seat_in_shaft_metric,
                "{shaft} − (depth in the shaft by the table for {shaft})",
                parallel,
            ),
            (
                "key-seat-hub-metric",
                "mm",
                "Bottom of the hub's keyseat to the bore's other side",
                "size",
                seat_in_hub_metric,
                "{shaft} + (depth in the hub by the table for {shaft})",
                parallel,
            ),
            (
                "key-side-metric",
                "mm",
                "Height on which a key of the table's size bears in the hub",
                "length",
                bearing_height_metric,
                "(height by the table for {shaft}) − (depth in the shaft by the table for {shaft})",
                parallel,
            ),
        )
    ),
    Calculation(
        "key-shear",
        "key",
        "Shear stress in the key",
        "pressure",
        key_shear,
        {**CARRIES, "width": feature("b", "width", "least")},
        "2 × {torque} ÷ ({shaft} × {width} × {length})",
    ),
    *(
        Calculation(
            f"key-crushing{of}",
            "key",
            "Pressure on the key's side",
            "pressure",
            key_crushing,
            {**CARRIES, "height": outcome("h", f"key-side{of}")},
            "2 × {torque} ÷ ({shaft} × {height} × {length})",
            only=only,
            drawn=drawn,
        )
        for of, drawn, only in (("", "in", None), ("-metric", "mm", parallel))
    ),
)
