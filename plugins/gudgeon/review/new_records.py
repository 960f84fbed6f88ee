"""Readings and verdicts that were added, as a reviewer wants to see them: with what was read, by whom, and what was there before."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from gudgeon.assess.findings import Source
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon.records.build_file import ReviewWithdrawal
from gudgeon.records.model import Build
from gudgeon.records.problems import Where
from gudgeon.records.readings import Row
from gudgeon.review.append_only import says_the_same
from gudgeon.review.edited_records import reads_in_words
from gudgeon.review.slip import Earlier, NewReading, Units, Verdict

Place = tuple[str, float | None, float | None]  # of a feature: station, mm, and angle, degrees


def rows_by_place(build: Build) -> dict[Place, list[Row]]:
    """A build's rows by where they were read, the oldest first."""
    at_place: dict[Place, list[Row]] = {}
    for row in sorted(build.rows, key=_age):
        at_place.setdefault(_place(row), []).append(row)
    return at_place


def _age(row: Row) -> tuple[date, str]:
    return row.date, row.id


def _place(row: Row) -> Place:
    return (
        row.of,
        None if row.station is None else float(row.station),
        None if row.angle is None else float(row.angle),
    )


def new_reading(pair: Pair, row: Row, at_place: Mapping[Place, Sequence[Row]]) -> NewReading:
    """A reading that was added: what was read, where, with what and by whom, and what was read there before. at_place: as
    `rows_by_place` has it."""
    finding = pair.found.rows.get(row.id) if pair.found else None
    assert pair.now, "a build that is gone has no new readings"
    before = _read_before(pair, row, at_place[_place(row)])
    finding_before = pair.found.rows.get(before.id) if pair.found and before else None
    return NewReading(
        build=pair.name,
        units=units_of(pair.now),
        row=row.id,
        of=row.of,
        reads=reads_in_words(row.reads),
        size=finding.size if finding else None,
        station=str(row.station) if row.station is not None else None,
        angle=str(row.angle) if row.angle is not None else None,
        gauge=row.gauge,
        by=row.by,
        date=row.date.isoformat(),
        temperatures=" / ".join(str(temp) for temp in (row.part_temp, row.gauge_temp))
        if row.part_temp is not None and row.gauge_temp is not None
        else None,
        status=finding.status if finding else None,
        before=Earlier(
            row=before.id,
            reads=reads_in_words(before.reads),
            date=before.date.isoformat(),
            by=before.by,
            size=finding_before.size if finding_before else None,
        )
        if before
        else None,
        supersedes=row.supersedes,
        source=source_of(row.where()),
    )


NO_SIZE = ("held back", "withdrawn")  # what became of a row whose number nobody should compare with


def _read_before(pair: Pair, row: Row, there: Sequence[Row]) -> Row | None:
    """The newest row at the same place that is older than this one and whose number can be trusted. there: those at its place."""
    known = pair.found.rows if pair.found else {}
    for place in range(bisect_left(there, _age(row), key=_age) - 1, -1, -1):
        other = there[place]
        if not (other.id in known and known[other.id].status in NO_SIZE):
            return other
    return None


def new_verdicts(pair: Pair, comparison: Comparison) -> Iterator[Verdict]:
    """What people said since, with who committed it where that is somebody else."""
    # What the change itself says of who commits under which name proves nothing of somebody who was there before.
    people = {
        name: person
        for build in (pair.now, pair.was)
        if build and build.head
        for name, person in build.head.people.items()
    }
    assert pair.now, "a build that is gone has no new verdicts"
    was = pair.was.review_entries if pair.was else []
    for entry in pair.now.review_entries:
        if any(says_the_same(before, entry, pair.now.former_names) for before in was):
            continue
        where = entry.where()
        person = people.get(entry.who)
        called = {entry.who, *((person.name, *person.commits_as) if person else ())}
        author = comparison.author_of(where.file, where.line)
        committed_by = None if author is None or called & set(author) else f"{author[0]} <{author[1]}>"
        if isinstance(entry, ReviewWithdrawal):
            yield _withdrawal(pair, entry, committed_by)
            continue
        review = entry
        ends = [f"on {review.recheck}"] if review.recheck else []
        ends += [f"after {review.recheck_after} of running"] if review.recheck_after else []
        yield Verdict(
            build=pair.name,
            units=units_of(pair.now),
            date=review.date.isoformat(),
            who=review.who,
            verdict=review.verdict,
            about=list(review.about),
            says=review.says,
            allow=(float(review.allow[0]), float(review.allow[1])) if review.allow else None,
            ends=" or ".join(ends) or None,
            committed_by=committed_by,
            source=source_of(where),
        )


def _withdrawal(pair: Pair, entry: ReviewWithdrawal, committed_by: str | None) -> Verdict:
    """What a person takes back, told as what people say is told."""
    now = pair.now
    assert now, "a build that is gone has no new verdicts"
    back = next((review for review in now.reviews if now.withdrawal_of(review) is entry), None)
    return Verdict(
        build=pair.name,
        units=units_of(now),
        date=entry.date.isoformat(),
        who=entry.who,
        verdict=f"{back.verdict} of {back.date} withdrawn" if back else f"{entry.withdraws} withdrawn",
        about=list(back.about) if back else [],
        says=entry.because,
        allow=None,
        ends=None,
        committed_by=committed_by,
        source=source_of(entry.where()),
    )


def source_of(where: Where) -> Source:
    """A place in a file as data."""
    return Source(file=where.file, line=where.line)


def units_of(build: Build) -> Units:
    """The unit of a build's drawings."""
    return build.head.units if build.head else "mm"
