"""What reviewers have said and still ask, and what is new since: for the list of fits, a fit's page and a build's home.

A request is open until who asked gives another verdict on it or withdraws; what others said meanwhile stands beside it. New is
what bears a later day than a verdict. What bears the same day may have been seen or not, and is said as just that.
"""

import datetime as dt
from dataclasses import dataclass

from gudgeon.assess.findings import FitFinding
from gudgeon.records.build_file import Review
from gudgeon.records.model import Build


@dataclass(frozen=True)
class News:
    """What the records have of a fit that is newer than a day."""

    readings: tuple[str, ...]  # ids
    jobs: tuple[str, ...]
    wanted: bool  # what is wanted was changed
    gauges: tuple[str, ...]  # found off
    same_day: tuple[str, ...]  # readings of the day itself

    def __bool__(self) -> bool:
        return bool(self.readings or self.jobs or self.wanted or self.gauges or self.same_day)


@dataclass(frozen=True)
class Request:
    """Changes that a person asked for and has not taken back. about: what they have said nothing newer of."""

    review: Review
    about: tuple[str, ...]
    since: tuple[Review, ...]  # later verdicts of others on any of it


@dataclass(frozen=True)
class Said:
    """A person's newest standing verdict on a fit, with what is new since."""

    review: Review
    news: News


def in_time(build: Build) -> list[Review]:
    """The verdicts that stand, oldest first; of one day as they are written."""
    return sorted(build.standing_reviews, key=lambda review: review.date)


def open_requests(build: Build) -> list[Request]:
    """What reviewers have asked to be changed and have not let go, oldest first."""
    reviews, asked = in_time(build), []
    for place, review in enumerate(reviews):
        if review.verdict != "changes asked":
            continue
        later = reviews[place + 1 :]
        answered = {name for other in later if other.who == review.who for name in other.about}
        about = tuple(name for name in review.about if name not in answered)
        of_all = not review.about and not any(other.who == review.who and not other.about for other in later)
        if about or of_all:
            since = tuple(other for other in later if other.who != review.who and set(about) & set(other.about))
            asked.append(Request(review, about, since))
    return asked


def said_of(build: Build, fit: FitFinding) -> list[Said]:
    """The newest verdict of each person on a fit, newest first."""
    newest = {review.who: review for review in in_time(build) if fit.id in review.about}
    ordered = sorted(newest.values(), key=lambda review: review.date, reverse=True)
    return [Said(review, news(build, fit, review.date)) for review in ordered]


def news(build: Build, fit: FitFinding, day: dt.date) -> News:
    """What the dated records have of a fit since a day."""
    record = build.fits[fit.id]
    halves = set(record.halves)
    rows = [row for row in build.rows if row.of in halves and row.id not in build.withdrawn]
    jobs = [
        name
        for name, operation in build.operations.items()
        if operation.done and operation.done > day and halves & set(build.touched_by(operation))
    ]
    used = {row.gauge for row in rows}
    gauges = [
        name
        for name, instrument in build.instruments.items()
        if instrument.found_off
        and instrument.found_off.found > day
        and used & {name, *(other for other, gauge in build.instruments.items() if gauge.scale_from == name)}
    ]
    return News(
        readings=tuple(row.id for row in rows if row.date > day),
        jobs=tuple(jobs),
        wanted=any(was.until and was.until > day for was in record.wanted_before),
        gauges=tuple(gauges),
        same_day=tuple(row.id for row in rows if row.date == day),
    )


def verdict_line(fit_id: str, verdict: str) -> str:
    """What to add to reviews.yaml. The day, the name and the words are left for a person: as it stands it is refused."""
    return f"- {{date: , who: , verdict: {verdict}, about: [{fit_id}], says: ''}}"
