"""Format 1 to 2: the day of a reading, a cut, a verdict or an instalment stands under "date", no longer under "on"."""

import re

from gudgeon.migrations.texts import Replaced, Rewritten, Step, Texts, with_keys_renamed
from gudgeon.records.plain_data import is_map
from gudgeon.records.yaml_text import Document, Path_

OLD, NEW = "on", "date"
DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
FILES = ("readings/*.yaml", "cuts.yaml", "reviews.yaml", "log/*.md")


def _rewrite(texts: Texts) -> Rewritten:
    rewritten = Rewritten()
    for name in [name for pattern in FILES for name in texts.of_builds(pattern)]:
        document = texts.document(name)
        paths = _days(document) if document else []
        if document and paths:
            rewritten.texts[name] = with_keys_renamed(texts.texts[name], document, dict.fromkeys(paths, NEW))
            rewritten.replaced += [Replaced(name, OLD, f'the key is called "{NEW}" now') for _ in paths]
    return rewritten


def _days(document: Document) -> list[Path_]:
    """The keys that hold a record's day under its old name: at the top of a file, in every_row, or in an entry of a list."""
    days: list[Path_] = []
    for path in document.keys:
        if path[-1] != OLD or len(path) > 3:
            continue
        record = document.data
        for step in path[:-1]:
            record = record[step]
        value = record[OLD] if is_map(record) else None
        if isinstance(value, str) and DAY.fullmatch(value) and NEW not in record:
            days.append(path)
    return days


STEP = Step("day under date", 2, 'the day of a reading, cut, verdict or instalment stands under "date"', _rewrite)
