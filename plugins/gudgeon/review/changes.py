"""Which records differ between two revisions of a build, and what each of them reaches."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from gudgeon.records.base import Record
from gudgeon.records.knowledge import Form
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.readings import Row
from gudgeon.wording import form

NOT_READ = ("note", "photo")  # said beside a reading, not part of it: may be added later, not changed


@dataclass(frozen=True)
class Change:
    """One record that differs. says: in words; features, fits: what it reaches in the build."""

    says: str
    features: frozenset[str] = frozenset()
    fits: frozenset[str] = frozenset()


def differing(was: Record | None, now: Record | None) -> list[str]:
    """The fields in which two records differ; the texts count, not where they stand."""
    if was is None or now is None:
        return [] if was is now else ["all"]
    before, after = was.model_dump(), now.model_dump()
    return [name for name in after if before[name] != after[name]]


def rows_by_id(build: Build | None) -> dict[str, Row]:
    """The rows of a build by id, the first of each."""
    found: dict[str, Row] = {}
    for row in build.rows if build else ():
        found.setdefault(row.id, row)
    return found


def changes(
    was: Build, now: Build, shelf_was: Knowledge, shelf: Knowledge, metals_was: dict, metals: dict
) -> list[Change]:
    """All records of a build, and of the shelf as far as it uses it, that differ between two revisions.

    metals_was, metals: the findings of its materials on both sides.
    """
    return [
        *_readings(was, now),
        *_operations(was, now),
        *_instruments(was, now),
        *_materials(was, now, shelf_was, shelf, metals_was, metals),
        *_rules(now, shelf_was, shelf),
        *_parts(was, now),
        *_fits(was, now),
        *_cases(was, now),
        *_reviews(was, now),
    ]


def causes(found: list[Change], fit_id: str, was: Build, now: Build) -> list[str]:
    """What reaches a fit, in words; the day of the records where nothing else does."""
    features = {ref for build in (was, now) for ref in _halves(build, fit_id)}
    said = [each.says for each in found if fit_id in each.fits or features & each.features]
    if not said and was.newest_date != now.newest_date:
        said = [f"the newest day of the records is now {now.newest_date}"]
    return list(dict.fromkeys(said))


def _halves(build: Build, fit_id: str) -> set[str]:
    """The features that a fit rests on, and those that they depend on."""
    fit = build.fits.get(fit_id)
    if fit is None:
        return set()
    found: set[str] = set()
    waiting = [*fit.halves, *([fit.bears_over] if fit.bears_over else [])]
    while waiting:
        ref = waiting.pop()
        if ref not in found:
            found.add(ref)
            waiting += build.features[ref].depends_on if ref in build.features else ()
    return found


def _each(was: dict, now: dict) -> Iterable[tuple[str, Record | None, Record | None, list[str]]]:
    for name in {**was, **now}:
        fields = differing(was.get(name), now.get(name))
        if fields:
            yield name, was.get(name), now.get(name), fields


def _word(what: str, name: str, before, after, fields: list[str]) -> str:
    if before is None:
        return f"new {what} {name}"
    if after is None:
        return f"{what} {name} is gone"
    return f"{what} {name}: {', '.join(_field(before, after, field) for field in fields)}"


def _field(before: Record, after: Record, field: str) -> str:
    """A field with what it was and is, where both are short."""
    said = field.replace("_", " ")
    old, new = (_short(getattr(each, field)) for each in (before, after))
    return f"{said} {old} → {new}" if old and new else said


def _short(value) -> str | None:
    if isinstance(value, Form):
        text = form(value)
    elif isinstance(value, tuple):
        each = [_short(one) for one in value]
        text = " to ".join(each) if len(each) < 3 and all(each) else None
    elif isinstance(value, (dict, Record)):
        return None
    elif isinstance(value, float) and 0 < abs(value) < 1e-3:
        text = f"{value * 1e6:g}e-6"  # an expansion, as its file has it
    else:
        text = "nothing" if value is None else str(value)
    return text if text and len(text) <= 50 else None


def _readings(was: Build, now: Build) -> Iterable[Change]:
    for row_id, before, after, fields in _each(rows_by_id(was), rows_by_id(now)):
        row = after or before
        if set(fields) <= set(NOT_READ):
            continue
        says = _word("reading", row_id, before, after, fields)
        if before is None and row.supersedes:
            other = rows_by_id(now).get(row.supersedes)
            differs = [
                each for each in differing(other, row) if each not in (*NOT_READ, "id", "supersedes", "by", "date")
            ]
            says += f", puts {row.supersedes} right"
            if other and differs:
                says += f" ({', '.join(_field(other, row, each) for each in differs)})"
        refs = {row.of} | ({before.of} if before else set())
        yield Change(says, frozenset(refs))


def _operations(was: Build, now: Build) -> Iterable[Change]:
    for name, before, after, fields in _each(was.operations, now.operations):
        if before is not None and after is not None and before.done is None and after.done is not None:
            says = f"operation {name} done {after.done}"
        else:
            says = _word("operation", name, before, after, fields)
        refs: set[str] = set()
        for build, each in ((was, before), (now, after)):
            for ref in (*each.changes, *each.presses) if each else ():
                part, _, feature = ref.partition(".")
                refs |= {f"{part}.{one}" for one in build.parts[part].features} if feature == "*" else {ref}
        yield Change(says, frozenset(refs))


def _instruments(was: Build, now: Build) -> Iterable[Change]:
    for name, before, after, fields in _each(was.instruments, now.instruments):
        refs = set()
        for build in (was, now):
            reached = _closure(
                {name},
                lambda each, build=build: {key for key, gauge in build.instruments.items() if gauge.scale_from == each},
            )
            refs |= {row.of for row in build.rows if row.gauge in reached}
        yield Change(_word("instrument", name, before, after, fields), frozenset(refs))


def _closure(start: set[str], further: Callable[[str], set[str]]) -> set[str]:
    found, waiting = set(), list(start)
    while waiting:
        each = waiting.pop()
        if each not in found:
            found.add(each)
            waiting += further(each)
    return found


def _materials(
    was: Build, now: Build, shelf_was: Knowledge, shelf: Knowledge, metals_was: dict, metals: dict
) -> Iterable[Change]:
    """Materials whose figures are others in the sums; a build that has figures of its own is not moved by the club's."""
    edited = [
        _word(what, name, before, after, fields)
        for what, one, other in (
            ("material", was.materials, now.materials),
            ("club's material", shelf_was.materials, shelf.materials),
        )
        for name, before, after, fields in _each(one, other)
    ]
    differ = {name for name in {**metals_was, **metals} if metals_was.get(name) != metals.get(name)}
    refs = {
        f"{part_id}.{each}"
        for build in (was, now)
        for part_id, part in build.parts.items()
        if part.material in differ
        for each in part.features
    }
    return [Change(says, frozenset(refs)) for says in edited] if refs else []


