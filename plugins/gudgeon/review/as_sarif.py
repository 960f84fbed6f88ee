"""The review slip as SARIF 2.1.0 (OASIS), so that forges annotate the line."""

from importlib.metadata import version
from urllib.parse import quote

from gudgeon.assess.findings import Source
from gudgeon.review.as_text import subject_causes
from gudgeon.review.phrases import caution, fit_line, reading_line, subject_line, told_line
from gudgeon.review.slip import Cause, ReviewSlip

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
# Id -> (level, what it tells). The ids stay: forges remember by them what was dismissed.
RULES = {
    "record": ("error", "A record that cannot be read as it stands."),
    "reading-edited": ("error", "A reading that was changed; readings are only added to."),
    "reading-removed": ("error", "A reading that was deleted; readings are only added to."),
    "reading-id-twice": ("error", "A reading id that two branches gave."),
    "fit-to-look-at": ("warning", "A fit whose numbers moved and that asks for a look."),
    "fit-moved": ("note", "A fit whose numbers moved."),
    "verdict-edited": ("error", "A verdict that was rewritten; verdicts are only added to."),
    "verdict-removed": ("error", "A verdict that was deleted; verdicts are only added to."),
    "cut-edited": ("error", "A cut that was rewritten; cuts are only added to."),
    "cut-removed": ("error", "A cut that was deleted; cuts are only added to."),
    "cut-id-twice": ("error", "A cut id that two branches gave."),
    "withdrawn-twice": ("error", "A reading, a cut or a verdict that is withdrawn a second time."),
    "merge-conflict": ("error", "A file that cannot be merged with the main branch as it is."),
    "tool": ("error", "A build that the tool could not work out."),
    "turned-for-the-worse": ("warning", "A size, sum or operation that turned for the worse."),
    "value-moved": ("note", "A size, sum, cut or time that moved."),
    "new-reading": ("note", "A reading that was added."),
    "caution-reworded": ("warning", "A shared caution that says something else."),
    "caution-removed": ("warning", "A caution that nothing watches for any more."),
    "new-caution": ("warning", "A caution that was not there before."),
    "reading-no-longer-valid": ("note", "A reading that counted before."),
    "number-told-otherwise": ("warning", "A number of the story that the records of its day do not say."),
}


def slip_sarif(slip: ReviewSlip) -> dict:
    """A SARIF log with one run. Paths are from the project's root."""
    results = [
        _result(blocker.kind.replace(" ", "-"), blocker.says, blocker.file, blocker.line, blocker.column)
        for blocker in slip.blockers
    ]
    for fit in slip.fits:
        line = fit_line(fit)
        text = (
            f"{fit.id} {fit.name}: {line.moved}; should have {line.wanted}; {line.place}; chance out {line.probability}; "
            f"at {'; '.join(words for words, _ in line.at)}{'; ' + line.hot if line.hot else ''}; cause: {line.cause}."
        )
        look = fit.alarm is not None or (fit.now is not None and fit.now.look)
        results += _at_causes("fit-to-look-at" if look else "fit-moved", text, fit.causes, fit.source)
    for change in slip.subjects:
        text = f"{subject_line(change)}; cause: {subject_causes(change)}."
        rule = "turned-for-the-worse" if change.alarm else "value-moved"
        results += _at_causes(rule, text, change.causes, change.source)
    for reading in slip.readings:
        results.append(
            _result("new-reading", reading_line(reading, False) + ".", reading.source.file, reading.source.line)
        )
    for rule, cautions in (
        ("new-caution", slip.cautions_new),
        ("caution-removed", slip.cautions_removed),
        ("caution-reworded", slip.cautions_reworded),
    ):
        for one in cautions:
            where = (one.source.file, one.source.line) if one.source else (f"builds/{one.build}/build.yaml", 1)
            results.append(_result(rule, caution(one, False), *where))
    for row in slip.stale:
        text = f"{row.row}, {row.of}: {row.status}: {row.why}."
        results.append(_result("reading-no-longer-valid", text, row.source.file, row.source.line))
    for told in slip.told_otherwise:
        place = (told.source.file, told.source.line, told.column)
        results.append(_result("number-told-otherwise", told_line(told, False) + ".", *place))
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "gudgeon",
                        "version": version("gudgeon"),
                        "rules": [
                            {
                                "id": name,
                                "shortDescription": {"text": text},
                                "defaultConfiguration": {"level": level},
                            }
                            for name, (level, text) in RULES.items()
                        ],
                    }
                },
                "originalUriBaseIds": {"PROJECT": {"description": {"text": "The folder in which builds/ lies."}}},
                "columnKind": "unicodeCodePoints",
                "results": results,
            }
        ],
    }


def _at_causes(rule: str, text: str, causes: list[Cause], source: Source | None) -> list[dict]:
    """A result at the line of the first record that caused it, which the request changes; at its own line where none is known."""
    at = next((cause.source for cause in causes if cause.source), source)
    return [_result(rule, text, at.file, at.line)] if at else []


def _result(rule: str, text: str, file: str, line: int, column: int | None = None) -> dict:
    region = {"startLine": line} if column is None else {"startLine": line, "startColumn": column}
    return {
        "ruleId": rule,
        "ruleIndex": list(RULES).index(rule),
        "level": RULES[rule][0],
        "message": {"text": text},
        "locations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": quote(file), "uriBaseId": "PROJECT"},
                    "region": region,
                }
            }
        ],
    }
