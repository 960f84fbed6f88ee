"""What of a site can be followed: a feed of each build and one of all, each in two forms."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from html import unescape
from urllib.parse import urljoin

from markupsafe import Markup, escape

from gudgeon.feeds.atom import atom
from gudgeon.feeds.feed import Entry, Feed, permanent_id
from gudgeon.feeds.head import followed
from gudgeon.feeds.json_feed import json_feed
from gudgeon.pages.on_site import OnSite
from gudgeon.pages.page import HOMES, Asset
from gudgeon.pages.story import excerpt, lead_of
from gudgeon.pages.view import View
from gudgeon.records.instalment_text import Shown, Tie
from gudgeon.records.knowledge import Word
from gudgeon.records.model import Build, Instalment
from gudgeon.story.article import article

ATOM, JSON = "feed.xml", "feed.json"
RELATIVE = re.compile(r'href="(?!#|[a-z][a-z0-9+.-]*:)([^"]*)"')
LONGEST_SUMMARY = 300  # letters


def of_build(view: View) -> Feed:
    """The feed of a build that can be followed."""
    build, home = view.build, view.web(f"{view.home}/story/index.md")
    entries = tuple(_entry(view, told) for told in build.instalments)
    return Feed(
        permanent_id(*base(build)),
        build.sound_head.name,
        f"How it is built, told as it goes. {build.sound_head.club.name}",
        home,
        view.web(f"{view.home}/{ATOM}"),
        view.web(f"{view.home}/{JSON}"),
        entries,
    )


def of_club(feeds: list[tuple[View, Feed]]) -> Feed:
    """All builds together. Each entry is told with the name of its build, and has the same id as in the feed of that build."""
    clubs = sorted({view.build.sound_head.club.name for view, _ in feeds})
    entries = [
        replace(entry, title=f"{feed.title}: {entry.title}", source=feed) for _, feed in feeds for entry in feed.entries
    ]
    view = feeds[0][0]
    return Feed(
        permanent_id("club", *clubs),
        " and ".join(clubs),
        "The stories of all builds",
        view.web("builds/index.md"),
        view.web(ATOM),
        view.web(JSON),
        tuple(sorted(entries, key=lambda entry: entry.published)),
    )


def base(build: Build) -> tuple[str, str]:
    """What the ids of a build are made of: its club and the first name of its folder; what `feed_base` says where it is given."""
    return ("build", build.feed_base)


def feeds(view: View) -> list[Feed]:
    """The feed of a build; none where it cannot be followed (decision 0057)."""
    return [of_build(view)] if view.feeds else []


def assets(of: list[tuple[View, Feed]]) -> list[Asset]:
    """The files of all feeds."""
    files = [file for view, feed in of for file in _files(f"{view.home}/", feed)]
    return [*files, *_files("", of_club(of))] if of else []


def heads(of: list[tuple[View, Feed]]) -> dict[str, str]:
    """Page -> the lines in its head by which a reader's program sees what can be followed."""
    if not of:
        return {}
    club = ("All builds", of_club(of))  # a build's pages name no other club: they change with their own records alone
    said = {uri: followed([club]) for uri in (*HOMES, "builds/index.md")}
    for view, feed in of:
        own = (feed.title, feed)
        said |= {view.instalment_uri(told): followed([own]) for told in view.build.instalments}
        said |= {f"{view.home}/{path}": followed([own, club]) for path in ("index.md", "story/index.md")}
    return said


def _files(folder: str, feed: Feed) -> list[Asset]:
    return [Asset(folder + ATOM, atom(feed)), Asset(folder + JSON, json_feed(feed))]


def _entry(view: View, told: Instalment) -> Entry:
    build, head = view.build, told.head
    licences = build.sound_head.licences
    content = _whole(view, told)
    names = [(name, build.fits[name].name if name in build.fits else view.name_of(name)) for name in head.about]
    return Entry(
        permanent_id(*base(build), str(head.number)),
        view.web(view.instalment_uri(told)),
        head.title,
        head.date,
        max([head.date, *(put_right.date for put_right in head.corrected), *_withdrawals(build, told)]),
        view.person(head.by),
        excerpt(view, told, LONGEST_SUMMARY),
        str(content),
        tuple(names),
        licences.text if licences else None,
        view.web(view.photo_uri(lead) if (lead := lead_of(told, view)) else view.card_uri(told)),
    )


def _whole(view: View, told: Instalment) -> Markup:
    """What was put right in it, the text, and the pictures that stand below it on its page."""
    medium = InFeed(view, told)
    put_right = [
        Markup("<p><strong>Corrected on {}:</strong> {}</p>").format(once.date, once.what)
        for once in told.head.corrected
    ]
    below = [medium.picture(Shown(name, "", "", told.head.where("photos"))) for name in told.head.photos]
    text = Markup("\n").join([*_lead_withdrawn(told, medium), *put_right, article(told, medium), *below])
    # What a writer links beside the page leads there from elsewhere too; a place in the text itself stays one.
    page = view.web(view.instalment_uri(told))
    return Markup(RELATIVE.sub(lambda link: f'href="{escape(urljoin(page, unescape(link[1])))}"', text))


def _lead_withdrawn(told: Instalment, medium: "InFeed") -> list[Markup]:
    """That the leading picture was withdrawn. One that is shown is the picture of its entry, and stands in no text."""
    lead = told.head.lead
    known = medium.build.photos.get(lead) if lead else None
    if not lead or not known or not known.withdrawn or lead in {shown.name for shown in told.pictures}:
        return []
    return [medium.picture(Shown(lead, "", "", told.head.where("lead")))]


def _withdrawals(build: Build, told: Instalment) -> list[date]:
    """The days on which pictures of an instalment were withdrawn: who holds its entry learns of it only from a newer one."""
    posters = [build.films[film.id].poster for film in told.films if film.id in build.films]
    names = [told.head.lead, *(shown.name for shown in told.pictures), *told.head.photos, *posters]
    pictures = [build.photos[name] for name in names if name in build.photos]
    return [picture.withdrawn.date for picture in pictures if picture.withdrawn]


class InFeed(OnSite):
    """An instalment in a feed: as on the site, with whole addresses; there is nothing there to point at, so what became of a
    number stands behind it in brackets."""

    def __init__(self, view: View, told: Instalment):
        super().__init__(view, told, "")

    @property
    def build(self) -> Build:
        """Whose instalment it is."""
        return self._view.build

    @property
    def words(self) -> Sequence[Word]:
        return ()

    def link(self, target: str) -> str:
        return self._view.web(target)

    def tied(self, tie: Tie) -> Markup:
        said = self._view.numbers_of_story.tied(self._told.slug, tie)
        beside = said.in_brackets if said else ""
        return Markup("{} ({})").format(tie.words, beside) if beside else escape(tie.words)
