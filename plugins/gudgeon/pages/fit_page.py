"""Fit cards: a page for each fit, the sentence with the numbers first."""

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.notes import in_words
from gudgeon.pages import fits_list, reviewing
from gudgeon.pages.drawn import fit_along, fit_history, fit_hot, fit_lead, fit_section, fit_slide, fit_zone
from gudgeon.pages.drawn import rules as rules_drawn
from gudgeon.pages.page import Page
from gudgeon.pages.rests_on import rests_on
from gudgeon.pages.view import View
from gudgeon.records.fit_kinds.kind import FitKind, Stated
from gudgeon.wording import UnitFormatter, number, probability, slug, upper_first

SMALLEST_LINE = 0.005  # of the largest: what is smaller moves no figure that is shown


def pages(view: View) -> list[Page]:
    """A page a fit, and their index."""
    sentences = {fit.id: sentence(view, fit) for fit in view.findings.fits.values()}
    requests = reviewing.open_requests(view.build)
    fit_pages = [
        view.guarded(
            "fits/index.md", fits_list.page, view, {fit.id: has_words(view, fit) for fit in view.findings.fits.values()}
        )
    ]
    for fit in view.findings.fits.values():
        record = view.build.fits[fit.id]
        pictures = fit_section.pictures(fit, record, view.build, view.fmt)
        fit_pages.append(
            view.page(
                f"fits/{slug(fit.id)}.md",
                "fit_page.md.j2",
                "fits.yaml",
                fit=fit,
                record=record,
                kind=record.of_kind,
                rests=rests_on(view, "fit", fit.id),
                sentence=sentences[fit.id],
                lead=lead(view, fit),
                stands_at=has_words(view, fit),
                pictures=[fit_lead.picture(fit, record, view.build, view.fmt, pictures[0]), *pictures[1:]],
                slide=fit_slide.slide(fit, record, view.fmt, pictures),
                drawn_to=fit_section.scale_words(fit, record),
                zone=fit_zone.zone(fit, record.of_kind, view.fmt),
                along=fit_along.along(
                    fit,
                    record,
                    view.findings.features.get(fit.hole or ""),
                    view.build.features.get(fit.hole or ""),
                    view.fmt,
                ),
                moved=fit_history.history(fit, record.of_kind, view.fmt, view.findings.as_of),
                wanted_words=fit_history.wanted_words(fit, view.fmt),
                curve=fit_hot.hot_curve(fit, record.of_kind, view.fmt),
                sums=_sums(view, fit),
                hot_sums=_hot_sums(view, fit),
                cautions=view.cautions(view.findings.cautions.fits[fit.id]),
                withdrawn=[one for one in view.withdrawn if fit.id in one.fits],
                reviews=[review for review in view.build.reviews if fit.id in review.about],
                requests=[request for request in requests if fit.id in request.about],
                said=reviewing.said_of(view.build, fit),
                verdicts=[reviewing.verdict_line(fit.id, verdict) for verdict in ("agreed", "changes asked")],
                rules=[rule for rule in view.findings.rules if rule.kind == fit.kind],
                rules_drawn=rules_drawn.in_lengths(
                    [rule for rule in view.findings.rules if fit.id in rule.fits], view.fmt, fit.id, fit
                ),
                budget=[line for line in fit.budget if line.standard >= SMALLEST_LINE * fit.budget[0].standard],
            )
        )
    return fit_pages


def lead(view: View, fit: FitFinding) -> tuple[Markup, str]:
    """The number that one comes for, in both units, and what it is."""
    fmt, kind = view.fmt, view.build.fits[fit.id].of_kind
    if fit.clearance is None:
        return Markup("?"), "not measured yet"
    if fit.state == "metal on" and fit.target:
        return fmt.clearance(fit.target.on_diameter), f"to come off, {kind.axis.measured}"
    if fmt.clearance_text(fit.clearance) == fmt.clearance_text(0.0) and not kind.stated:
        return fmt.clearance(0.0), "size for size"
    called = kind.called if fit.clearance >= 0 else "interference"
    return fmt.clearance(abs(fit.clearance)), f"{called}, {kind.axis.measured}"


def has_words(view: View, fit: FitFinding) -> str:
    """What a fit has, with its uncertainty where there is one."""
    kind = view.build.fits[fit.id].of_kind
    if fit.clearance is None:
        return "measure again" if fit.state == "stale" else "not measured yet"
    if kind.stated:
        return f"{kind.called} of {view.fmt.clearance_text(fit.clearance)}"
    return _clearance_words(view.fmt, kind, fit)


