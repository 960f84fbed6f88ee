"""Shop sheets: one side of paper for an operation or a part, to lie beside the lathe and be pencilled on."""

import io
import re

import segno
from markupsafe import Markup

from gudgeon.assess.findings import Calculation, CutPlan
from gudgeon.pages import sheet_work
from gudgeon.pages.drawn.measuring_places import where_to_measure
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.wording import slug

# What one side of paper holds in large type; what is over it is counted, never dropped without a word.
MOST_STATIONS, MOST_ANGLES, MOST_CAUTIONS, MOST_PASSES, MOST_PLANS = 5, 4, 3, 6, 2
ROWS = 25  # of tables, with their headings, beside the fixed lines
TAPER_SUMS = ("taper-rest-angle", "taper-setover")  # how a lathe is set for the taper of figures.yaml
TAPER_CAUTION = "taper-turning"
WORDS = 4  # rows that the words of a second cut take


def pages(view: View) -> list[Page]:
    """A sheet for each operation still to do, a sheet for each part, and their index."""
    still = [operation for operation in view.findings.operations.values() if operation.state != "done"]
    made = [view.page("sheets/index.md", "sheets.md.j2", "operations.yaml", still=still)]
    for operation in still:
        op = view.build.operations[operation.id]
        plans = [plan for plan in view.findings.cut_plans if plan.operation == operation.id]
        changed = set(view.build.spelled_out(op.changes))
        to_read = sheet_work.refs_to_read(view, op)
        refs = to_read if to_read is not None else [ref for ref in view.findings.features if ref in changed]
        path = f"sheets/{slug(operation.id)}.md"
        made.append(view.guarded(path, _sheet, view, path, operation.does, op.part, refs, plans, operation))
    for part_id, part in view.build.parts.items():
        plans = [plan for plan in view.findings.cut_plans if plan.feature.partition(".")[0] == part_id]
        refs = list(view.features_of_part[part_id])
        path = f"sheets/part-{slug(part_id)}.md"
        made.append(view.guarded(path, _sheet, view, path, f"measure {part.name}", part_id, refs, plans, None))
    return made


def _sheet(view: View, path: str, does: str, part: str, refs: list[str], plans: list[CutPlan], operation) -> Page:
    readable = [ref for ref in refs if view.build.features[ref].is_length and not sheet_work.is_frozen(view, ref)]
    cuts = plans[:MOST_PLANS]
    boxes, left = [], ROWS - sum(4 + min(len(plan.passes), MOST_PASSES) for plan in cuts)
    left -= WORDS * (len(cuts) - 1) if cuts else 0
    for ref in readable:
        stations, angles = _boxes(view, ref)
        left -= len(stations) + 2
        if left < 0 and boxes:
            break
        boxes.append((ref, stations, angles, _gauge(view, ref)))
    op = view.build.operations[operation.id] if operation else None
    work = sheet_work.work_of(view, op, part, refs, {plan.feature for plan in plans}, left)
    applying = view.findings.cautions
    of_operation = applying.operations[operation.id] if operation else ()
    tapers = _tapers(view, operation)
    # What belongs to this work and what always stands on the part; those of other work on it are left to the part's page.
    to_tapers = [TAPER_CAUTION] if tapers and TAPER_CAUTION in view.shelf.cautions else []
    here = list(dict.fromkeys([*to_tapers, *of_operation, *applying.standing[part]]))
    warnings = view.cautions(here)[: MOST_CAUTIONS - 2 * (len(cuts) > 1)]
    address = f"{view.home}/{path}".removesuffix(".md") + "/"
    return view.page(
        path,
        "sheet.md.j2",
        "operations.yaml" if operation else f"parts/{part}.yaml",
        does=does,
        part_id=part,
        operation=operation,
        plans=cuts,
        leading=[danger for danger in view.leading if danger.part in (None, part)],
        tapers=tapers,
        more_plans=max(0, len(plans) - MOST_PLANS),
        boxes=boxes,
        outline=_outline(view, boxes),
        work=work,
        known_kinds=sheet_work.known_kinds(),
        shown_row=_shown_row(view),
        bare=work.empty and not cuts and not boxes and not tapers,
        note=op.note if op else None,
        more_features=len(readable) - len(boxes),
        most_passes=MOST_PASSES,
        warnings=warnings,
        more_warnings=len({*here, *applying.parts[part]}) - len(warnings),
        address=(view.site_url or "") + address,
        code=_code(view.site_url + view.phone_uri(**({"op": operation.id} if operation else {"part": part})))
        if view.site_url
        else None,
    )


def _shown_row(view: View):
    """What the gauge shows at a plan's last stop, by the part's temperature: the gauge as warm, or at 20 °C."""

    def row(plan: CutPlan, as_warm: bool) -> list[str]:
        return [view.fmt.size_text(at.shows) for at in plan.shown_at if at.gauge == (at.part if as_warm else 20.0)]

    return row


def _outline(view: View, boxes: list) -> Markup | None:
    """Where to measure: of the first box with stations or angles."""
    for ref, stations, angles, _ in boxes:
        drawn = where_to_measure(view.build.features[ref], view.findings.features[ref], stations, angles, view.fmt)
        if drawn:
            return drawn
    return None


def _tapers(view: View, operation) -> list[Calculation]:
    """How to set the lathe for the taper that an operation turns, as far as that could be worked out."""
    op = view.build.operations[operation.id] if operation else None
    if op is None or op.machine is None or not re.search(r"\btaper", op.does, re.IGNORECASE):
        return []
    return [one for one in view.findings.calculations if one.id in TAPER_SUMS and one.value is not None]


def _boxes(view: View, ref: str) -> tuple[list, list]:
    """Stations and angles to pencil readings in: as planned, else as read before, else one box."""
    plan = view.build.features[ref].plan
    cells = view.findings.features[ref].cells
    stations = (
        [float(station) for station in plan.stations]
        if plan
        else sorted({c.station for c in cells if c.station is not None})
    )
    angles = (
        [float(angle) for angle in plan.angles] if plan else sorted({c.angle for c in cells if c.angle is not None})
    )
    return (stations or [None])[:MOST_STATIONS], (angles or [None])[:MOST_ANGLES]


def _gauge(view: View, ref: str) -> str | None:
    """What the feature was last read with."""
    rows = [row for row in view.rows_of_part.get(ref.partition(".")[0], []) if row.of == ref]
    return max(rows, key=lambda row: row.date).gauge if rows else None


def _code(address: str) -> Markup:
    """The address of the page on which a phone takes the readings of this sheet, as a QR code, inline SVG."""
    drawn = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        drawn,
        kind="svg",
        scale=3,
        border=2,
        xmldecl=False,
        svgns=True,
        nl=False,
        svgclass="g-qr",
        lineclass=None,
        title="Enter these readings on a phone",
        omitsize=True,
    )
    return Markup(drawn.getvalue().decode())
