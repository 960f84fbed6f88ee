"""Words of the trade in running text: each is explained where it first stands."""

import re
from collections.abc import Callable, Iterator, Sequence

from gudgeon.records.knowledge import Word

Piece = str | tuple[Word, str]


def names_of(word: Word) -> list[str]:
    """What a word is called, here and over there."""
    every = ", ".join(name for name in (word.word, word.us, word.uk) if name)
    return list(dict.fromkeys(name.strip().lower() for name in every.split(",") if name.strip()))


class Glossed:
    """The words that are still to be explained in one text."""

    def __init__(self, words: Sequence[Word]):
        self._by_name = {_plain(name): word for word in words if not word.everyday for name in reversed(names_of(word))}
        named = "|".join(
            re.escape(name).replace(r"\ ", "[ -]") for name in sorted(self._by_name, key=len, reverse=True)
        )
        self._sought = re.compile(rf"(?<![\w-])({named})(s?)(?![\w-])", re.IGNORECASE) if named else None
        self._told = set[str]()

    def pieces(self, text: str, escape: Callable[[str], str]) -> Iterator[Piece]:
        """The text in pieces, escaped; a word that stands in it for the first time is a pair of it and how it is written."""
        at = 0
        for match in self._sought.finditer(text) if self._sought else ():
            word = self._by_name[_plain(match[1])]
            if word.word not in self._told:
                self._told.add(word.word)
                yield escape(text[at : match.start()])
                yield word, match[0]
                at = match.end()
        yield escape(text[at:])

    @property
    def told(self) -> set[str]:
        """Those that were explained."""
        return self._told


def _plain(name: str) -> str:
    return name.lower().replace("-", " ")