def sentence(view: View, fit: FitFinding) -> str:
    """What a builder wants to know of a fit, numbers first."""
    fmt, name = view.fmt, upper_first(fit.name)
    if fit.clearance is None:
        return (
            f"{name}: {fit.state}. "
            + upper_first("; ".join(in_words(note, fmt) for note in fit.causes) or "nothing has been read")
            + "."
        )
    kind = view.build.fits[fit.id].of_kind
    if kind.stated:
        return f"{name}: {_stated(fmt, kind.stated, fit)}."
    size = _clearance_words(fmt, kind, fit)
    wants = f"should have {_wants(fmt, fit)}"
    bar, unmade = fit.target, fit.target_of or ""
    if fit.state == "metal on" and bar:
        return (
            f"{name}: metal on. {_stock_words(fmt, kind, fmt.plus_minus(bar.on_diameter, bar.expanded), bar)}, "
            f"to come off the {view.spoken(unmade)}, {_stop(bar)} of the target. It {wants} {kind.called} and has {size}."
        )
    sure = probability(fit.chance_inside)
    words = f"{name}: {size}; {wants}; {fit.state}."
    if fit.state in ("in", "reads in"):
        worst = "tight" if (fit.chance_tight or 0) >= (fit.chance_loose or 0) else "loose"
        words += f" The chance that it is truly inside is {sure}" + (
            f"; if not, it is more likely too {worst}." if fit.state == "reads in" else "."
        )
    elif fit.short_by is not None and fit.want_low is not None:
        words += f" {_outside(fmt, kind, fit)}; the chance that it is truly inside is {sure}."
    if bar and fit.state in ("out", "reads out") and bar.on_diameter > 0:
        still = _stock_words(fmt, kind, fmt.clearance_text(bar.on_diameter), bar)
        words += f" Metal is still on the {view.spoken(unmade)}: {still}, {_stop(bar)}."
    if fit.as_read and fit.as_read.by:
        names = " and ".join(fit.as_read.instruments)
        words += f" The known error of {names}, found wrong, is taken out; as read it was {_plain_clearance(fmt, kind, fit.as_read.value)}."
    words += _hottest(fmt, kind, fit)
    if fit.gap_moved_by and fit.gap_read is not None:
        words += f" It read {fmt.clearance_text(fit.gap_read)} where the ring lay; carried to the smallest bore it is {fmt.clearance_text(fit.clearance)}."
    return words


def _stated(fmt, stated: Stated, fit: FitFinding) -> str:
    """A fit whose number follows from what is stated."""
    if fit.state == "in" and fmt.clearance_text(fit.clearance) == fmt.clearance_text(0.0):
        return stated.agrees
    parts = stated.parts.format(value=fmt.clearance_text(fit.clearance))
    return (
        f"{parts}; {fit.state}"
        if fit.state in ("in", "conceded")
        else f"{parts}. {upper_first(stated.wants)} is wanted"
    )


def _outside(fmt: UnitFormatter, kind: FitKind, fit: FitFinding) -> str:
    """How far a fit reads outside, at the end where it is worse."""
    tight = fit.ends[0].clearance < (fit.want_low or 0.0) - (fit.short_by or 0.0) / 2
    end, at = (fit.ends[0], "tightest") if tight else (fit.ends[1], "loosest")
    short = f"{fmt.clearance_text(fit.short_by or 0.0)} too {end.end}"
    if end.end == fit.dangerous:
        return f"It is {short}"
    return f"At its {at} it is {short}, {_plain_clearance(fmt, kind, end.clearance)}"


def _stop(bar) -> str:
    """Where cutting stops."""
    return "stopping short of the middle" if bar.stops_short else "to the middle"


def _stock_words(fmt, kind: FitKind, amount: str, bar) -> str:
    """Stock on the unmade half, with half of it beside where that is a side's."""
    side = f", {fmt.clearance_text(bar.per_side)} a side" if kind.axis.per_side else ""
    return f"{amount} {kind.axis.measured}{side}"


def _hottest(fmt, kind: FitKind, fit: FitFinding) -> str:
    """What is left in the tightest of its hot cases."""
    if not fit.hot or fit.target:
        return ""
    worst = min(fit.hot, key=lambda case: case.now)
    name = worst.case.replace("_", " ")
    if worst.fails:
        return f" In the case “{name}” {in_words(worst.fails, fmt)}: {_plain_clearance(fmt, kind, worst.now)}."
    return f" At its tightest hot, “{name}”, {_plain_clearance(fmt, kind, worst.now)} is left."


def _plain_clearance(fmt, kind: FitKind, value: float) -> str:
    return f"{fmt.clearance_text(abs(value))} {kind.called if value > 0 else 'interference'}"


def _clearance_words(fmt: UnitFormatter, kind: FitKind, fit: FitFinding) -> str:
    """What a fit has, with its uncertainty."""
    assert fit.clearance is not None and fit.expanded is not None, "it has been read"
    value = fmt.plus_minus(abs(fit.clearance), fit.expanded)
    if fmt.clearance_text(fit.clearance) == fmt.clearance_text(0.0):
        return f"size for size, ± {fmt.clearance_text(fit.expanded)}"
    return f"{value} {kind.called if fit.clearance > 0 else 'interference'}"


