"""Who read a row, on which day, at what time, and after which work."""

import datetime
import re

from gudgeon.entry.sizes import NotClear
from gudgeon.records.fields import time_of_day
from gudgeon.records.model import Build
from gudgeon.records.problems import nearest, shown


def read_day(word: str) -> datetime.date:
    """A day such as 2025-04-06. Raises NotClear."""
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", word):
            raise ValueError
        return datetime.date.fromisoformat(word)
    except ValueError:
        raise NotClear(f'"{shown(word)}" is no day as it is written here. Write it like 2025-04-06.') from None


def not_to_come(day: datetime.date, today: datetime.date) -> datetime.date:
    """A day that is not still to come. Raises NotClear."""
    if day > today:
        raise NotClear(f"{day} is still to come: today is {today}. Write the day on which it was read.")
    return day


def person(build: Build, name: str | None) -> str:
    """The id of who read it. Raises NotClear."""
    people = build.sound_head.people
    if name is None:
        if len(people) == 1:
            return next(iter(people))
        raise NotClear(f"who read it? Write by and one of: {', '.join(people)}.")
    reader = {person.lower(): person for person in people}.get(name.lower())
    if reader is None:
        raise NotClear(f'no person "{shown(name)}" in build.yaml.{nearest(name.lower(), people)}')
    return reader


def read_time(text: str) -> str:
    """A time of day as a row has it. Raises NotClear."""
    try:
        return time_of_day(text)
    except ValueError as problem:
        raise NotClear(str(problem)) from None


def after(build: Build, ref: str, name: str | None, day: datetime.date) -> tuple[str | None, str | None]:
    """The operation and the cut that the reading follows: as typed, or the last operation done on the feature by then."""
    if name is not None:
        operation = {op_id.lower(): op_id for op_id in build.operations}.get(name.lower())
        if operation is not None:
            return operation, None
        cuts = {cut.id.lower(): cut.id for cut in build.standing_cuts if cut.id}
        if name.lower() not in cuts:
            known = [*build.operations, *cuts.values()]
            raise NotClear(f'no operation and no cut "{shown(name)}".{nearest(name, known)}')
        cut = cuts[name.lower()]
        return after(build, ref, None, day)[0], cut
    done = [
        (op.done, index, op_id)
        for index, (op_id, op) in enumerate(build.operations.items())
        if op.done and op.done <= day and ref in build.touched_by(op)
    ]
    return (max(done)[2] if done else None), None
