"""Bore maps: round plots, the bore unrolled, its profile along the axis, and the figures with who read them."""

from gudgeon.pages.drawn import bore_profile, bore_rounds, bore_unrolled
from gudgeon.pages.drawn.part_outline import zero_of_angle
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.pages.who_measured import who_measured
from gudgeon.records.parts import DIAMETERS
from gudgeon.wording import slug

SHADES = 5


def pages(view: View) -> list[Page]:
    """A page for each feature read at several stations and angles, and their index."""
    index = [
        view.page(
            "maps/index.md", "maps.md.j2", "build.yaml", maps=[view.findings.features[ref] for ref in view.mapped]
        )
    ]
    return [*index, *(view.guarded(f"maps/{slug(ref)}.md", _map_page, view, ref) for ref in view.mapped)]


def _none_first(value: float | None) -> tuple[bool, float]:
    return value is not None, value or 0.0


def _map_page(view: View, ref: str) -> Page:
    feature = view.findings.features[ref]
    cells = {(cell.station, cell.angle): cell for cell in feature.cells}
    planned = set(cells) | {tuple(pair) for pair in feature.missing_cells}
    stations = sorted({station for station, _ in planned}, key=_none_first)
    angles = sorted({angle for _, angle in planned}, key=_none_first)
    assert feature.form, "what is mapped has been read"
    least, most = feature.form.least.size, feature.form.greatest.size
    shade = {
        key: int((cell.size - least) / ((most - least) or 1.0) * (SHADES - 1) + 0.5) for key, cell in cells.items()
    }
    part, spec = ref.partition(".")[0], view.build.features[ref]
    zero = spec.plan.zero if spec.plan else None
    rows = [row for cell in feature.cells for row in cell.rows]
    return view.page(
        f"maps/{slug(ref)}.md",
        "bore_map.md.j2",
        f"parts/{part}.yaml",
        ref=ref,
        feature=feature,
        spec=spec,
        cells=cells,
        stations=stations,
        angles=angles,
        shade=shade,
        sections={section.station: section for section in feature.form.sections},
        rounds=bore_rounds.pictures(feature, stations, zero, view.fmt) if spec.kind in DIAMETERS else [],
        drawn_to=bore_rounds.scale_words(feature, view.fmt),
        zero_word=zero_of_angle(zero),
        unrolled=bore_unrolled.unrolled(feature, cells, stations, angles, shade, view.fmt),
        profile=bore_profile.profile(feature, view.fmt),
        measured=who_measured(view, rows),
        who=lambda station: who_measured(
            view, [row for cell in feature.cells if cell.station == station for row in cell.rows]
        ),
        rows=[view.rows[row] for row in dict.fromkeys(rows) if row in view.rows],
    )
