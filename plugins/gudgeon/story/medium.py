"""Where an instalment is read: what a picture, a film, a tied number and a link are there. Site, feed and book are media."""

from typing import Protocol

from markupsafe import Markup

from gudgeon.records.instalment_text import FilmShown, Shown, Tie


class Medium(Protocol):
    """How one medium shows what stands in an instalment. All give safe HTML; what they are given is untrusted text."""

    def picture(self, shown: Shown) -> Markup:
        """A picture with its caption, as a figure; nothing where the medium shows none."""
        ...

    def film(self, shown: FilmShown) -> Markup:
        """A film's card."""
        ...

    def tied(self, tie: Tie) -> Markup:
        """A number as it was written, with what has become of it."""
        ...
