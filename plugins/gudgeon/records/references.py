"""Checks that go across files: every name leads somewhere, no circles, nothing outside its part."""

from graphlib import CycleError, TopologicalSorter

from gudgeon_calc.limits_and_fits import NotInTable, read_fit_class
from gudgeon_calc.units import NotAQuantity

from gudgeon.records.build_file import EACH_SESSION, ReviewWithdrawal
from gudgeon.records.figures import FIGURES, measured
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.ids import check_ids
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.problems import Problems, Where, nearest
from gudgeon.records.readings import ReadingWithdrawal

# Readings are taken in a shop: outside these, degrees Celsius, the figure is a slip of the pen.
COLDEST, HOTTEST = -40.0, 120.0


def check_references(build: Build, shared: Knowledge, problems: Problems) -> None:
    """Note a problem for everything in a build that points nowhere, in a circle or outside."""
    features = build.features
    check_ids(build, problems)
    known = _Known(build, problems)
    _parts(build, shared, features, known, problems)
    _fits(build, shared, features, known, problems)
    _operations(build, features, known, problems)
    _instruments(build, known, problems)
    _rows(build, features, known, problems)
    _reviews(build, features, known, problems)
    _materials(build, shared, known, problems)
    _figures(build, shared, known, problems)
    _others(build, shared, features, known)
    _stories(build, known, problems)
    _photos(build, problems)


class _Known:
    """Looks names up; a name that leads into a file that could not be read is left alone: that file has its own problem."""

    FILES = {
        "operation": "operations.yaml",
        "instrument": "instruments.yaml",
        "machine": "machines.yaml",
        "reading": "readings",
        "temperature case": "build.yaml",
        "material": "materials.yaml",
        "material of this build": "materials.yaml",
        "fit, feature or part": "fits.yaml",
    }
    # What a name may have been before something was renamed, where it is not the kind itself.
    KINDS = {"such mate": ("feature", "part"), "fit, feature or part": ("fit", "feature", "part")}

    def __init__(self, build: Build, problems: Problems):
        self._unread, self._problems = build.unread, problems
        self._former = build.former_names

    def __call__(self, word: str, known, where: Where, about: str, what: str, said: str | None = None) -> bool:
        if word in known:
            return True
        if word.partition(".")[0] not in self._unread and self.FILES.get(what) not in self._unread:
            self._problems.add(where, about, (said or f'no {what} "{word}".') + self._hint(word, known, what))
        return False

    def _hint(self, word: str, known, what: str) -> str:
        for kind in self.KINDS.get(what, (what,)):
            if word in self._former.get(kind, {}):
                return f' It was renamed to "{self._former[kind][word]}".'
        return nearest(word, known)


def _parts(build, shared, features, known, problems) -> None:
    materials = {*build.materials, *shared.materials}
    for part_id, part in build.parts.items():
        known(part.material, materials, part.where("material"), part_id, "material")
        for name, feature in part.features.items():
            for index, mate in enumerate(feature.mates):
                known(mate, {*features, *build.parts}, feature.where("mates", index), name, "such mate")
            for index, ref in enumerate(feature.depends_on):
                known(ref, features, feature.where("depends_on", index), name, "feature")
    graph = {ref: set(feature.depends_on) & set(features) for ref, feature in features.items()}
    _circle(graph, "features depend on each other in a circle", lambda ref: features[ref].where("depends_on"), problems)


def _fits(build, shared, features, known, problems) -> None:
    for fit_id, fit in build.fits.items():
        _halves(fit, fit_id, features, known, problems)
        if fit.fit_class and fit.hole in features:
            _class(fit, fit_id, features[fit.hole], problems)
        for index, each in enumerate(fit.wanted_before):
            if each.rule and each.rule not in shared.unread:
                known(each.rule, shared.rules, fit.where("wanted_before", index, "rule"), fit_id, "rule")
        if (
            fit.rule
            and fit.rule not in shared.unread
            and known(fit.rule, shared.rules, fit.where("rule"), fit_id, "rule")
        ):
            rule = shared.rules[fit.rule]
            if rule.cases and fit.rule_case not in rule.cases:
                problems.add(
                    fit.where("rule"),
                    fit_id,
                    f'rule {fit.rule} has several cases. Add the line "rule_case: {" or ".join(rule.cases)}".',
                )
            elif (
                fit.want is None
                and fit.fit_class is None
                and (rule.cases[fit.rule_case] if rule.cases else rule.gives).per_length
            ):
                counts_on = fit.counted_on
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
        for index, case in enumerate(fit.hot):
            known(case, build.head.cases if build.head else {}, fit.where("hot", index), fit_id, "temperature case")


