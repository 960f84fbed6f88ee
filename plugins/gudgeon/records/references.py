"""Checks that go across files: every name leads somewhere, no circles, nothing outside its part."""

import datetime
from collections.abc import Collection, Mapping

from gudgeon_calc.limits_and_fits import NotInTable, read_fit_class

from gudgeon.records.build_file import FoundOff, Instrument, Review, ReviewWithdrawal
from gudgeon.records.circles import report_circle
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.fits import Fit
from gudgeon.records.ids import check_ids
from gudgeon.records.instalment_checks import check_instalments
from gudgeon.records.knowledge import Rule
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.names import check_names
from gudgeon.records.number_doubts import vee_problems
from gudgeon.records.parts import Feature
from gudgeon.records.plausible import check_days, check_engine, check_features, check_figures, check_reads
from gudgeon.records.problems import Problems
from gudgeon.records.readings import Row
from gudgeon.records.ties import check_ties

# Readings are taken in a shop: outside these, degrees Celsius, the figure is a slip of the pen.
COLDEST, HOTTEST = -40.0, 120.0


def check_references(build: Build, knowledge: Knowledge, problems: Problems) -> None:
    """Note a problem for everything in a build that points nowhere, in a circle or outside. No file is looked at."""
    check_ids(build, problems)
    check_names(build, knowledge, problems)
    _circles(build, problems)
    _fits(build, knowledge, problems)
    _instruments(build, problems)
    _rows(build, problems)
    _withdrawn_readings(build, problems)
    _withdrawn_verdicts(build, problems)
    _withdrawn_runs(build, problems)
    _withdrawn_outcomes(build, problems)
    _cuts(build, problems)
    _materials(build, knowledge, problems)
    check_figures(build, problems)
    check_engine(build, problems)
    check_features(build, problems)
    check_days(build, problems)
    check_instalments(build, problems)
    check_ties(build, problems)


def _circles(build: Build, problems: Problems) -> None:
    """Records of one kind that lead back to themselves."""
    rows = {row.id: row for row in build.rows}
    features, operations, instruments = build.features, build.operations, build.instruments
    report_circle(
        {ref: set(feature.depends_on) & set(features) for ref, feature in features.items()},
        "features depend on each other in a circle",
        "depends on",
        lambda name: features[name].where("depends_on"),
        problems,
    )
    report_circle(
        {name: set(operation.needs) & set(operations) for name, operation in operations.items()},
        "operations need each other in a circle",
        "needs",
        lambda name: operations[name].where("needs"),
        problems,
    )
    report_circle(
        {name: set(instruments) & {instrument.scale_from} for name, instrument in instruments.items()},
        "instruments are set in each other in a circle",
        "is set in",
        lambda name: instruments[name].where("scale_from"),
        problems,
    )
    report_circle(
        {name: set(rows) & {row.supersedes} for name, row in rows.items()},
        "readings supersede each other in a circle",
        "supersedes",
        lambda name: rows[name].where("supersedes"),
        problems,
    )


def _fits(build: Build, knowledge: Knowledge, problems: Problems) -> None:
    features = build.features
    for fit_id, fit in build.fits.items():
        _halves(fit, fit_id, features, problems)
        _direct(fit, fit_id, features, problems)
        hole, rule = features.get(fit.hole or ""), knowledge.rules.get(fit.rule or "")
        if fit.fit_class and hole:
            _class(fit, fit_id, fit.fit_class, hole, problems)
        if rule:
            _rule(fit, fit_id, rule, features, problems)


