"""Puts a word that travels into the file of words, where all of a shelf's words stand together."""

from gudgeon.records.problems import Problems
from gudgeon.records.shared_files import WORDS
from gudgeon.records.yaml_text import read_yaml
from gudgeon.share.fetching import Refused


def with_word(text: str | None, brought: str, anchor: str) -> str:
    """The file of words with one more, or with it in the place of the one that is called so.

    brought: a file of words with this one alone, as it travels.
    """
    entry = brought.partition("\n")[2]
    if text is None:
        return brought
    document = read_yaml(text, WORDS, Problems())
    words = document.data.get("words") if document and isinstance(document.data, dict) else None
    if document is None or not isinstance(words, list) or not words:
        raise Refused(f"{WORDS} cannot be read, so that no word can be put into it. gudgeon check tells why.")
    lines = text.splitlines(keepends=True)
    starts = [document.values[("words", number)] for number in range(len(words))]
    if any(lines[line - 1][: column - 1].strip() != "-" for line, column in starts):
        raise Refused(f"the words of {WORDS} do not begin with a dash on a line of their own. Write them so.")
    indent = len(lines[starts[0][0] - 1]) - len(lines[starts[0][0] - 1].lstrip(" "))
    entry = "".join(" " * indent + line.removeprefix("  ") for line in entry.splitlines(keepends=True))
    for number, word in enumerate(words):
        named = word.get("word") if isinstance(word, dict) else None
        if isinstance(named, str) and named.replace(" ", "-").lower() == anchor:
            first = starts[number][0] - 1
            end = starts[number + 1][0] - 1 if number + 1 < len(words) else len(lines)
            return "".join(lines[:first]) + entry + "".join(lines[end:])
    return text + ("" if text.endswith("\n") else "\n") + entry
