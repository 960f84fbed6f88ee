"""What the tables of a data package tell of parts: material, what was done to them, and which diameter they belong to.

A question over the packages of many builds, such as "who has made a ring of 5 to 7 in", needs these beside the sizes.
"""

from collections import defaultdict
from collections.abc import Mapping

from gudgeon.assess.findings import BuildFindings
from gudgeon.records.knowledge import ClubMaterial
from gudgeon.records.model import Build
from gudgeon.records.parts import DIAMETERS

PARTS = "parts"
PART_FIELDS = [
    {"name": "id", "type": "string", "description": "Id of the part."},
    {"name": "name", "type": "string", "description": "What its builder calls it."},
    {"name": "family", "type": "string", "description": "Part family."},
    {"name": "material", "type": "string", "description": "Id of its material, as the part's file has it."},
    {"name": "material_name", "type": "string", "description": "Name of that material."},
    {"name": "like", "type": "string", "description": "Id of the material of the shelf that it stands for."},
    {"name": "made_from", "type": "string", "description": "Pattern, heat, stock."},
    {"name": "state", "type": "string", "description": "How far the part is, in the builder's words."},
    {
        "name": "goes_with",
        "type": "number",
        "description": "Of a part without a bore or an outside of its own: the greatest intended diameter of what it meets, "
        "mm; of a ring, the bore that it runs in.",
    },
    {"name": "done", "type": "string", "description": "The operations on it that are finished, in order."},
    {"name": "file", "type": "string", "description": "File of the record, from the project's root."},
    {"name": "line", "type": "integer", "description": "Line of the record."},
]
# Table of findings -> the columns that it has besides, and the field of a line that they are worked out from.
MORE = {
    "features": (
        "ref",
        [
            {"name": "part", "type": "string", "description": "Id of its part."},
            {
                "name": "nominal",
                "type": "number",
                "description": "Intended size: mm of a length, degrees, rpm, cm³ or N of other kinds; of a taper length over length.",
            },
        ],
    ),
    "outcomes": (
        "about",
        [
            {
                "name": "parts",
                "type": "string",
                "description": "Ids of the parts that it is about, a space between them.",
            }
        ],
    ),
}


def part_lines(
    build: Build, findings: BuildFindings, materials: Mapping[str, ClubMaterial]
) -> list[dict[str, str | int | float | None]]:
    """A line for each part. materials: those of the shelf."""
    done: dict[str, list[str]] = defaultdict(list)
    for operation in findings.operations.values():
        if operation.state == "done":
            done[operation.part].append(operation.does)
    meets = _meets(build)
    lines: list[dict[str, str | int | float | None]] = []
    for part_id, part in build.parts.items():
        where = part.where()
        material = build.materials.get(part.material) or materials.get(part.material)
        lines.append(
            {
                "id": part_id,
                "name": part.name,
                "family": part.family,
                "material": part.material,
                "material_name": material.name if material else None,
                "like": build.club_material(part.material),
                "made_from": part.made_from,
                "state": part.state,
                "goes_with": _goes_with(build, part_id, meets),
                "done": "; ".join(done[part_id]) or None,
                "file": where.file,
                "line": where.line,
            }
        )
    return lines


def more_cells(build: Build, table: str, name: str) -> dict[str, str | float | None]:
    """The cells of the columns that a table has besides. name: of what the line is about: a feature, or a fit or part too."""
    fit = build.fits.get(name)
    parts = dict.fromkeys(ref.partition(".")[0] for ref in (fit.halves if fit else [name]))
    if table == "outcomes":
        return {"parts": " ".join(parts)}
    return {"part": " ".join(parts), "nominal": build.features[name].size}


def _goes_with(build: Build, part_id: str, meets: Mapping[str, set[str]]) -> float | None:
    own = build.parts[part_id].features
    if any(feature.kind in DIAMETERS for feature in own.values()):
        return None
    met = [build.features[other] for name in own for other in meets[f"{part_id}.{name}"]]
    sizes = [feature.size for feature in met if feature.kind in DIAMETERS and feature.size is not None]
    return max(sizes, default=None)


def _meets(build: Build) -> dict[str, set[str]]:
    """part.feature -> the features of other parts that it meets, as fits and mates name them."""
    meets: dict[str, set[str]] = defaultdict(set)
    pairs = [(ref, mate) for ref, feature in build.features.items() for mate in feature.mates]
    pairs += [(one, other) for fit in build.fits.values() for one in fit.halves for other in fit.halves]
    for one, other in pairs:
        known = one in build.features and other in build.features
        if known and one.partition(".")[0] != other.partition(".")[0]:
            meets[one].add(other)
            meets[other].add(one)
    return meets