def _halves(fit, fit_id, features, known, problems) -> None:
    """The features that a fit names have to be of the kinds that its own kind joins."""
    for name, may_be in fit.pairing.features.items():
        ref = getattr(fit, name)
        if ref and known(ref, features, fit.where(name), fit_id, "feature") and features[ref].kind not in may_be:
            problems.add(
                fit.where(name),
                fit_id,
                f'"{ref}" is a {features[ref].kind}; the {name} of a {fit.kind} fit is a {" or a ".join(may_be)}.',
            )


def _class(fit, fit_id, hole, problems) -> None:
    """A class of fit has to be one of the tables', and of this size."""
    try:
        found = read_fit_class(fit.fit_class, hole.size)
    except NotInTable as error:
        problems.add(fit.where("class"), fit_id, str(error))
        return
    if hole.size is not None and abs(found.basic - hole.size) > 0.01 * hole.size:
        problems.add(
            fit.where("class"),
            fit_id,
            f"the class counts from {found.basic:g} mm, but {fit.hole} is {hole.nominal}: another size.",
        )


def _figures(build, shared, known, problems) -> None:
    for name, figure in build.figures.items():
        if name not in FIGURES:
            problems.add(figure.where(), name, f'no sum needs a figure "{name}".{nearest(name, FIGURES)}')
            continue
        try:
            measured(name, figure)
        except NotAQuantity as error:
            problems.add(figure.where("is"), name, str(error))
        if figure.source:
            known(figure.source, shared.sources, figure.where("source"), name, "source")


def _operations(build, features, known, problems) -> None:
    for op_id, op in build.operations.items():
        known(op.part, build.parts, op.where("part"), op_id, "part")
        for ref in op.cutting_of:
            known(ref, features, op.where("cutting_of", ref), op_id, "feature")
        if op.machine:
            known(op.machine, build.machines, op.where("machine"), op_id, "machine")
        for index, need in enumerate(op.needs):
            known(need, build.operations, op.where("needs", index), op_id, "operation")
        for index, change in enumerate(op.changes):
            part, _, name = change.partition(".")
            known(
                part if name == "*" else change,
                build.parts if name == "*" else features,
                op.where("changes", index),
                op_id,
                "part" if name == "*" else "feature",
            )
        for index, ref in enumerate(op.presses):
            known(ref, features, op.where("presses", index), op_id, "feature")
    graph = {op_id: set(op.needs) & set(build.operations) for op_id, op in build.operations.items()}
    _circle(
        graph, "operations need each other in a circle", lambda op_id: build.operations[op_id].where("needs"), problems
    )


def _circle(graph, what, where, problems) -> None:
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        ring = error.args[1][:-1]
        start = ring.index(min(ring))
        ring = ring[start:] + ring[:start]
        # graphlib names them from the needed to the needing; people read it the other way round.
        words = " needs ".join([ring[0], *reversed(ring[1:]), ring[0]])
        problems.add(where(ring[0]), ring[0], f"{what}: {words}. Take one of them out.")


def _instruments(build, known, problems) -> None:
    for name, instrument in build.instruments.items():
        if instrument.scale_from:
            known(instrument.scale_from, build.instruments, instrument.where("scale_from"), name, "instrument")
        if instrument.found_off and instrument.scale_from:
            problems.add(
                instrument.where("found_off"),
                name,
                f'it is set in {instrument.scale_from}: write "found_off" there, and it holds for both.',
            )
        elif instrument.found_off and instrument.found_off.since is None and instrument.checked == EACH_SESSION:
            problems.add(
                instrument.where("found_off"), name, 'nothing says since when. Add the line "since: 2025-01-31".'
            )
        if EACH_SESSION not in (instrument.checked, instrument.due) and instrument.due < instrument.checked:
            problems.add(
                instrument.where("due"),
                name,
                f"due on {instrument.due}, before it was checked on {instrument.checked}.",
            )
    graph = {name: {each.scale_from} & set(build.instruments) for name, each in build.instruments.items()}
    _circle(
        graph,
        "instruments are set in each other in a circle",
        lambda name: build.instruments[name].where("scale_from"),
        problems,
    )


