"""Bore maps: station by angle with numbers, side profile, form."""

from gudgeon.pages import drawings
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
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
    part = ref.partition(".")[0]
    return view.page(
        f"maps/{slug(ref)}.md",
        "bore_map.md.j2",
        f"parts/{part}.yaml",
        ref=ref,
        feature=feature,
        spec=view.build.features[ref],
        cells=cells,
        stations=stations,
        angles=angles,
        shade=shade,
        sections={section.station: section for section in feature.form.sections},
        profile=drawings.profile(feature, view.fmt),
    )
