"""The builds of a club, each with the picture of its engine and what happened last: for the home of the site and the list of builds."""

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon import boundary
from gudgeon.pages.drawn.engine import engine
from gudgeon.pages.view import View
from gudgeon.records.model import Build
from gudgeon.records.problems import Where
from gudgeon.wording import lower_first


@dataclass(frozen=True)
class Card:
    """A build. drawing: of its engine, or why there is none; last: the newest day of its work, and what was done on it."""

    view: View
    drawing: Markup | None
    lacks: str | None
    last: tuple[dt.date, list[str]] | None


def cards(views: Sequence[View]) -> list[Card]:
    """The builds in the order given."""
    return [_card(view, number) for number, view in enumerate(views)]


def _card(view: View, number: int) -> Card:
    where = Where(f"{view.build.path}/build.yaml")
    picture = boundary.attempt(
        f"the picture of {view.home}", where, engine, view.build, view.part_states, f"engine-{number}", None, True
    )
    if isinstance(picture, boundary.Failure):
        view.failures.append(picture)
        return Card(view, None, "the tool failed", last_done(view.build))
    return Card(view, picture.drawing, picture.lacks, last_done(view.build))


def last_done(build: Build) -> tuple[dt.date, list[str]] | None:
    """The newest day on which something was told, finished or measured, and all of that in words; None where no record has a day."""
    told = [(instalment.head.date, f"the story “{instalment.head.title}”") for instalment in build.instalments]
    done = [(job.done, f"finished: {lower_first(job.does)}") for job in build.operations.values() if job.done]
    rows = Counter(row.date for row in build.rows if row.id not in build.withdrawn)
    read = [(day, f"{count} reading{'s' if count != 1 else ''}") for day, count in rows.items()]
    dated = [*told, *done, *read]
    if not dated:
        return None
    newest = max(day for day, _ in dated)
    return newest, [words for day, words in dated if day == newest]
