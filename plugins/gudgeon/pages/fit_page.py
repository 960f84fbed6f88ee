"""Fit cards: a page for each fit, the sentence with the numbers first."""

from gudgeon.assess.findings import FitFinding
from gudgeon.pages import drawings
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.wording import number, probability, slug, upper_first

SMALLEST_LINE = 0.005  # of the largest: what is smaller moves no figure that is shown


def pages(view: View) -> list[Page]:
    """A page a fit, and their index."""
    sentences = {fit.id: sentence(view, fit) for fit in view.findings.fits.values()}
    found = [view.page("fits/index.md", "fits.md.j2", "fits.yaml", sentences=sentences)]
    for fit in view.findings.fits.values():
        record = view.build.fits[fit.id]
        found.append(
            view.page(
                f"fits/{slug(fit.id)}.md",
                "fit_page.md.j2",
                "fits.yaml",
                fit=fit,
                record=record,
                sentence=sentences[fit.id],
                zone=drawings.zone(fit, view.fmt),
                curve=drawings.hot_curve(fit, view.fmt),
                sums=_sums(view, fit),
                hot_sums=_hot_sums(view, fit),
                cautions=view.cautions(view.findings.cautions.fits[fit.id]),
                reviews=[review for review in view.build.reviews if fit.id in review.about],
                rules=[rule for rule in view.findings.rules if rule.kind == fit.kind],
                budget=[line for line in fit.budget if line.standard >= SMALLEST_LINE * fit.budget[0].standard],
            )
        )
    return found


def sentence(view: View, fit: FitFinding) -> str:
    """What a builder wants to know of a fit, numbers first."""
    fmt, name = view.fmt, upper_first(fit.name)
    if fit.clearance is None:
        return f"{name}: {fit.state}. " + upper_first("; ".join(fit.causes) or "nothing has been read") + "."
    if fit.kind == "key_taper":
        if fit.state == "in":
            return f"{name}: the two tapers agree over the length they bear on."
        return f"{name}: the tapers part by {fmt.clearance_text(fit.clearance)} over the length they bear on, so the key bears at one end only. One taper on both is wanted."
    size = _clearance_words(fmt, fit)
    wants = f"wants {_wants(fmt, fit)}"
    if fit.state == "metal on":
        bar = fit.target
        return (
            f"{name}: metal on. {fmt.plus_minus(bar.on_diameter, bar.expanded)} on diameter, {fmt.clearance_text(bar.per_side)} a side, "
            f"to come off the {view.spoken(fit.target_of)} to the middle of the target. It {wants} clearance and stands at {size}."
        )
    sure = probability(fit.chance_inside)
    words = f"{name}: {size}; {wants}; {fit.state}."
    if fit.state in ("in", "reads in"):
        worst = "tight" if (fit.chance_tight or 0) >= (fit.chance_loose or 0) else "loose"
        words += f" The chance that it is truly inside is {sure}" + (
            f"; if not, it is more likely too {worst}." if fit.state == "reads in" else "."
        )
    else:
        words += f" It is {fmt.clearance_text(fit.short_by)} too {'tight' if fit.clearance < fit.want_low else 'loose'}; the chance that it is truly inside is {sure}."
    if fit.target and fit.state in ("out", "reads out") and fit.target.on_diameter > 0:
        words += f" Metal is still on the {view.spoken(fit.target_of)}: {fmt.clearance_text(fit.target.on_diameter)} on diameter, {fmt.clearance_text(fit.target.per_side)} a side, to the middle."
    if fit.corrected and fit.corrected.by:
        names = " and ".join(fit.corrected.instruments)
        words += f" With the known error of {names} taken out it is {_plain_clearance(fmt, fit.corrected.value)}: {fit.corrected.conformity}."
    words += _hottest(fmt, fit)
    if fit.gap_moved_by:
        words += f" It read {fmt.clearance_text(fit.gap_read)} where the ring lay; carried to the smallest bore it is {fmt.clearance_text(fit.clearance)}."
    return words


