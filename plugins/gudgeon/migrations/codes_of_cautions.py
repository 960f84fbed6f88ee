"""Format 1 to 2: a caution has the line that defers to local codes. Where it has none, the general one is added, to be made one's own."""

from gudgeon.migrations.texts import Rewritten, Step, Texts

CODES = "codes: 'Local rules and licensed practice come first.'"
BEFORE = ("source", "where_in_source", "basis")  # the line stands above the first of these


def _rewrite(texts: Texts) -> Rewritten:
    rewritten = Rewritten()
    for name in texts.of_shelf("cautions/*.yaml"):
        document = texts.document(name)
        if document is None or ("codes",) in document.keys or ("caution",) not in document.keys:
            continue
        places = [document.keys[path] for key in BEFORE if (path := (key,)) in document.keys]
        if not places or min(places)[1] != 1:  # all on one line, between braces
            continue
        lines = texts.texts[name].split("\n")
        lines.insert(min(places)[0] - 1, CODES)
        rewritten.texts[name] = "\n".join(lines)
    return rewritten


STEP = Step(
    "codes of cautions", 2, "a caution has a line that defers to local codes: the general one is added", _rewrite
)
