"""Checks that go across files: every name leads somewhere, no circles, nothing outside its part."""

from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from gudgeon.records.build_file import EACH_SESSION
from gudgeon.records.problems import Problems, Where, nearest

if TYPE_CHECKING:
    from gudgeon.records.folder import Build, Knowledge

# Readings are taken in a shop: outside these, degrees Celsius, the figure is a slip of the pen.
COLDEST, HOTTEST = -40.0, 120.0


def check_references(build: "Build", shared: "Knowledge", shown_as: str, problems: Problems) -> None:
    """Note a problem for everything in a build that points nowhere, in a circle or outside."""
    features = build.features
    _parts(build, shared, features, problems)
    _fits(build, shared, features, problems)
    _operations(build, features, shown_as, problems)
    _instruments(build, shown_as, problems)
    _rows(build, features, problems)
    _others(build, shared, features, problems)
    _photos(build, problems)


def _known(word: str, known, where: Where, about: str, what: str, problems: Problems) -> bool:
    if word in known:
        return True
    problems.add(where, about, f'no {what} "{word}".{nearest(word, known)}')
    return False


def _parts(build, shared, features, problems) -> None:
    materials = {*build.materials, *shared.materials}
    for part_id, part in build.parts.items():
        _known(part.material, materials, part.where("material"), part_id, "material", problems)
        for name, feature in part.features.items():
            for index, mate in enumerate(feature.mates):
                _known(mate, {*features, *build.parts}, feature.where("mates", index), name, "such mate", problems)
            for index, ref in enumerate(feature.depends_on):
                _known(ref, features, feature.where("depends_on", index), name, "feature", problems)
    graph = {ref: set(feature.depends_on) & set(features) for ref, feature in features.items()}
    _circle(graph, "features depend on each other in a circle", lambda ref: features[ref].where("depends_on"), problems)


def _fits(build, shared, features, problems) -> None:
    for fit_id, fit in build.fits.items():
        for name in ("hole", "shaft", "gap", "keyway", "key", "bears_over"):
            ref = getattr(fit, name)
            if ref and _known(ref, features, fit.where(name), fit_id, "feature", problems):
                wanted = "taper" if name in ("keyway", "key") else None
                if wanted and features[ref].kind != wanted:
                    problems.add(fit.where(name), fit_id, f'"{ref}" is a {features[ref].kind}; a {name} is a taper.')
                if not wanted and not features[ref].is_length:
                    problems.add(fit.where(name), fit_id, f'"{ref}" is a {features[ref].kind}, which has no size to fit.')
        if fit.rule and _known(fit.rule, shared.rules, fit.where("rule"), fit_id, "rule", problems):
            rule = shared.rules[fit.rule]
            if rule.cases and fit.rule_case not in rule.cases:
                problems.add(fit.where("rule"), fit_id, f'rule {fit.rule} has several cases. Add the line "rule_case: {" or ".join(rule.cases)}".')
            if rule.grade == "withdrawn":
                problems.add(fit.where("rule"), fit_id, f"rule {fit.rule} is withdrawn. Cite another.")
        for index, case in enumerate(fit.hot):
            _known(case, build.head.cases if build.head else {}, fit.where("hot", index), fit_id, "temperature case", problems)


def _operations(build, features, shown_as, problems) -> None:
    for op_id, op in build.operations.items():
        _known(op.part, build.parts, op.where("part"), op_id, "part", problems)
        for index, need in enumerate(op.needs):
            _known(need, build.operations, op.where("needs", index), op_id, "operation", problems)
        for index, change in enumerate(op.changes):
            part, _, name = change.partition(".")
            known = build.parts if name == "*" else features
            _known(part if name == "*" else change, known, op.where("changes", index), op_id, "part" if name == "*" else "feature", problems)
        for index, ref in enumerate(op.presses):
            _known(ref, features, op.where("presses", index), op_id, "feature", problems)
    graph = {op_id: set(op.needs) & set(build.operations) for op_id, op in build.operations.items()}
    _circle(graph, "operations need each other in a circle", lambda op_id: build.operations[op_id].where("needs"), problems)


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


def _instruments(build, shown_as, problems) -> None:
    for name, instrument in build.instruments.items():
        if instrument.scale_from:
            _known(instrument.scale_from, build.instruments, instrument.where("scale_from"), name, "instrument", problems)
        if EACH_SESSION not in (instrument.checked, instrument.due) and instrument.due < instrument.checked:
            problems.add(instrument.where("due"), name, f"due on {instrument.due}, before it was checked on {instrument.checked}.")
    graph = {name: {each.scale_from} & set(build.instruments) for name, each in build.instruments.items()}
    _circle(graph, "instruments are set in each other in a circle", lambda name: build.instruments[name].where("scale_from"), problems)


