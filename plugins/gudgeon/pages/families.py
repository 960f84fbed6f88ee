"""Part families: a page for each, made from its words and its starter folder, and the starter to take away."""

import io
import zipfile

from gudgeon.assess.findings import ClubFindings
from gudgeon.pages.page import Asset, Page, Renderer
from gudgeon.records.model import Build, Club

FIXED_DAY = (1980, 1, 1, 0, 0, 0)  # the same files give the same bytes


def pages(club: Club, renderer: Renderer, shared: ClubFindings) -> list[Page]:
    """The list of families, and a page a family."""
    shelf = club.knowledge
    made = [renderer.page("families/index.md", "families.md.j2", None, shelf=shelf, families=shelf.families)]
    for name, family in shelf.families.items():
        starter = club.starters.get(name)
        kinds = {mate.kind for mate in family.mates if mate.kind}
        made.append(
            renderer.page(
                f"families/{name}.md",
                "family.md.j2",
                shelf.edited_at("family", name, f"families/{name}/family.yaml"),
                family=family,
                shelf=shelf,
                part=starter.parts.get(name) if starter else None,
                operations=starter.operations if starter else {},
                problems=starter.problems if starter else [],
                rules=[rule for rule in shelf.rules.values() if rule.kind in kinds],
                cautions=[caution for caution in shelf.cautions.values() if name in caution.families],
                sums=[calculation for calculation in shared.sums if calculation.family == name],
            )
        )
    return made


def assets(club: Club) -> list[Asset]:
    """Each starter folder as one file to take away."""
    return [Asset(f"families/{name}-starter.zip", _packed(name, starter)) for name, starter in club.starters.items()]


def _packed(name: str, starter: Build) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as archive:
        for path in sorted(starter.folder.rglob("*.yaml")):
            if path.is_file() and not path.is_symlink():
                inside = path.relative_to(starter.folder).as_posix()
                archive.writestr(zipfile.ZipInfo(f"my-{name}/{inside}", FIXED_DAY), path.read_bytes())
    return packed.getvalue()