def _wants(fmt: UnitFormatter, fit: FitFinding) -> str:
    if fit.want_low is not None and fit.want_high is not None and fit.want_high < 0:
        unit = fmt.clearance_text(0.0).split()[1]
        return f"{fmt.clearance_text(-fit.want_high).removesuffix(' ' + unit)} to {fmt.clearance_text(-fit.want_low)} interference"
    return fmt.range_text(fit.want_low, fit.want_high)


def _sums(view: View, fit: FitFinding) -> list[str]:
    """The sum that the kind gives, with this engine's values, and how the readings behind it came to 20 °C."""
    if fit.clearance is None:
        return []
    cold = view.build.fits[fit.id].pairing.cold
    return [cold.with_values(_values(view, fit), view.fmt.clearance_text(fit.clearance)), *_reductions(view, fit)]


def _reductions(view: View, fit: FitFinding) -> list[str]:
    """How the deciding readings came to 20 °C."""
    lines = []
    for cell, ref in ((fit.hole_at, fit.hole or ""), (fit.shaft_at, fit.shaft or "")):
        if cell and cell.fitted:
            lines.append(
                f"{view.name_of(ref)}: {view.fmt.long_text(cell.size)} by the surface through all {cell.fitted} places, of which the worst single "
                "reading is worse by chance; the nearest reading:"
            )
        for row_id in cell.rows[:1] if cell else ():
            row, finding = view.rows[row_id], view.findings.rows[row_id]
            size = finding.size
            assert size is not None, "what decides a fit has been brought to 20 °C"
            lines.append(
                f"{row_id}, {view.name_of(ref)}: {view.fmt.long_text(finding.mean)} read with part at {row.part_temp} and"
                f" {view.instrument_name(row.gauge)} at {row.gauge_temp} is {view.fmt.long_text(size)} at 20 °C"
                + (
                    f", with {view.fmt.clearance_text(finding.error)} taken out that {view.instrument_name(finding.suspect or '')} read too high"
                    if finding.error
                    else ""
                )
            )
    return lines


def _values(view: View, fit: FitFinding) -> dict[str, str]:
    """Every value that a kind's sums may ask for, as far as this fit has it, said as a reader checks it by hand."""
    record, features, fmt = view.build.fits[fit.id], view.build.features, view.fmt
    sizes = {
        "hole": fit.hole_at.size if fit.hole_at else None,
        "shaft": fit.shaft_at.size if fit.shaft_at else None,
        "bore": fit.hole_at.size if fit.hole_at else None,
        "hole_length": _length(view, record.hole),
        "shaft_length": _length(view, record.shaft),
    }
    gaps = {
        "clearance": fit.clearance,
        "gap": fit.clearance,
        "gap_read": fit.gap_read,
        "gap_moved_by": fit.gap_moved_by,
    }
    values = {name: fmt.long_text(value) for name, value in sizes.items() if value is not None}
    values |= {name: fmt.clearance_text(value) for name, value in gaps.items() if value is not None}
    for name in ("keyway", "key", "bears_over"):
        ref = getattr(record, name)
        length = _length(view, ref)
        stated = features[ref].nominal if ref else None
        if stated:
            values[name] = stated
        elif length is not None:
            values[name] = fmt.long_text(length)
    outer, inner = record.grows
    if outer and inner:
        values |= {
            name: f"{number(view.findings.metals[view.build.parts[ref.partition('.')[0]].material].cte * 1e6, 1)}e-6"
            for name, ref in (("hole_cte", outer), ("shaft_cte", inner))
        }
    return values


def _length(view: View, ref: str | None) -> float | None:
    """A length as read, else as intended, mm."""
    if ref is None:
        return None
    cells = view.findings.features[ref].cells
    return cells[0].size if cells else view.build.features[ref].size


def _hot_sums(view: View, fit: FitFinding) -> list[str]:
    """The kind's sum in each temperature case: with the unmade half cut to its stop, where there is one."""
    hot, values = view.build.fits[fit.id].pairing.hot, _values(view, fit)
    if hot is None:
        return []
    lines = [f"hot: {hot.in_letters}"] if fit.hot else []
    for case in fit.hot:
        terms = values | {"hole_temp": f"{case.hole_temp:g}", "shaft_temp": f"{case.shaft_temp:g}"}
        result = case.now
        if case.at_target is not None and fit.at_target is not None and fit.hole_at and fit.shaft_at:
            of_shaft = fit.target_of == fit.shaft
            stop = fit.hole_at.size - fit.at_target if of_shaft else fit.shaft_at.size + fit.at_target
            terms["shaft" if of_shaft else "hole"] = view.fmt.long_text(stop)
            result = case.at_target
        lines.append(f"{case.case.replace('_', ' ')}: {hot.in_values(terms, view.fmt.clearance_text(result))}")
    return lines
