"""What a build has to know to answer a reading at the machine, as plain data: by the commands here, by a script on a phone.

`bench_data` gives a dict that JSON can hold, `format` 1. Lengths are millimetres at 20 °C, temperatures °C, coefficients per K,
angles degrees, dials and gauges in mm too; "units" says in which unit people are answered. null: not known, or not said. A key
that is only added leaves the format's number.

    format, build, name, units ("in" or "mm"), as_of (the newest day of the records)
    people             id -> name
    thermometers       id -> ± K;  thermometer: id of the one that read where nobody says, or null
    usual_thermometer  ± K where nobody says how well it is known
    past_end           share of a gauge's span by which a reading may lie past its end and still count
    limits_of_soak     {part: K from 20 °C, gap: K between part and gauge} over which soaking is asked for
    uneven             by how much of their difference a part may be off what was read on it
    few_places         from how many places on the page goes by the surface through them
    few_cuts           cuts that a law of the dial needs
    least_taper        mm, below which no taper is spoken of
    usual_depth        mm a side, that one pass takes where nobody says how deep
    gauges             id -> {name, spoken, low, high, resolution, cte, use (standard uncertainty), scale (expanded, k = 2),
                       scale_of (gauge whose scale it is), contacts, vee (degrees, of one over a vee block), overdue,
                       checks_due: [[gauge, day]] (its own and its scale's), never_checked, thermometer (± K of its own, or null), off: null or {by: mm that it reads high,
                       since: day, until: day or null}}
    machines           id -> {name, division, reads ("radius" or "diameter")}
    operations         id -> {part, does, state, changes: [features], machine}, of those not done
    features           "part.feature" -> what follows
        part, part_name, name, kind, side ("external": cutting makes it smaller; "internal": larger; null), decides ("least" or
        "greatest": which of its sizes does), has_station, has_angle, extent [from, to], part_cte, part_cte_within
        state, size, expanded       of the size that decides, as the pages show it
        nominal, limits [low, high], limits_shown (in words), expected (what a reading lies near), plausible [least, most]
        planned            [[station, angle], ...], null where any
        places             sizes of the state of the metal that counts: {station, angle, size, expanded, rows, gauges, by, day}
        last               newest size at each place, whatever became of it: {station, angle, size, read, day, gauge, by, row,
                           status}
        target             null or {low, mid, high, shown [low, high in words], turn_to, from ("limits" or a fit), provisional, expanded (U of the metal on),
                           gauges (of the readings it was worked out with)}; turn_to is what part, fit and sheet say
        no_target          why there is none
        usual              {gauge, part_temp, gauge_temp, by} of its newest reading, or of the build's
        plan               null or the plan of the next operation that cuts it: {operation, machine, left_on, next_cut, next_ask,
                           next_divisions, stops: [{kind, size_after, on_diameter}] (the passes, as the sheet has them),
                           scrap_after, held_back, risk, law: null or {slope, offset, scatter, cuts, middle, spread}, cuts_alike,
                           taper: [{station, take}]}
"""

import datetime
from collections.abc import Iterable
from typing import Any

from gudgeon_calc.uncertainty import standard_from_use

from gudgeon.assess.findings import BuildFindings, CutPlan, FeatureFinding
from gudgeon.records.build_file import NEVER, Instrument
from gudgeon.records.mistyped import expected
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.number_doubts import JUST_PAST
from gudgeon.records.parts import DIAMETERS, Feature
from gudgeon.records.readings import Row
from gudgeon.wording import UnitFormatter, upper_first

FORMAT = 1


def bench_data(build: Build, knowledge: Knowledge, findings: BuildFindings) -> dict[str, Any]:
    """Everything that answers to readings of a build rest on; see the head of this module."""
    head, judgement = build.sound_head, knowledge.judgement
    rows_of: dict[str, list[Row]] = {}
    for row in build.rows:
        rows_of.setdefault(row.of, []).append(row)
    newest = _newest(build.rows)
    plans: dict[str, CutPlan] = {}
    for plan in findings.cut_plans:
        plans.setdefault(plan.feature, plan)
    return {
        "format": FORMAT,
        "build": build.id,
        "name": head.name,
        "units": head.units,
        "as_of": findings.as_of,
        "people": {name: person.name for name, person in head.people.items()},
        "thermometers": {name: float(one.within) for name, one in head.thermometers.items()},
        "thermometer": head.thermometer,
        "usual_thermometer": float(judgement["thermometer"]),
        "limits_of_soak": {"part": float(judgement["soak_part"]), "gap": float(judgement["soak_gap"])},
        "uneven": float(judgement["uneven_part"]),
        "past_end": JUST_PAST,
        "few_places": int(float(judgement["few_places"])),
        "few_cuts": int(float(judgement["few_cuts"])),
        "least_taper": float(judgement["least_taper"]),
        "usual_depth": float(judgement["usual_depth"]),
        "gauges": {name: _gauge(build, findings, name, gauge) for name, gauge in build.instruments.items()},
        "machines": {
            name: {"name": machine.name, "division": float(machine.dial_division), "reads": machine.dial_reads}
            for name, machine in build.machines.items()
        },
        "operations": {
            name: {
                "part": operation.part,
                "does": operation.does,
                "state": findings.operations[name].state,
                "changes": build.spelled_out(operation.changes),
                "machine": operation.machine,
            }
            for name, operation in build.operations.items()
            if not operation.done
        },
        "features": {
            ref: _feature(build, findings, ref, feature, rows_of.get(ref, []), newest, plans.get(ref))
            for ref, feature in build.features.items()
            if feature.is_length
        },
    }