def _rows(build, features, known, problems) -> None:
    rows, seen = {}, set()
    for row in build.reading_entries:
        if row.id in seen:
            continue
        seen.add(row.id)
        _person(build, known, row.by, row.where("by"), row.id)
        if isinstance(row, ReadingWithdrawal):
            continue
        rows[row.id] = row
        if known(row.of, features, row.where("of"), row.id, "feature"):
            _station(row, features[row.of], problems)
        known(
            row.gauge,
            build.instruments,
            row.where("gauge"),
            row.id,
            "instrument",
            f'"{row.gauge}" is not in the gauge drawer (instruments.yaml).',
        )
        if row.after:
            known(row.after, build.operations, row.where("after"), row.id, "operation")
        for name in ("part_temp", "gauge_temp"):
            measure = getattr(row, name)
            if measure is not None and not COLDEST <= float(measure) <= HOTTEST:
                problems.add(
                    row.where(name),
                    row.id,
                    f"no shop is at {measure} ({float(measure):.0f} °C). Write the temperature at which it was read.",
                )
    for row in rows.values():
        if row.supersedes and known(row.supersedes, rows, row.where("supersedes"), row.id, "reading"):
            other = rows[row.supersedes]
            if other.of != row.of:
                text = f"it puts right {other.id}, which is of {other.of}, not of {row.of}."
                problems.add(row.where("supersedes"), row.id, text)
    withdrawals = {withdrawal.id for withdrawal in build.reading_withdrawals}
    for withdrawal in build.reading_withdrawals:
        where = withdrawal.where("withdraws")
        if withdrawal.withdraws in withdrawals:
            problems.add(
                where,
                withdrawal.id,
                f'"{withdrawal.withdraws}" is a withdrawal, which cannot be withdrawn. Add the reading again under an id of its own.',
            )
        else:
            known(withdrawal.withdraws, rows, where, withdrawal.id, "reading")
    graph = {row.id: {row.supersedes} & set(rows) for row in rows.values()}
    _circle(graph, "readings supersede each other in a circle", lambda name: rows[name].where("supersedes"), problems)


def _station(row, feature, problems) -> None:
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


def _person(build, known, name, where, about) -> None:
    if build.head:
        known(name, build.head.people, where, about, "person")


def _others(build, shared, features, known) -> None:
    for number, cut in enumerate(build.cuts, start=1):
        known(cut.of, features, cut.where("of"), f"cut {number}", "feature")
        known(cut.machine, build.machines, cut.where("machine"), f"cut {number}", "machine")
    for material_id, material in build.materials.items():
        if material.source:
            known(material.source, shared.sources, material.where("source"), material_id, "source")


def _reviews(build, features, known, problems) -> None:
    for number, entry in enumerate(build.review_entries, start=1):
        about = f"review {number}"
        _person(build, known, entry.who, entry.where("who"), about)
        if isinstance(entry, ReviewWithdrawal):
            _verdict(build, entry, about, problems)
            continue
        for index, ref in enumerate(entry.about):
            known(
                ref,
                {*build.fits, *features, *build.parts},
                entry.where("about", index),
                about,
                "fit, feature or part",
            )


def _verdict(build, withdrawal, about, problems) -> None:
    """The verdict that is taken back is one, and of the same person."""
    where = withdrawal.where("withdraws")
    meant = [review for review in build.reviews if withdrawal.withdraws in (review.id, review.day_and_person)]
    if withdrawal.withdraws in {other.id for other in build.review_withdrawals}:
        text = f'"{withdrawal.withdraws}" is a withdrawal, which cannot be withdrawn. Give the verdict again in an entry of its own.'
        problems.add(where, about, text)
    elif not meant:
        names = [review.id or review.day_and_person for review in build.reviews]
        problems.add(where, about, f'no verdict "{withdrawal.withdraws}".{nearest(withdrawal.withdraws, names)}')
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


def _materials(build, shared, known, problems) -> None:
    for material_id, material in build.materials.items():
        if material.like:
            known(material.like, shared.materials, material.where("like"), material_id, "club material")
        if material.shell:
            known(material.shell, build.materials, material.where("shell"), material_id, "material of this build")
            if material.shell in build.materials and build.materials[material.shell].shell:
                problems.add(
                    material.where("shell"),
                    material_id,
                    f'the shell "{material.shell}" is a lining itself. Name the body that it is bonded to.',
                )
        base = shared.materials.get(material.like or material_id)
        if material.cte is None and (base is None or base.cte is None):
            problems.add(
                material.where(),
                material_id,
                'no coefficient of expansion. Add "cte: 11.0e-6 /K", or "like:" and a material of the club.',
            )


def _stories(build, known, problems) -> None:
    numbers = {}
    for each in build.instalments:
        _person(build, known, each.head.by, each.head.where("by"), "by")
        if each.head.number in numbers:
            problems.add(
                each.head.where("number"),
                "number",
                f"instalment {each.head.number} is already {numbers[each.head.number]}. Give it the next number.",
            )
        numbers.setdefault(each.head.number, each.file)


def _photos(build, problems) -> None:
    for photo, where, about in build.named_photos:
        path = build.folder / "photos" / photo
        if path.is_symlink() or not path.is_file():
            problems.add(where, about, f'no picture "{photo}" in photos/. Put it there, or remove the name.')
