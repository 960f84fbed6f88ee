"""The review slip as SARIF 2.1.0 (OASIS), so that forges annotate the line."""

from importlib.metadata import version
from urllib.parse import quote

from gudgeon.review.phrases import caution, fit_line
from gudgeon.review.slip import ReviewSlip

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
# Id -> (level, what it tells). The ids stay: forges remember by them what was dismissed.
RULES = {
    "record": ("error", "A record that cannot be read as it stands."),
    "reading-edited": ("error", "A reading that was changed; readings are only added to."),
    "reading-removed": ("error", "A reading that was deleted; readings are only added to."),
    "reading-id-twice": ("error", "A reading id that two branches gave."),
    "fit-to-look-at": ("warning", "A fit whose numbers moved and that asks for a look."),
    "fit-moved": ("note", "A fit whose numbers moved."),
    "new-caution": ("warning", "A caution that was not there before."),
    "reading-counts-no-more": ("note", "A reading that counted before."),
}


def slip_sarif(slip: ReviewSlip) -> dict:
    """A SARIF log with one run. Paths are from the project's root."""
    results = [
        _result(each.kind.replace(" ", "-"), each.says, each.file, each.line, each.column) for each in slip.troubles
    ]
    for each in slip.fits:
        line = fit_line(each)
        text = (
            f"{each.id} {each.name}: {line.moved}; wants {line.wanted}; {line.place}; chance out {line.chance}; "
            f"at {'; '.join(words for words, _ in line.at)}; hot least {line.hot}; cause: {line.cause}."
        )
        look = each.now is not None and each.now.look
        results.append(_result("fit-to-look-at" if look else "fit-moved", text, each.source.file, each.source.line))
    for each in slip.cautions_new:
        place = (each.source.file, each.source.line) if each.source else (f"builds/{each.build}/build.yaml", 1)
        results.append(_result("new-caution", caution(each, False), *place))
    for each in slip.stale:
        text = f"{each.row}, {each.of}: {each.status}: {each.why}."
        results.append(_result("reading-counts-no-more", text, each.source.file, each.source.line))
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
