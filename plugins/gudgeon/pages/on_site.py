"""How the pages of the site show an instalment: pictures in their widths, films as cards, words with what they mean."""

from collections.abc import Sequence
from urllib.parse import urlsplit

from markupsafe import Markup, escape

from gudgeon.assess.findings.told import NumberTold
from gudgeon.pages.photos import SIZES, picture
from gudgeon.pages.view import View
from gudgeon.records.instalment_text import FilmShown, Shown, Tie
from gudgeon.records.knowledge import Word
from gudgeon.records.model import Instalment
from gudgeon.story.medium import Medium, at_second, meaning
from gudgeon.wording import upper_first

COVER = "9rem"  # how wide a picture is shown beside a title


class OnSite(Medium):
    """An instalment on the page at uri."""

    def __init__(self, view: View, told: Instalment, uri: str):
        self._view, self._told, self._uri = view, told, uri
        self.explained: list[Word] = []

    @property
    def heading(self) -> int:
        return 2

    @property
    def words(self) -> Sequence[Word]:
        return self._view.shelf.words

    def link(self, target: str) -> str:
        """The address of a page or file of the site."""
        return self._view.renderer.address(self._uri, target)

    def picture(self, shown: Shown) -> Markup:
        return self._view.figure(self.link, shown.name, caption=shown.caption, shows=shown.description)

    def cover(self, name: str) -> Markup:
        """A picture beside the title of its instalment, which says all that it would."""
        return self._alone(name, COVER)

    def _alone(self, name: str, sizes: str) -> Markup:
        """A picture of which the words beside it say what it is."""
        return picture(self._view.picture(name), "", lambda copy: self.link(self._view.copy_uri(copy)), sizes=sizes)

    def film(self, shown: FilmShown) -> Markup:
        film = self._view.build.films.get(shown.id)
        if film is None:
            return Markup("<p>{}</p>").format(shown.words)
        words = shown.words.strip() or film.title
        poster = Markup("")
        if film.poster and film.poster in self._view.build.shown_photos:
            # The link below it has the words.
            poster = Markup('<a href="{}" rel="noopener" tabindex="-1" aria-hidden="true">{}</a>').format(
                film.link, self._alone(film.poster, SIZES)
            )
        who = ", ".join(
            [
                f"film, {film.length} long",
                *([self._view.person(film.by)] if film.by else []),
                *([film.date.isoformat()] if film.date else []),
                f"it opens on {urlsplit(film.link).hostname}",
            ]
        )
        chapters = Markup("").join(
            Markup('<li><a href="{}" rel="noopener">{}</a> {}{}</li>').format(
                at_second(film.link, chapter.at), chapter.at, chapter.shows, self._of_operation(chapter.operation)
            )
            for chapter in film.chapters
        )
        listed = Markup('<ol class="g-chapters">{}</ol>').format(chapters) if chapters else Markup("")
        return Markup(
            '<figure class="g-film">{}<figcaption><a href="{}" rel="noopener"><strong>{}</strong></a>'
            "<br><small>{}</small>{}</figcaption></figure>"
        ).format(poster, film.link, words, upper_first(who), listed)

    def _of_operation(self, name: str | None) -> Markup:
        if not name or name not in self._view.build.operations:
            return Markup("")
        operation = self._view.build.operations[name]
        # What is done has no sheet any more.
        uri = self._view.part_uri(operation.part) if operation.done else self._view.sheet_uri(name)
        return Markup(' <small><a href="{}">{}</a></small>').format(self.link(uri), operation.does)

    def tied(self, tie: Tie) -> Markup:
        told = self._view.numbers_of_story.tied(self._told.slug, tie)
        if told is None:
            return escape(tie.words)
        beside = "; ".join(words for words in (told.in_other_unit, told.in_brackets) if words)
        small = Markup(" <small>({})</small>").format(beside) if beside else Markup("")
        return Markup('<span class="g-tied{}"><a href="{}" title="{}">{}</a>{}</span>').format(
            "" if told.agrees else " g-doubted",
            self.link(self._of(told.number)),
            told.small_print,
            told.as_written,
            small,
        )

    def _of(self, number: NumberTold) -> str:
        """The page of what a number is tied to."""
        if number.of == "reading":
            return self._view.row_uri(number.about)
        return self._view.about_uri(number.about)

    def word(self, word: Word, written: str) -> Markup:
        self.explained.append(word)
        return Markup('<dfn><a class="g-word" href="{}" title="{}">{}</a></dfn>').format(
            self.link(f"words.md#{word.anchor}"), meaning(word), written
        )
