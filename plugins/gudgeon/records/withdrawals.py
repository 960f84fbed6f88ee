"""Entries of lists that are only added to: each is one of its kind, or withdraws an earlier one."""

from collections.abc import Callable
from typing import Any

from gudgeon.records.base import Record


def model_chosen(entry: type[Record], withdrawal: type[Record]) -> Callable[[Any], str]:
    """What tells by an entry's keys, or by its model, which of the two it is; it gives the model's name."""

    def chosen(data: Any) -> str:
        withdraws = isinstance(data, withdrawal) or isinstance(data, dict) and "withdraws" in data
        return (withdrawal if withdraws else entry).__name__

    return chosen


def key_of_entry(entry: type[Record], withdrawal: type[Record], data: Any) -> str | None:
    """The first key of a withdrawal, as it is written, that only an entry may have; None where there is none."""
    keys = (field.alias or name for name, field in entry.model_fields.items())
    return next((key for key in keys if key in data and key not in withdrawal.model_fields), None)