def _gauge(build: Build, findings: BuildFindings, name: str, gauge: Instrument) -> dict[str, Any]:
    finding = findings.gauges[name]
    root = build.instruments[finding.scale_of]
    low, high = (float(end) for end in gauge.range) if gauge.range else (None, None)
    off = root.found_off
    return {
        "name": gauge.name,
        "spoken": gauge.name.partition(",")[0],
        "low": low,
        "high": high,
        "resolution": float(gauge.resolution),
        "cte": float(gauge.cte),
        "use": standard_from_use(float(gauge.use), float(gauge.resolution)),
        "scale": finding.scale,
        "scale_of": finding.scale_of,
        "contacts": gauge.contacts,
        "vee": None if gauge.vee is None else float(gauge.vee),
        "overdue": finding.overdue,
        "checks_due": [
            [one, due.isoformat()]
            for one, due in ((one, build.instruments[one].due) for one in dict.fromkeys((name, finding.scale_of)))
            if isinstance(due, datetime.date)
        ],
        "never_checked": root.checked == NEVER,
        "thermometer": None if gauge.temp_within is None else float(gauge.temp_within),
        "off": None
        if off is None
        else {
            "by": float(off.reads_high),
            "since": str(off.since or root.checked),
            "until": off.found.isoformat() if off.was_reset else None,
        },
    }


def _feature(
    build: Build,
    findings: BuildFindings,
    ref: str,
    feature: Feature,
    rows: list[Row],
    newest: Row | None,
    plan: CutPlan | None,
) -> dict[str, Any]:
    finding, part = findings.features[ref], build.parts[ref.partition(".")[0]]
    metal = findings.metals[part.material]
    by_row = {row.id: row for row in rows}
    usual = _newest(rows) or newest
    return {
        "part": ref.partition(".")[0],
        "part_name": part.name,
        "name": feature.name,
        "kind": feature.kind,
        "side": feature.metal_side,
        "decides": "least" if feature.least_decides else "greatest",
        "has_station": feature.kind in DIAMETERS
        or bool(feature.extent)
        or bool(feature.plan and feature.plan.stations),
        "has_angle": feature.kind in DIAMETERS or bool(feature.plan and feature.plan.angles),
        "extent": _numbers(feature.extent),
        "part_cte": metal.cte,
        "part_cte_within": metal.cte_within,
        "state": finding.state,
        "size": finding.size,
        "expanded": finding.expanded,
        "nominal": feature.size,
        "limits": list(feature.allowed) if feature.allowed else None,
        "limits_shown": _shown(*feature.allowed, build) if feature.allowed else None,
        "expected": expected(feature),
        "plausible": _numbers(feature.plausible),
        "planned": _planned(feature),
        "places": [
            {
                "station": cell.station,
                "angle": cell.angle,
                "size": cell.size,
                "expanded": cell.expanded,
                "rows": list(cell.rows),
                "gauges": sorted({by_row[row].gauge for row in cell.rows}),
                "by": sorted({by_row[row].by for row in cell.rows}),
                "day": max(by_row[row].date for row in cell.rows).isoformat(),
            }
            for cell in finding.cells
            if finding.state != "frozen"
        ],
        "last": _last(findings, rows),
        "target": _target(finding, by_row, build),
        "no_target": None if finding.stock else _no_target(build, findings, ref, feature, finding),
        "usual": _usual(usual),
        "plan": None if plan is None else _plan(plan),
    }


def _planned(feature: Feature) -> list[list[float | None]]:
    if feature.plan is None:
        return []
    stations = _numbers(feature.plan.stations) or [None]
    angles = _numbers(feature.plan.angles) or [None]
    return [[station, angle] for station in stations for angle in angles]


def _numbers(quantities: Iterable[Any] | None) -> list[float] | None:
    return None if quantities is None else [float(quantity) for quantity in quantities]


def _newest(rows: Iterable[Row]) -> Row | None:
    """The newest reading; of one day the last in the files."""
    return max(rows, key=lambda row: (row.date, row.time or "", row.where()), default=None)


