"""The date of a site: that of its newest record and not of the clock, so that the same files give the same bytes."""

import os
from datetime import UTC, datetime

DATE = "SOURCE_DATE_EPOCH"  # what MkDocs dates a site by


def date_by_records(builds, *, given: bool) -> None:
    """Date the site by the newest record of its builds; by the clock where they have none. A date that was given from outside holds."""
    if given:
        return
    newest = max((build.newest_date for build in builds if build.newest_date), default=None)
    os.environ.pop(DATE, None)
    if newest:
        os.environ[DATE] = str(int(datetime(newest.year, newest.month, newest.day, tzinfo=UTC).timestamp()))