def _rule(fit: Fit, fit_id: str, rule: Rule, features: Mapping[str, Feature], problems: Problems) -> None:
    """A rule that a fit cites gives one range, and for this fit."""
    gives = rule.cases.get(fit.rule_case or "") if rule.cases else rule.gives
    if gives is None:
        problems.add(
            fit.where("rule"),
            fit_id,
            f'rule {fit.rule} has several cases. Add the line "rule_case: {" or ".join(rule.cases)}".',
        )
    elif fit.want is None and fit.fit_class is None and gives.needs_a_size:
        counts_on = fit.counted_on or ""
        if counts_on in features and features[counts_on].size is None:
            problems.add(
                fit.where("rule"),
                fit_id,
                f'rule {fit.rule} counts on the size of {counts_on}, which has no nominal. Add one there, or "want: [least, most]" here.',
            )
    if rule.grade == "withdrawn":
        problems.add(fit.where("rule"), fit_id, f"rule {fit.rule} is withdrawn. Cite another.")
    of_rule = FIT_KINDS[rule.kind]
    if of_rule.axis != fit.of_kind.axis:
        problems.add(
            fit.where("rule"),
            fit_id,
            f"rule {fit.rule} is for a {of_rule.words}, measured {of_rule.axis.measured}; a {fit.of_kind.words} is measured "
            f'{fit.of_kind.axis.measured}. Cite another, or write "want: [least, most]" and "because: …".',
        )


def _halves(fit: Fit, fit_id: str, features: Mapping[str, Feature], problems: Problems) -> None:
    """The features that a fit names have to be of the kinds that its own kind joins."""
    for name, may_be in fit.pairing.features.items():
        ref = getattr(fit, name)
        if ref in features and features[ref].kind not in may_be:
            problems.add(
                fit.where(name),
                fit_id,
                f'"{ref}" is a {features[ref].kind}; the {name} of a {fit.kind} fit is a {" or a ".join(may_be)}.',
            )


def _direct(fit: Fit, fit_id: str, features: Mapping[str, Feature], problems: Problems) -> None:
    """What is read directly between two parts is a gap."""
    gap = features.get(fit.direct or "")
    if gap is not None and gap.kind != "gap":
        problems.add(
            fit.where("direct"),
            fit_id,
            f'"{fit.direct}" is a {gap.kind}; what was read directly between the halves is a gap.',
        )


def _class(fit: Fit, fit_id: str, fit_class: str, hole: Feature, problems: Problems) -> None:
    """A class of fit has to be one of the tables', and of this size."""
    try:
        limits = read_fit_class(fit_class, hole.size)
    except NotInTable as error:
        problems.add(fit.where("class"), fit_id, str(error))
        return
    if hole.size is not None and abs(limits.basic - hole.size) > 0.01 * hole.size:
        problems.add(
            fit.where("class"),
            fit_id,
            f"the class counts from {limits.basic:g} mm, but {fit.hole} is {hole.nominal}: another size.",
        )


def _since_when(name: str, instrument: Instrument, off: FoundOff, problems: Problems) -> None:
    """Without a day before it was found from which it may have been so, nothing that was read with it would be put right."""
    checked = instrument.checked
    if off.since is not None:
        if off.since > off.found:
            problems.add(off.where("since"), name, f"since {off.since}, but it was found before that, on {off.found}.")
    elif not isinstance(checked, datetime.date):
        problems.add(instrument.where("found_off"), name, 'nothing says since when. Add the line "since: 2025-01-31".')
    elif checked > off.found or (checked == off.found and off.was_reset):
        problems.add(
            instrument.where("found_off"),
            name,
            f"nothing says since when: its check of {checked} is not before it was found off, on {off.found}. "
            f'Add the line "since: 2025-01-31", the day of its last good check.',
        )


def _instruments(build: Build, problems: Problems) -> None:
    for name, instrument in build.instruments.items():
        if instrument.found_off and instrument.scale_from:
            problems.add(
                instrument.where("found_off"),
                name,
                f'it is set in {instrument.scale_from}: write "found_off" there, and it holds for both.',
            )
        elif instrument.found_off:
            _since_when(name, instrument, instrument.found_off, problems)
        checked, due = instrument.checked, instrument.due
        if isinstance(checked, datetime.date) and isinstance(due, datetime.date) and due < checked:
            problems.add(
                instrument.where("due"),
                name,
                f"due on {due}, before it was checked on {checked}.",
            )