def _last(findings: BuildFindings, rows: list[Row]) -> list[dict[str, Any]]:
    """The newest reading at each place that was not put right, withdrawn or held back, whatever was cut since."""
    last: dict[tuple[float | None, float | None], dict[str, Any]] = {}
    for row in sorted(rows, key=lambda row: (row.date, row.time or "", row.where())):
        became = findings.rows[row.id]
        if became.status in ("superseded", "withdrawn", "held back"):
            continue
        place = (
            None if row.station is None else float(row.station),
            None if row.angle is None else float(row.angle),
        )
        last[place] = {
            "station": place[0],
            "angle": place[1],
            "size": became.size,
            "read": became.mean,
            "day": row.date.isoformat(),
            "gauge": row.gauge,
            "by": row.by,
            "row": row.id,
            "status": became.status,
        }
    return list(last.values())


def _shown(least: float, most: float, build: Build) -> list[str]:
    """Limits to work to as every page says them, rounded inward."""
    return UnitFormatter(build.sound_head.units).limits_text(least, most).split(" to ")


def _target(finding: FeatureFinding, by_row: dict[str, Row], build: Build) -> dict[str, Any] | None:
    stock = finding.stock
    if stock is None:
        return None
    return {
        "low": stock.target_low,
        "mid": stock.target_mid,
        "high": stock.target_high,
        "shown": _shown(stock.target_low, stock.target_high, build),
        "turn_to": stock.turn_to,
        "from": stock.target_from,
        "provisional": stock.provisional,
        "expanded": stock.expanded,
        "gauges": sorted({by_row[row].gauge for cell in finding.cells for row in cell.rows}),
    }


def _no_target(build: Build, findings: BuildFindings, ref: str, feature: Feature, finding: FeatureFinding) -> str:
    """Why no size to cut to is known, in words."""
    if feature.metal_side is None:
        wanted = [(fit_id, fit.name) for fit_id, fit in build.fits.items() if ref in (fit.hole, fit.shaft, fit.gap)]
        if wanted and not feature.allowed:
            return f"what is wanted of it stands with {wanted[0][1]} ({wanted[0][0]})"
        return "its record does not say on which side metal comes off (metal_side)"
    fits = [fit for fit in findings.fits.values() if ref in (fit.hole, fit.shaft)]
    if not feature.allowed and not fits:
        return "it has no limits, and no fit names it"
    if not feature.allowed:
        lacking = [other for fit in fits for other in (fit.hole, fit.shaft) if other and other != ref]
        unread = [other for other in lacking if findings.features[other].size is None]
        if unread:
            mate = f"its mate {build.features[unread[0]].name} ({unread[0]})"
            stale = findings.features[unread[0]].state == "stale"
            return f"{mate} {'was changed since it was read: read it again' if stale else 'has not been read'}"
        if finding.size is not None:
            to_cut = any(not op.done and ref in build.touched_by(op) for op in build.operations.values())
            why = "nothing says what is wanted of it" if to_cut else "no open operation is to cut it"
            return f"{fits[0].name} ({fits[0].id}) gives it none: {why}"
    return "the build has to be worked out with a reading of it first"


def _usual(row: Row | None) -> dict[str, Any] | None:
    if row is None:
        return None
    return {
        "gauge": row.gauge,
        "part_temp": None if row.part_temp is None else float(row.part_temp),
        "gauge_temp": None if row.gauge_temp is None else float(row.gauge_temp),
        "by": row.by,
    }


def _plan(plan: CutPlan) -> dict[str, Any]:
    law = None
    if plan.law_cuts is not None and plan.law_slope is not None:
        assert plan.law_offset is not None and plan.law_scatter is not None
        assert plan.law_middle is not None and plan.law_reach is not None, "a law has all of its figures"
        law = {
            "slope": plan.law_slope,
            "offset": plan.law_offset,
            "scatter": plan.law_scatter,
            "cuts": plan.law_cuts,
            "middle": plan.law_middle,
            "spread": plan.law_reach**2,
        }
    alike = next((note.counts["cuts"] for note in plan.missing if note.code == "few-cuts"), None)
    return {
        "operation": plan.operation,
        "machine": plan.machine,
        "left_on": plan.left_on,
        "next_cut": plan.next_cut,
        "next_ask": plan.next_ask,
        "next_divisions": plan.next_divisions,
        "stops": [
            {"kind": one.kind, "size_after": one.size_after, "on_diameter": one.on_diameter} for one in plan.passes
        ],
        "scrap_after": plan.scrap_after,
        "held_back": plan.held_back,
        "risk": plan.risk,
        "law": law,
        "cuts_alike": alike,
        "taper": [{"station": at.station, "take": at.take} for at in plan.taper],
    }


def spoken_feature(data: dict[str, Any], ref: str) -> str:
    """A feature as people call it: "Trunk piston, Skirt"."""
    feature = data["features"][ref]
    return upper_first(f"{feature['part_name']}, {feature['name']}")
