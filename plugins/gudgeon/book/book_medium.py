"""How the book shows what stands in an instalment."""

from dataclasses import dataclass, field

from markupsafe import Markup, escape

from gudgeon.book.pictures_in_book import BookPicture, book_picture
from gudgeon.pages.photos import caption_of
from gudgeon.pages.view import View
from gudgeon.records.instalment_text import FilmShown, Shown, Tie
from gudgeon.story.medium import Medium


@dataclass
class BookMedium(Medium):
    """Of one build. pictures: those that were shown, by name. instalment: the one that is being set, by its file's name."""

    view: View
    instalment: str = ""
    pictures: dict[str, BookPicture] = field(default_factory=dict)

    def picture(self, shown: Shown) -> Markup:
        """The picture with its caption; who withdrew it is not told, that it was is."""
        known = self.view.build.photos.get(shown.name)
        if known and known.withdrawn:
            return Markup("<p class='small'>A picture that stood here was withdrawn on {}.</p>").format(
                known.withdrawn.date
            )
        picture = book_picture(self.view.build, shown.name)
        if picture is None:
            return Markup("")
        self.pictures[shown.name] = picture
        said = caption_of(self.view, shown.name, shown.caption)
        return Markup('<figure class="photo"><img src="{}" alt="{}" width="{}" height="{}">{}</figure>').format(
            f"pictures/{picture.name}",
            shown.description or (known.shows if known else ""),
            picture.width,
            picture.height,
            Markup("<figcaption>{}</figcaption>").format(said) if said else "",
        )

    def film(self, shown: FilmShown) -> Markup:
        """A film as what it is called and where it stands."""
        film = self.view.build.films.get(shown.id)
        if film is None:
            return Markup("")
        return Markup('<p class="film">Film: <a href="{}">{}</a>, {} long. <small>{}</small></p>').format(
            film.link, film.title, film.length, film.link
        )

    def tied(self, tie: Tie) -> Markup:
        """A number as it was written; what has become of it stands behind it."""
        tied = self.view.numbers_of_story.tied(self.instalment, tie)
        after = Markup(" <small>({})</small>").format(tied.in_brackets) if tied and tied.in_brackets else Markup("")
        return escape(tie.words) + after
