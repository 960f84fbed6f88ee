"""Format 1 to 2: the surface that the indicator ran on stands under "surface"; editors read the old key, "on", as a truth."""

from gudgeon.migrations.texts import Replaced, Rewritten, Step, Texts, with_keys_renamed

OLD, NEW = "on", "surface"


def _rewrite(texts: Texts) -> Rewritten:
    rewritten = Rewritten()
    for name in texts.of_builds("operations.yaml"):
        document = texts.document(name)
        if document is None:
            continue
        paths = [
            path
            for path in document.keys
            if len(path) == 4
            and (path[0], path[2], path[3]) == ("operations", "set_up", OLD)
            and (*path[:3], NEW) not in document.keys
        ]
        if paths:
            rewritten.texts[name] = with_keys_renamed(texts.texts[name], document, dict.fromkeys(paths, NEW))
            rewritten.replaced += [Replaced(name, OLD, f'the key is called "{NEW}" now') for _ in paths]
    return rewritten


STEP = Step("surface of a set-up", 2, 'the surface that the indicator ran on stands under "surface"', _rewrite)
