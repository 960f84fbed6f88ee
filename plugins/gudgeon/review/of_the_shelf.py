"""What a slip tells of the shelf itself: what cautions say, and what was withdrawn where it was brought from."""

from collections.abc import Iterable

from gudgeon.ledger.comparison import Comparison
from gudgeon.records.edits import differing
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.withdrawn_there import in_use, withdrawn_on
from gudgeon.review.edited_records import text_in_words
from gudgeon.review.new_records import source_of
from gudgeon.review.slip import Caution, ReviewSlip, WithdrawnElsewhere


def add_texts_of_cautions(slip: ReviewSlip, comparison: Comparison) -> None:
    """What the shared cautions say: moves no number, and matters more than most that do."""
    was, now = comparison.knowledge_was.cautions, comparison.knowledge.cautions
    for name in sorted({*was, *now}):
        before, after = was.get(name), now.get(name)
        record = after or before
        if before is None or record is None or differing(before, after) == [] and after is not None:
            continue
        said = Caution(
            build="shared",
            kind=name,
            about=record.hazard,
            says="the caution is gone from the shelf"
            if after is None
            else "; ".join(text_in_words(before, after, field) for field in differing(before, after)),
            source=source_of(record.where()),
        )
        (slip.cautions_removed if after is None else slip.cautions_reworded).append(said)


def withdrawn_in(build: Build | None, shelf: Knowledge) -> list[WithdrawnElsewhere]:
    """What a build counts on; advice at each review of it, until somebody decides."""
    if build is None:
        return []
    return [
        WithdrawnElsewhere(build=build.id, says=one.withdrawn.says, used_by=[*one.fits, *one.parts])
        for one in in_use(build, shelf)
    ]


def withdrawn_since(was: Knowledge, now: Knowledge, told: Iterable[WithdrawnElsewhere]) -> list[WithdrawnElsewhere]:
    """What the shelf was told since, and no build that was looked at counts on. told: of these builds."""
    known = {one.says for one in (*told, *withdrawn_on(was))}
    return [
        WithdrawnElsewhere(build=None, says=one.says, used_by=[]) for one in withdrawn_on(now) if one.says not in known
    ]
