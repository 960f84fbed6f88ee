"""Where an instalment is read: what a picture, a film, a tied number and a word of the trade are there. Site, feed and book are media."""

from collections.abc import Sequence
from typing import Protocol

from markupsafe import Markup

from gudgeon.records.instalment_text import FilmShown, Shown, Tie
from gudgeon.records.knowledge import Word


class Medium(Protocol):
    """How one medium shows what stands in an instalment. All give safe HTML; what they are given is untrusted text.

    A medium is a class of its own that names this one as its base: what it does not say is as here.
    """

    @property
    def heading(self) -> int:
        """The level of the first headings in the text, 2 to 5; those below them are one deeper."""
        return 3

    @property
    def words(self) -> Sequence[Word]:
        """The words of the trade that it explains where each first stands."""
        return ()

    def picture(self, shown: Shown) -> Markup:
        """A picture with its caption, as a figure; nothing where the medium shows none."""
        ...

    def film(self, shown: FilmShown) -> Markup:
        """A film's card."""
        ...

    def tied(self, tie: Tie) -> Markup:
        """A number as it was written, with what has become of it."""
        ...

    def word(self, word: Word, written: str) -> Markup:
        """A word of the trade where it first stands, as it is written there."""
        return Markup("<dfn>{}</dfn>").format(abbreviated(word, written))


def abbreviated(word: Word, written: str) -> Markup:
    """A word as it is written, with what it means for who rests on it."""
    return Markup('<abbr title="{}">{}</abbr>').format(meaning(word), written)


def meaning(word: Word) -> str:
    """What a word means, with what it is called on the other side of the ocean."""
    sides = [f"{side} {name}" for side, name in (("US", word.us), ("UK", word.uk)) if name]
    return f"{word.means} {'; '.join(sides)}.".strip() if sides and word.us != word.uk else word.means


def at_second(link: str, at: str) -> str:
    """The address of a place in a film, by the W3C's Media Fragments URI 1.0, section 4.2.1: #t= and the seconds. One that has a
    fragment already stays as it is."""
    seconds = 0
    for number in at.split(":"):
        seconds = 60 * seconds + int(number)
    return link if "#" in link else f"{link}#t={seconds}"