def _rows(build: Build, problems: Problems) -> None:
    features = build.features
    rows: dict[str, Row] = {}
    cuts = {cut.id: cut for cut in build.cuts if cut.id}
    for row in build.rows:
        rows.setdefault(row.id, row)
    for row in rows.values():
        if row.of in features:
            _station(row, features[row.of], problems)
            check_reads(row, features[row.of], problems)
        for name in ("part_temp", "gauge_temp"):
            measure = getattr(row, name)
            if measure is not None and not COLDEST <= float(measure) <= HOTTEST:
                problems.add(
                    row.where(name),
                    row.id,
                    f"no shop is at {measure} ({float(measure):.0f} °C). Write the temperature at which it was read.",
                )
        feature = build.features.get(row.of)
        for key, text in vee_problems(row.of, feature, build.instruments, row.gauge, row.reads, row.lobes):
            problems.add(row.where(key), row.id, text)
        cut = cuts.get(row.after_cut or "")
        if cut and row.date < cut.date:
            text = f"read on {row.date}, but the cut {cut.id}, after which it says it was read, was made on {cut.date}."
            problems.add(row.where("after_cut"), row.id, text)
        superseded = rows.get(row.supersedes or "")
        if superseded and superseded.of != row.of:
            text = f"it puts right {superseded.id}, which is of {superseded.of}, not of {row.of}."
            problems.add(row.where("supersedes"), row.id, text)


def _station(row: Row, feature: Feature, problems: Problems) -> None:
    if not feature.is_length:
        problems.add(row.where("of"), row.id, f'"{row.of}" is a {feature.kind}: it has no size to read.')
    if row.station is None:
        return
    if feature.extent and not feature.extent[0].value <= row.station.value <= feature.extent[1].value:
        problems.add(
            row.where("station"),
            row.id,
            f"station {row.station} lies outside the part: {row.of} runs from {feature.extent[0]} to {feature.extent[1]}.",
        )
    elif row.station.value < 0:
        problems.add(
            row.where("station"), row.id, f"station {row.station} lies outside the part: stations count from nought."
        )


def _withdrawn_readings(build: Build, problems: Problems) -> None:
    """What is withdrawn or put right is a reading."""
    withdrawals = {withdrawal.id for withdrawal in build.reading_withdrawals}
    for withdrawal in build.reading_withdrawals:
        if withdrawal.withdraws in withdrawals:
            problems.add(
                withdrawal.where("withdraws"),
                withdrawal.id,
                f'"{withdrawal.withdraws}" is a withdrawal, which cannot be withdrawn. Add the reading again under an id of its own.',
            )
    for row in build.rows:
        if row.supersedes in withdrawals:
            problems.add(
                row.where("supersedes"),
                row.id,
                f'"{row.supersedes}" is a withdrawal, which has no reading to put right. Add the reading without "supersedes".',
            )


def _cuts(build: Build, problems: Problems) -> None:
    """A cut is of a feature that its operation changes; what is withdrawn is a cut."""
    withdrawals = {withdrawal.id for withdrawal in build.cut_withdrawals}
    for number, cut in enumerate(build.cuts, start=1):
        operation = build.operations.get(cut.operation or "")
        if operation and cut.of in build.features and cut.of not in build.spelled_out(operation.changes):
            problems.add(
                cut.where("operation"),
                cut.id or f"cut {number}",
                f'{cut.operation} ({operation.does}) does not say that it changes {cut.of}. Add it to its "changes", or name '
                "the operation that cuts it.",
            )
    for withdrawal in build.cut_withdrawals:
        if withdrawal.withdraws in withdrawals:
            problems.add(
                withdrawal.where("withdraws"),
                withdrawal.id or "a withdrawal",
                f'"{withdrawal.withdraws}" is a withdrawal, which cannot be withdrawn. Enter the cut again under an id of its own.',
            )


