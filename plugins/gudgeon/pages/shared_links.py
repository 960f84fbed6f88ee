"""What the pages of a build show where a link to them is shared: of each the card that is drawn for it, and a sentence."""

import hashlib
from dataclasses import dataclass, replace

from markupsafe import Markup

from gudgeon.danger_words import danger_tally
from gudgeon.feeds.head import Head, SharedPage, shared
from gudgeon.pages import cards, fit_page
from gudgeon.pages.cards import Card, EnginePicture
from gudgeon.pages.following import LONGEST_SUMMARY
from gudgeon.pages.page import Asset
from gudgeon.pages.story import excerpt, lead_of
from gudgeon.pages.view import View
from gudgeon.pictures.opening import NotRead, bytes_of, pixels_of
from gudgeon.pictures.sizes import Kept
from gudgeon.records.model import Instalment
from gudgeon.wording import MARKS, slug, upper_first

SOUND = ("in", "reads in", "frozen", "conceded", "no limit")


@dataclass(frozen=True)
class Link:
    """A page that has a card. title, uri: of the page; file: of the card; photo: that stands on it in place of the engine."""

    title: str
    uri: str
    file: str
    card: Card
    description: str
    told: Instalment | None = None
    photo: str | None = None


def links(view: View) -> list[Link]:
    """The pages of a build that have cards; none where the site has no address, which a card is useless without."""
    if not view.web(f"{view.home}/index.md"):
        return []
    return [
        _of_build(view),
        *(_of_instalment(view, told) for told in view.build.instalments),
        *(_of_fit(view, fit) for fit in view.findings.fits.values()),
    ]


def head(view: View, link: Link) -> Head:
    """What the head of its page tells programs."""
    return shared(
        SharedPage(
            link.title,
            link.description,
            view.web(link.uri),
            view.web(link.file),
            (cards.WIDTH, cards.HEIGHT),
            link.card.alt,
            link.told.head.date if link.told else None,
        )
    )


def of_story(view: View, build: Link) -> Link:
    """The list of a build's instalments, with the card of the build."""
    told = view.build.instalments
    words = (
        f"{len(told)} instalment{'' if len(told) == 1 else 's'}{f', from “{told[0].head.title}” on' if told else ''}."
    )
    return replace(build, uri=f"{view.home}/story/index.md", description=words, title=f"The story of {build.title}")


def engines(view: View) -> list[EnginePicture]:
    """The picture of its engine that the cards of a build share; none where it cannot be drawn."""
    picture = EnginePicture(view)
    return [picture] if picture.drawing else []


def assets(view: View, link: Link, engine: EnginePicture | None, kept: Kept | None = None) -> list[Asset]:
    """The card of a page. kept: where it is kept from one run to the next."""
    raw = _photograph(view, link)
    drawing = engine.drawing if engine else ""
    parts = (cards.recipe(), drawing, repr(link.card), hashlib.sha256(raw).hexdigest())
    key = hashlib.sha256("\0".join(parts).encode("utf-8", "replace")).hexdigest()
    content = kept.get_bytes(key) if kept is not None else None
    if content is None or not content.startswith(cards.BEGINS):
        content = _made(raw, link, engine)
        if kept is not None:
            kept.put_bytes(key, content)
    return [Asset(link.file, content)]


def _photograph(view: View, link: Link) -> bytes:
    try:
        return bytes_of(view.build.folder / "photos" / link.photo) if link.photo else b""
    except NotRead:
        return b""


def _made(raw: bytes, link: Link, engine: EnginePicture | None) -> bytes:
    """The card with the photograph; where there is none that can be read, with the engine."""
    try:
        if raw:
            return cards.drawn(link.card, cards.photograph(pixels_of(raw, cards.WIDTH)), cards.MANY)
    except NotRead:
        pass
    return cards.drawn(link.card, engine.marking(link.card.marked) if engine else None)


def _of_build(view: View) -> Link:
    build, fits = view.build, view.findings.fits.values()
    head = build.sound_head
    measured = sum(1 for fit in fits if fit.clearance is not None)
    figure = f"{measured} of {len(fits)}" if fits else ""
    said = [f"{'fit' if len(fits) == 1 else 'fits'} measured; {len(view.looks)} need a look"] if fits else []
    card = Card(head.name, figure, (*said, upper_first(head.stage)), _foot(view))
    sentences = [
        upper_first(head.engine.layout),
        upper_first(head.stage),
        f"Safety limits: {danger_tally(view.findings.dangers)}",
    ]
    return Link(head.name, f"{view.home}/index.md", f"{view.home}/cards/build.png", card, ". ".join(sentences) + ".")


def _of_instalment(view: View, told: Instalment) -> Link:
    head = told.head
    number = _first_number(view, told)
    begins = excerpt(view, told, LONGEST_SUMMARY)
    figure, beneath = number or ("", begins)
    parts = tuple(part for name in head.about for part in _parts(view, name))
    foot = f"{view.build.sound_head.name} · {head.number} · {view.person(head.by)}, {head.date}"
    return Link(
        head.title,
        view.instalment_uri(told),
        view.card_uri(told),
        Card(head.title, figure, (beneath,), foot, parts),
        begins or f"Instalment {head.number} of {view.build.sound_head.name}",
        told,
        lead_of(told, view),
    )


def _of_fit(view: View, fit) -> Link:
    number, what = fit_page.lead(view, fit)
    first, other = _both(number)
    measured = fit.clearance is not None
    # What is in when cold may run dry when hot: then the state alone would reassure.
    look = "; needs a look" if fit.look and fit.state in SOUND else ""
    beneath = [f"{f'({other}) ' if other else ''}{what}", f"{MARKS[fit.state]} {fit.state}{look}"]
    wants = (
        _plain(view.wanted_in_words(fit)) if fit.want_low is not None or view.build.fits[fit.id].of_kind.stated else ""
    )
    beneath += [f"should {'be' if view.build.fits[fit.id].of_kind.stated else 'have'} {wants}"] if wants else []
    card = Card(
        upper_first(fit.name), first if measured else "", tuple(beneath), _foot(view), tuple(_parts(view, fit.id))
    )
    return Link(
        upper_first(fit.name),
        view.fit_uri(fit.id),
        f"{view.home}/cards/fit-{slug(fit.id)}.png",
        card,
        fit_page.sentence(view, fit),
    )


def _parts(view: View, name: str) -> list[str]:
    """The parts that a fit, part or feature is of."""
    if name in view.build.fits:
        fit = view.findings.fits[name]
        return [ref.partition(".")[0] for ref in (fit.hole, fit.shaft) if ref]
    return [name.partition(".")[0]]


def _first_number(view: View, told: Instalment) -> tuple[str, str] | None:
    """The first number of an instalment that can stand without a remark, and what it is of."""
    numbers = view.numbers_of_story
    for number in view.numbers:
        if number.instalment == told.slug and not numbers.cannot_stand_alone(number):
            about = view.rows[number.about].of if number.of == "reading" else number.about
            of = view.build.fits[about].name if number.of == "fit" else view.name_of(about)
            return number.says, f"{upper_first(of)}{f', {number.form}' if number.form else ''}, as told that day"
    return None


def _foot(view: View) -> str:
    head, newest = view.build.sound_head, view.build.newest_date
    return " · ".join([head.name, head.club.name, *([f"records to {newest}"] if newest else [])])


def _both(number: Markup) -> tuple[str, str]:
    """A number in its own unit, and in the other one."""
    first, _, other = _plain(number).partition(" (")
    return first, other.removesuffix(")")


def _plain(markup: Markup) -> str:
    return " ".join(Markup(markup).striptags().split())
