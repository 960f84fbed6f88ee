"""A build as its records stood at the end of a day: without what is dated later.

What has no date (specs, limits, materials) is as it is now: nothing in the records says how it was.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Protocol, TypeVar

from gudgeon.records.build_file import Instrument
from gudgeon.records.model import Build
from gudgeon.records.operations import Operation


class _Dated(Protocol):
    @property
    def date(self) -> date: ...


DatedRecord = TypeVar("DatedRecord", bound=_Dated)


def as_it_stood(build: Build, day: date) -> Build:
    """The build with nothing in it that is dated after a day. The build itself stays as it is.

    A reading withdrawn or put right later counts, an instrument found off later is not yet known to be.
    """
    return replace(
        build,
        rows=_until(build.rows, day),
        reading_withdrawals=_until(build.reading_withdrawals, day),
        operations={name: _operation(operation, day) for name, operation in build.operations.items()},
        cuts=tuple(_until(build.cuts, day)),
        cut_withdrawals=tuple(_until(build.cut_withdrawals, day)),
        instruments={name: _instrument(instrument, day) for name, instrument in build.instruments.items()},
        reviews=tuple(_until(build.reviews, day)),
        review_withdrawals=tuple(_until(build.review_withdrawals, day)),
        runs=tuple(_until(build.runs, day)),
        run_withdrawals=tuple(_until(build.run_withdrawals, day)),
        outcomes=tuple(_until(build.outcomes, day)),
        outcome_withdrawals=tuple(_until(build.outcome_withdrawals, day)),
        instalments=[told for told in build.instalments if told.head.date <= day],
    )


def _until(records: Iterable[DatedRecord], day: date) -> list[DatedRecord]:
    return [record for record in records if record.date <= day]


def _operation(operation: Operation, day: date) -> Operation:
    later: dict[str, None] = {}
    if operation.done and operation.done > day:
        later["done"] = None
    if operation.set_up and operation.set_up.date > day:
        later["set_up"] = None
    return operation.model_copy(update=later) if later else operation


def _instrument(instrument: Instrument, day: date) -> Instrument:
    if instrument.found_off and instrument.found_off.found > day:
        return instrument.model_copy(update={"found_off": None})
    return instrument