def _rows(build, features, problems) -> None:
    first: dict[str, Where] = {}
    rows = {}
    for row in build.rows:
        if row.id in first:
            problems.add(row.where("id"), row.id, f"this reading id stands already in {first[row.id]}. Give the newer row its own id.")
            continue
        first[row.id] = row.where("id")
        rows[row.id] = row
        if _known(row.of, features, row.where("of"), row.id, "feature", problems):
            _station(row, features[row.of], problems)
        if row.gauge not in build.instruments:
            problems.add(row.where("gauge"), row.id, f'"{row.gauge}" is not in the gauge drawer (instruments.yaml).{nearest(row.gauge, build.instruments)}')
        if row.after:
            _known(row.after, build.operations, row.where("after"), row.id, "operation", problems)
        _person(build, row.by, row.where("by"), row.id, problems)
        for name in ("part_temp", "gauge_temp"):
            measure = getattr(row, name)
            if measure is not None and not COLDEST <= float(measure) <= HOTTEST:
                problems.add(row.where(name), row.id, f"no shop is at {measure} ({float(measure):.0f} °C). Write the temperature at which it was read.")
    for row in rows.values():
        if row.supersedes:
            if _known(row.supersedes, rows, row.where("supersedes"), row.id, "reading", problems) and rows[row.supersedes].of != row.of:
                problems.add(row.where("supersedes"), row.id, f"it puts right {row.supersedes}, which is of {rows[row.supersedes].of}, not of {row.of}.")
    graph = {row.id: {row.supersedes} & set(rows) for row in rows.values()}
    _circle(graph, "readings supersede each other in a circle", lambda name: rows[name].where("supersedes"), problems)


def _station(row, feature, problems) -> None:
    if not feature.is_length:
        problems.add(row.where("of"), row.id, f'"{row.of}" is a {feature.kind}: it has no size to read.')
    if row.station is None:
        return
    if feature.extent and not feature.extent[0].value <= row.station.value <= feature.extent[1].value:
        problems.add(row.where("station"), row.id, f"station {row.station} lies outside the part: {row.of} runs from {feature.extent[0]} to {feature.extent[1]}.")
    elif row.station.value < 0:
        problems.add(row.where("station"), row.id, f"station {row.station} lies outside the part: stations count from nought.")


def _person(build, name, where, about, problems) -> None:
    people = build.head.people if build.head else {name: None}
    _known(name, people, where, about, "person", problems)


def _others(build, shared, features, problems) -> None:
    for material_id, material in build.materials.items():
        if material.like:
            _known(material.like, shared.materials, material.where("like"), material_id, "club material", problems)
        if material.shell:
            _known(material.shell, build.materials, material.where("shell"), material_id, "material of this build", problems)
            if material.shell in build.materials and build.materials[material.shell].shell:
                problems.add(material.where("shell"), material_id, f'the shell "{material.shell}" is a lining itself. Name the body that it is bonded to.')
        base = shared.materials.get(material.like or material_id)
        if material.cte is None and (base is None or base.cte is None):
            problems.add(material.where(), material_id, 'no coefficient of expansion. Add "cte: 11.0e-6 /K", or "like:" and a material of the club.')
        if material.source:
            _known(material.source, shared.sources, material.where("source"), material_id, "source", problems)
    for number, cut in enumerate(build.cuts, start=1):
        _known(cut.of, features, cut.where("of"), f"cut {number}", "feature", problems)
        _known(cut.machine, build.machines, cut.where("machine"), f"cut {number}", "machine", problems)
    for number, review in enumerate(build.reviews, start=1):
        _person(build, review.who, review.where("who"), f"review {number}", problems)
        for index, ref in enumerate(review.about):
            _known(ref, {*build.fits, *features, *build.parts}, review.where("about", index), f"review {number}", "fit, feature or part", problems)
    numbers = {}
    for each in build.instalments:
        _person(build, each.head.by, each.head.where("by"), "by", problems)
        if each.head.number in numbers:
            problems.add(each.head.where("number"), "number", f"instalment {each.head.number} is already {numbers[each.head.number]}. Give it the next number.")
        numbers.setdefault(each.head.number, each.file)


def _photos(build, problems) -> None:
    named = [(row.photo, row.where("photo"), row.id) for row in build.rows if row.photo]
    named += [(photo, part.where("photos", index), part_id) for part_id, part in build.parts.items() for index, photo in enumerate(part.photos)]
    named += [(photo, each.head.where("photos", index), "photos") for each in build.instalments for index, photo in enumerate(each.head.photos)]
    for photo, where, about in named:
        path = build.folder / "photos" / photo
        if path.is_symlink() or not path.is_file():
            problems.add(where, about, f'no picture "{photo}" in photos/. Put it there, or remove the name.')