def _rules(now: Build, shelf_was: Knowledge, shelf: Knowledge) -> Iterable[Change]:
    for name, before, after, fields in _each(shelf_was.rules, shelf.rules):
        fits = {fit_id for fit_id, fit in now.fits.items() if fit.rule == name}
        if fits:
            yield Change(_word("rule", name, before, after, fields), fits=frozenset(fits))


def _parts(was: Build, now: Build) -> Iterable[Change]:
    for part_id, before, after, fields in _each(was.parts, now.parts):
        one = before.features if before else {}
        other = after.features if after else {}
        for name, old, new, inner in _each(one, other):
            yield Change(_word("spec", f"{part_id}.{name}", old, new, inner), frozenset({f"{part_id}.{name}"}))
        if "material" in fields:
            yield Change(
                f"part {part_id}: material {before.material} → {after.material}",
                frozenset(f"{part_id}.{each}" for each in (*one, *other)),
            )


def _fits(was: Build, now: Build) -> Iterable[Change]:
    for name, before, after, fields in _each(was.fits, now.fits):
        yield Change(_word("fit", name, before, after, fields), fits=frozenset({name}))


def _cases(was: Build, now: Build) -> Iterable[Change]:
    for name, before, after, fields in _each(was.head.cases, now.head.cases):
        fits = {fit_id for build in (was, now) for fit_id, fit in build.fits.items() if name in fit.hot}
        yield Change(_word("temperature case", name, before, after, fields), fits=frozenset(fits))


def _reviews(was: Build, now: Build) -> Iterable[Change]:
    for each in new_reviews(was, now):
        about = frozenset(each.about)
        yield Change(f"{each.verdict} by {each.who}, {each.date}", features=about, fits=about)


def new_reviews(was: Build | None, now: Build) -> list:
    """Verdicts that stand in reviews.yaml now and did not before."""
    before = [each.model_dump() for each in was.reviews] if was else []
    return [each for each in now.reviews if each.model_dump() not in before]
