"""What a book of a build holds, chapter by chapter, as HTML. What is not known yet is said; an unfinished build is never called built."""

import hashlib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import BuildFindings
from gudgeon.book.book_medium import BookMedium
from gudgeon.book.links import BookRenderer
from gudgeon.book.pictures_in_book import BookPicture
from gudgeon.pages.drawn import fit_lead, fit_section, outline_shapes, part_outline
from gudgeon.pages.drawn.engine import engine
from gudgeon.pages.fit_page import sentence
from gudgeon.pages.overview import LEADING
from gudgeon.pages.view import View
from gudgeon.pages.who_measured import who_measured
from gudgeon.records.instalment_text import Shown
from gudgeon.records.model import Instalment
from gudgeon.story.article import article
from gudgeon.story.citation import authors_of, cited_as
from gudgeon.wording import slug

READ = ("in", "frozen", "conceded")  # states in which a fit is as it is to be
LANGUAGE = "en"


@dataclass(frozen=True)
class Chapter:
    """A chapter: its place in the book, its title, what heads its pages and its HTML."""

    id: str
    title: str
    html: Markup
    running: str
    is_story: bool = False


@dataclass(frozen=True)
class Book:
    """A book before it is bound. day: of the newest record; identifier: the same for the same content."""

    title: str
    subtitle: str
    authors: tuple[str, ...]
    club: str
    day: str | None
    licence: str | None
    cover: Markup
    chapters: tuple[Chapter, ...]
    pictures: tuple[BookPicture, ...]
    language: str = LANGUAGE

    @property
    def identifier(self) -> str:
        """A digest of all that is in it."""
        digest = hashlib.sha256()
        for text in (
            self.title,
            self.subtitle,
            *self.authors,
            self.cover,
            *(chapter.html for chapter in self.chapters),
        ):
            digest.update(text.encode())
        for picture in self.pictures:
            digest.update(picture.content)
        return digest.hexdigest()


def manuscript(view: View) -> Book:
    """The book of a build. The view's renderer is a BookRenderer."""
    assert isinstance(view.renderer, BookRenderer), "a book leads to places in itself"
    build, head, medium = view.build, view.build.sound_head, BookMedium(view)
    story = [_instalment(view, medium, told) for told in build.instalments]
    shown = engine(build, view.part_states, "book-engine", None)
    uses = Counter(fit.state for fit in view.findings.fits.values())
    chapters = [
        _chapter(view, "about", "About this book", "about.html.j2", uses=uses, cited=cited_as(build, view.findings)),
        _chapter(view, "cautions", "Cautions", "cautions.html.j2", cautions=view.cautions(_cautions(view))),
        *story,
        _chapter(view, "engine", "The engine", "engine.html.j2", engine=shown, leading=_leading(view)),
        _chapter(view, "sizes", "Parts and sizes", "sizes.html.j2", parts=_parts(view)),
        _chapter(view, "fits", "Fits", "fits.html.j2", fits=_fits(view)),
        _chapter(view, "rules", "Rules used", "rules.html.j2", rules=_rules(view)),
        _chapter(view, "gauges", "Gauges", "gauges.html.j2"),
    ]
    cited = [key for key in view.shelf.sources if any(f'"#source-{key}"' in chapter.html for chapter in chapters)]
    chapters += [
        _chapter(view, "sources", "Sources", "sources.html.j2", bibliography=view.renderer.bibliography, cited=cited),
        _chapter(view, "words", "Words", "words.html.j2", words=view.shelf.words),
    ]
    return Book(
        head.name,
        how_far(view.findings, head.stage),
        tuple(authors_of(build)),
        head.club.name,
        view.findings.as_of,
        head.licences.text if head.licences else None,
        Markup(
            view.renderer.text(
                "book", "cover.html.j2", **_given(view), engine=shown, authors=", ".join(authors_of(build))
            )
        ),
        tuple(chapters),
        tuple(medium.pictures.values()),
    )