def _hottest(fmt, fit: FitFinding) -> str:
    """What is left in the tightest of its hot cases."""
    if not fit.hot or fit.target:
        return ""
    worst = min(fit.hot, key=lambda case: case.now)
    name = worst.case.replace("_", " ")
    if worst.fails:
        return f" In the case “{name}” {worst.fails}: {_plain_clearance(fmt, worst.now)}."
    return f" At its tightest hot, “{name}”, {_plain_clearance(fmt, worst.now)} is left."


def _plain_clearance(fmt, value: float) -> str:
    return f"{fmt.clearance_text(abs(value))} {'clearance' if value > 0 else 'interference'}"


def _clearance_words(fmt, fit: FitFinding) -> str:
    value = fmt.plus_minus(abs(fit.clearance), fit.expanded)
    what = "gap" if fit.kind == "ring_gap" else "clearance"
    if fmt.clearance_text(fit.clearance) == fmt.clearance_text(0.0):
        return f"size for size, ± {fmt.clearance_text(fit.expanded)}"
    return f"{value} {what if fit.clearance > 0 else 'interference'}"


def _wants(fmt, fit: FitFinding) -> str:
    if fit.want_high is not None and fit.want_high < 0:
        unit = fmt.clearance_text(0.0).split()[1]
        return f"{fmt.clearance_text(-fit.want_high).removesuffix(' ' + unit)} to {fmt.clearance_text(-fit.want_low)} interference"
    return fmt.range_text(fit.want_low, fit.want_high)


def _sums(view: View, fit: FitFinding) -> list[str]:
    """The formula with this build's numbers in it."""
    fmt = view.fmt
    if fit.clearance is None:
        return []
    if fit.kind == "key_taper":
        features = view.build.features
        over = features[view.build.fits[fit.id].bears_over]
        return [
            f"m = |{features[fit.hole].nominal} − {features[fit.shaft].nominal}| × {over.nominal} = {fmt.clearance_text(fit.clearance)}"
        ]
    if fit.kind == "ring_gap":
        return [
            f"G = Gread + π × (Dsmallest − Dread) = {fmt.clearance_text(fit.gap_read)} + π × ({fmt.clearance_text(fit.gap_moved_by)}) = {fmt.clearance_text(fit.clearance)}"
        ]
    hole, shaft = fit.hole_at, fit.shaft_at
    return [
        f"C = Dhole − Dshaft = {fmt.long_text(hole.size)} − {fmt.long_text(shaft.size)} = {fmt.clearance_text(fit.clearance)}",
        *_reductions(view, fit),
    ]


def _reductions(view: View, fit: FitFinding) -> list[str]:
    """How the two deciding readings came to 20 °C."""
    lines = []
    for cell, ref in ((fit.hole_at, fit.hole), (fit.shaft_at, fit.shaft)):
        for row_id in cell.rows[:1]:
            row, finding = view.rows[row_id], view.findings.rows[row_id]
            lines.append(
                f"{row_id}, {ref}: {view.fmt.long_text(finding.mean)} read with part at {row.part_temp} and {row.gauge} at {row.gauge_temp} is {view.fmt.long_text(finding.size)} at 20 °C"
            )
    return lines


def _hot_sums(view: View, fit: FitFinding) -> list[str]:
    fmt, lines = view.fmt, []
    if fit.hole_at is None or fit.kind == "ring_gap":
        return lines
    metals = [
        f"{number(view.findings.metals[view.build.parts[ref.partition('.')[0]].material].cte * 1e6, 1)}e-6"
        for ref in (fit.hole, fit.shaft)
    ]
    for case in fit.hot:
        shaft = (
            fit.target.target_mid if case.at_target is not None and fit.target_of == fit.shaft else fit.shaft_at.size
        )
        hole = fit.target.target_mid if case.at_target is not None and fit.target_of == fit.hole else fit.hole_at.size
        result = case.now if case.at_target is None else case.at_target
        lines.append(
            f"{case.case.replace('_', ' ')}: {fmt.long_text(hole)} × [1 + {metals[0]} × ({case.hole_temp:g} − 20)] − {fmt.long_text(shaft)} × [1 + {metals[1]} × ({case.shaft_temp:g} − 20)] = {fmt.clearance_text(result)}"
        )
    return lines
