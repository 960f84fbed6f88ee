"""A served site is dated by its newest record at every rebuild; a date that is given from outside holds."""

import datetime
import os
from types import SimpleNamespace

import pytest
from gudgeon.dating import DATE, date_by_records
from gudgeon.plugin import GudgeonPlugin


@pytest.fixture
def dated(monkeypatch):
    """Rebuilds one plugin with clubs of a newest day each, and gives the date of every rebuild."""

    def rebuild(given, *days):
        monkeypatch.setenv(DATE, given or "0")
        if not given:
            monkeypatch.delenv(DATE)
        plugin, dates = GudgeonPlugin(), []
        plugin.on_startup(command="serve", dirty=False)
        for day in days:
            newest = day and datetime.date.fromisoformat(day)
            date_by_records([SimpleNamespace(newest_date=newest)], given=plugin._date_given)
            dates.append(os.environ.get(DATE))
        return dates

    return rebuild


def test_each_rebuild_has_the_day_of_its_own_records(dated):
    assert dated(None, "1970-01-02", "1970-01-03", None) == ["86400", "172800", None]


def test_a_date_from_outside_stays(dated):
    assert dated("42", "1970-01-02", "1970-01-03") == ["42", "42"]
