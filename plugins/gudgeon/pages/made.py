"""Who has made one: every part of every build by family and size, what it is of, how it was made and read, and what went wrong."""

from dataclasses import dataclass

from gudgeon.assess.findings import SuspectedMistake
from gudgeon.pages.page import Asset, Page, Renderer, asset_text
from gudgeon.pages.view import View
from gudgeon.records.parts import DIAMETERS, Part
from gudgeon.records.work_kinds import kinds_of_work

PAGE = "made.md"
SCRIPT = "assets/made.js"


@dataclass(frozen=True)
class Made:
    """A part that somebody has made or is making. mm: its leading diameter, None where nothing says it."""

    view: View
    part: str
    of_size: str
    mm: float | None
    as_read: bool
    metal: str
    processes: tuple[str, ...]
    gauges: tuple[str, ...]
    outside: tuple[str, ...]
    reworked: tuple[tuple[str, str], ...]
    slips: tuple[SuspectedMistake, ...]

    @property
    def record(self) -> Part:
        """What the records say of it."""
        return self.view.build.parts[self.part]


def page(renderer: Renderer, views: list[View]) -> Page:
    """The list, a fold a family; a script turns it into one that is asked."""
    families: dict[str, list[Made]] = {}
    for view in views:
        for part in view.build.parts:
            families.setdefault(view.build.parts[part].family, []).append(_made(view, part))
    names = {name: view.family_name(name) for view in views for name in families}
    for several in families.values():
        several.sort(key=lambda made: (made.mm is None, made.mm or 0, made.view.build.id, made.part))
    everything = [made for several in families.values() for made in several]
    return renderer.page(
        PAGE,
        "made.md.j2",
        None,
        families=dict(sorted(families.items(), key=lambda named: names[named[0]])),
        names=names,
        metals=sorted({made.metal for made in everything}),
        processes=sorted({process for made in everything for process in made.processes}),
        gauges=sorted({gauge for made in everything for gauge in made.gauges}),
        script=SCRIPT,
    )


def assets() -> list[Asset]:
    """The script."""
    return [Asset(SCRIPT, asset_text("made.js").encode())]


def _made(view: View, part_id: str) -> Made:
    build, part = view.build, view.build.parts[part_id]
    of_size, mm, as_read = _leading_size(view, part_id)
    operations = {name: op for name, op in build.operations.items() if op.part == part_id}
    features = view.features_of_part[part_id].values()
    return Made(
        view,
        part_id,
        of_size,
        mm,
        as_read,
        view.metal_name(part.material),
        tuple(dict.fromkeys(kind for op in operations.values() for kind in kinds_of_work(op))),
        tuple(dict.fromkeys(view.instrument_name(row.gauge) for row in view.rows_of_part.get(part_id, ()))),
        tuple(feature.name for feature in features if feature.state in ("out", "reads out")),
        tuple((name, op.rework) for name, op in operations.items() if op.rework),
        tuple(view.mistakes_of(part_id)),
    )


def _leading_size(view: View, part_id: str) -> tuple[str, float | None, bool]:
    """The largest diameter of a part, or where it has none of what it goes into, as a ring in its bore."""
    build = view.build
    own = [f"{part_id}.{name}" for name in build.parts[part_id].features]
    mates = [mate for ref in own for mate in build.features[ref].mates if mate in build.features]
    for refs in (own, mates):
        sizes = []
        for ref in refs:
            feature = build.features[ref]
            if feature.kind not in DIAMETERS:
                continue
            read = view.findings.features[ref].size
            mm = read if read is not None else feature.size
            if mm is not None:
                sizes.append((mm, feature.name if refs is own else f"in the {view.spoken(ref)}", read is not None))
        if sizes:
            mm, name, as_read = max(sizes)
            return name, mm, as_read
    return "", None, False