def _withdrawn_runs(build: Build, problems: Problems) -> None:
    """What is withdrawn is one run, and no withdrawal."""
    withdrawals = {withdrawal.id for withdrawal in build.run_withdrawals}
    for withdrawal in build.run_withdrawals:
        about, name = withdrawal.id or "a withdrawal", withdrawal.withdraws
        meant = [run for run in build.runs if name in run.names]
        if name in withdrawals:
            text = f'"{name}" is a withdrawal, which cannot be withdrawn. Enter the run again under an id of its own.'
            problems.add(withdrawal.where("withdraws"), about, text)
        elif len(meant) > 1:
            text = f'{len(meant)} runs are of "{name}". Give the one that is meant an "id", and name that.'
            problems.add(withdrawal.where("withdraws"), about, text)


def _withdrawn_outcomes(build: Build, problems: Problems) -> None:
    """What is withdrawn is one outcome, and no withdrawal."""
    withdrawals = {withdrawal.id for withdrawal in build.outcome_withdrawals}
    for withdrawal in build.outcome_withdrawals:
        about, name = withdrawal.id or "a withdrawal", withdrawal.withdraws
        meant = [outcome for outcome in build.outcomes if name in outcome.names]
        if name in withdrawals:
            text = (
                f'"{name}" is a withdrawal, which cannot be withdrawn. Enter the outcome again under an id of its own.'
            )
            problems.add(withdrawal.where("withdraws"), about, text)
        elif len(meant) > 1:
            text = f'{len(meant)} outcomes are of "{name}". Give the one that is meant an "id", and name that.'
            problems.add(withdrawal.where("withdraws"), about, text)


def _withdrawn_verdicts(build: Build, problems: Problems) -> None:
    by_name: dict[str, list[Review]] = {}
    for review in build.reviews:
        for name in {review.id or review.day_and_person, review.day_and_person}:
            by_name.setdefault(name, []).append(review)
    withdrawals = {other.id for other in build.review_withdrawals}
    for number, entry in enumerate(build.review_entries, start=1):
        if isinstance(entry, ReviewWithdrawal):
            _verdict(entry, by_name, withdrawals, f"review {number}", problems)


def _verdict(
    withdrawal: ReviewWithdrawal,
    by_name: Mapping[str, list[Review]],
    withdrawals: Collection[str | None],
    about: str,
    problems: Problems,
) -> None:
    """The verdict that is taken back is one, and of the same person."""
    where = withdrawal.where("withdraws")
    meant = by_name.get(withdrawal.withdraws, [])
    if withdrawal.withdraws in withdrawals:
        text = f'"{withdrawal.withdraws}" is a withdrawal, which cannot be withdrawn. Give the verdict again in an entry of its own.'
        problems.add(where, about, text)
    elif not meant:
        names = [review.id or review.day_and_person for reviews in by_name.values() for review in reviews]
        problems.add(
            where, about, f'no verdict "{withdrawal.withdraws}".{problems.nearest(withdrawal.withdraws, names)}'
        )
    elif len(meant) > 1:
        problems.add(
            where,
            about,
            f'{len(meant)} verdicts are of "{withdrawal.withdraws}". Give the one that is meant an "id", and name that.',
        )
    elif meant[0].who != withdrawal.who:
        problems.add(
            withdrawal.where("who"),
            about,
            f'the verdict is of "{meant[0].who}", and only who gave a verdict takes it back.',
        )


def _materials(build: Build, knowledge: Knowledge, problems: Problems) -> None:
    for material_id, material in build.materials.items():
        shell = build.materials.get(material.shell or "")
        if shell and shell.shell:
            problems.add(
                material.where("shell"),
                material_id,
                f'the shell "{material.shell}" is a lining itself. Name the body that it is bonded to.',
            )
        base = knowledge.materials.get(build.club_material(material_id))
        if material.cte is None and (base is None or base.cte is None):
            problems.add(
                material.where(),
                material_id,
                'no coefficient of expansion. Add "cte: 11.0e-6 /K", or "like:" and a material of the club.',
            )