def how_far(findings: BuildFindings, stage: str) -> str:
    """How far the build is, in a line that stands on the cover: "as built" only where nothing is open and every fit was found so."""
    fits = list(findings.fits.values())
    good = sum(fit.state in READ for fit in fits)
    if not findings.progress.open and findings.progress.done and fits and good == len(fits):
        return "As built"
    done = f"{findings.progress.done} of {findings.progress.done + findings.progress.open} operations done"
    return f"A build under way ({stage}): {done}, {good} of {len(fits)} fits in"


def _given(view: View) -> dict:
    return {
        "view": view,
        "build": view.build,
        "findings": view.findings,
        "fmt": view.fmt,
        "shelf": view.shelf,
        "evidence": view.evidence,
        "how_far": how_far(view.findings, view.build.sound_head.stage),
    }


def _chapter(view: View, place: str, title: str, template: str, **values) -> Chapter:
    return Chapter(place, title, Markup(view.renderer.text("book", template, **_given(view), **values)), title)


def _instalment(view: View, medium: BookMedium, told: Instalment) -> Chapter:
    medium.instalment = told.slug
    # A picture that stands in the text is not shown twice.
    alone = told.head.lead and told.head.lead not in {shown.name for shown in told.pictures}
    lead = medium.picture(_lead(told)) if alone else Markup("")
    html = view.renderer.text(
        "book",
        "instalment.html.j2",
        **_given(view),
        told=told,
        lead=lead,
        body=article(told, medium),
        counted=view.numbers_of_story.counted(told.slug),
        below=[medium.picture(Shown(name, "", "", told.head.where("photos"))) for name in told.head.photos],
    )
    return Chapter(f"told-{slug(told.slug)}", told.head.title, Markup(html), told.head.title, is_story=True)


def _lead(told: Instalment) -> Shown:
    return Shown(told.head.lead or "", "", "", told.head.where("lead"))


def _cautions(view: View) -> Iterable[str]:
    applying = view.findings.cautions
    named = {
        name
        for names in (*applying.parts.values(), *applying.fits.values(), *applying.operations.values())
        for name in names
    }
    return [name for name in view.shelf.cautions if name in named]


def _leading(view: View) -> list:
    return [sum_ for sum_ in view.findings.calculations if sum_.id in LEADING and sum_.value is not None]


def _parts(view: View) -> list[dict]:
    return [
        {
            "id": part_id,
            "part": part,
            "outline": _outline(view, part_id),
            "features": [
                (feature, who_measured(view, feature.history[-1].rows) if feature.history else "")
                for feature in view.features_of_part[part_id].values()
            ],
        }
        for part_id, part in view.build.parts.items()
    ]


def _outline(view: View, part_id: str) -> part_outline.Outline | None:
    """The outline of a part; None where no record says enough to draw one."""
    outline = part_outline.outline(view.build.parts[part_id], view.features_of_part[part_id], view.fmt)
    return None if outline_shapes.NOTHING in outline.guessed else outline


def _fits(view: View) -> list[dict]:
    shown = []
    for fit in view.findings.fits.values():
        record = view.build.fits[fit.id]
        pictures = fit_section.pictures(fit, record, view.build, view.fmt)
        shown.append(
            {
                "fit": fit,
                "sentence": sentence(view, fit),
                "picture": fit_lead.picture(fit, record, view.build, view.fmt, pictures[0]),
                "drawn_to": fit_section.scale_words(fit, record),
                "said": [review for review in view.build.standing_reviews if fit.id in review.about],
            }
        )
    return shown


def _rules(view: View) -> list:
    """The rules that fits of the build cite, each with what it gives here: for each size and case one finding."""
    cited: dict[str, list] = {}
    for rule in view.findings.rules:
        if rule.cited_by and rule.rule in view.shelf.rules:
            cited.setdefault(rule.rule, []).append(rule)
    return [(view.shelf.rules[name], given) for name, given in cited.items()]
