"""The story: instalments in order, with previous and next."""

import math
from collections.abc import Iterable

from gudgeon.pages import history
from gudgeon.pages.drawn.before_and_after import Change, before_and_after
from gudgeon.pages.on_site import OnSite
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.records.instalment_text import plain, sentences
from gudgeon.records.knowledge import Caution
from gudgeon.records.model import Instalment
from gudgeon.story.article import article
from gudgeon.story.citation import cited_as
from gudgeon.story.not_kept import NOT_KEPT, WHY_NOT_KEPT
from gudgeon.story.so_far import so_far
from gudgeon.story.what_was_done import Moved, what_was_done
from gudgeon.wording import days_in_words, slug

WORDS_A_MINUTE = 200  # read; common practice, no source
MOST_DRAWN = 8  # numbers that moved: more stand in the table alone
LONGEST_EXCERPT = 160


def pages(view: View) -> list[Page]:
    """A page an instalment, and their index."""
    all_of_them = view.build.instalments
    uri = f"{view.home}/story/index.md"
    index = [
        view.page(
            "story/index.md",
            "story.md.j2",
            "build.yaml",
            instalments=all_of_them,
            so_far=so_far(view.build, view.findings),
            cited=cited_as(view.build, view.findings),
            cards=[_Card(view, uri, told) for told in all_of_them],
        )
    ]
    return [
        *index,
        *(
            view.guarded(f"story/{slug(told.slug)}.md", _instalment_page, view, all_of_them, index)
            for index, told in enumerate(all_of_them)
        ),
    ]


class _Card:
    """An instalment in a list, or on the way to the next one: with its lead picture, when and how long."""

    def __init__(self, view: View, uri: str, told: Instalment):
        medium = OnSite(view, told, uri)
        lead = lead_of(told, view)
        self.told = told
        self.picture = medium.cover(lead) if lead else None
        self.excerpt = excerpt(view, told)
        self.minutes = reading_minutes(told)


def lead_of(told: Instalment, view: View) -> str | None:
    """The picture that leads an instalment: the one its head names, else its first one; None where none may be shown."""
    named = [told.head.lead, *(shown.name for shown in told.pictures), *told.head.photos]
    return next((name for name in named if name in view.build.shown_photos), None)


def reading_minutes(told: Instalment) -> int:
    """How long it takes to read, in minutes, at least one."""
    return max(1, math.ceil(len(plain(told.body).split()) / WORDS_A_MINUTE))


def excerpt(view: View, told: Instalment, longest: int = LONGEST_EXCERPT) -> str:
    """How it begins: its first sentences in a row without a number of which the whole text has to say that it is not so. Here
    there is no room for the remark. Empty where there are none."""
    numbers = view.numbers_of_story
    all_of_them = sentences(told.body)
    doubted = [any(numbers.is_doubted(told.slug, tie) for tie in sentence.ties) for sentence in all_of_them]
    first = next((at for at, doubt in enumerate(doubted) if not doubt), len(doubted))
    last = next((at for at in range(first, len(doubted)) if doubted[at]), len(doubted))
    words = " ".join(sentence.words for sentence in all_of_them[first:last])
    if len(words) > longest:
        return words[: longest - 1].rsplit(" ", 1)[0].rstrip(".,;:") + "…"
    return words.rstrip(",;:") + "…" if words.endswith((",", ";", ":")) and last < len(doubted) else words


def _cautions(view: View, told: Instalment, operations: Iterable[str]) -> list[Caution]:
    """The cautions of the parts and fits that an instalment tells of, and of the work that was done in its time."""
    applying, names = view.findings.cautions, []
    for about in told.head.about:
        names += applying.fits.get(about, ()) or applying.parts.get(about.partition(".")[0], ())
    for operation in operations:
        names += applying.operations.get(operation, ())
    return view.cautions(name for name in view.shelf.cautions if name in set(names))


def _instalment_page(view: View, all_of_them: list[Instalment], index: int) -> Page:
    instalment = all_of_them[index]
    path = f"story/{slug(instalment.slug)}.md"
    uri = f"{view.home}/{path}"
    before = all_of_them[index - 1] if index else None
    after = all_of_them[index + 1] if index + 1 < len(all_of_them) else None
    medium = OnSite(view, instalment, uri)
    done = what_was_done(view.build, view.findings, instalment)
    lead = instalment.head.lead
    in_text = {shown.name for shown in instalment.pictures}
    body = article(instalment, medium)
    return view.page(
        path,
        "instalment.md.j2",
        f"log/{instalment.slug}.md",
        instalment=instalment,
        # A picture that leads and stands in the text too is shown where it stands.
        lead=view.figure(medium.link, lead, lead=True) if lead and lead not in in_text else None,
        body=body,
        below=[
            view.figure(medium.link, photo, f"Picture {number} of instalment {instalment.head.number}")
            for number, photo in enumerate(instalment.head.photos, start=1)
        ],
        minutes=reading_minutes(instalment),
        before=_Card(view, uri, before) if before else None,
        after=_Card(view, uri, after) if after else None,
        place=index + 1,
        discuss=_discuss(view, instalment),
        words=medium.explained,
        done=done,
        cautions=_cautions(view, instalment, done.operations),
        drawing=before_and_after(
            [_change(view, moved) for moved in done.moved[:MOST_DRAWN]],
            "before-and-after",
            done.stretch.after,
            done.stretch.until,
        ),
        changes=[(moved, _change(view, moved)) for moved in done.moved],
        most_drawn=MOST_DRAWN,
        days_in_words=days_in_words,
        counted=view.numbers_of_story.counted(instalment.slug),
        since=history.since(view, instalment.head.date),
        no_history=[fit.name for fit in view.findings.fits.values() if fit.clearance is not None and not fit.moves],
        not_kept=NOT_KEPT,
        why_not_kept=WHY_NOT_KEPT,
    )


def _discuss(view: View, told: Instalment) -> str | None:
    """Where an instalment is talked about: its issue, else a new one at the repository, where the site names it."""
    if told.head.discuss or not view.forge:
        return told.head.discuss
    address = view.web(view.instalment_uri(told)) or told.file
    title = f"{view.build.sound_head.name}, instalment {told.head.number}: {told.head.title}"
    return view.forge.new_issue(title, f"About {address}\n\n")


def _change(view: View, moved: Moved) -> Change:
    """A number that moved, as it is drawn."""
    is_fit = moved.kind == "fit"
    wanted = ""
    if moved.low is not None or moved.high is not None:
        wanted = view.fmt.range_text(moved.low, moved.high) if is_fit else view.fmt.limits_text(moved.low, moved.high)
    return Change(
        view.findings.fits[moved.id].name if is_fit else view.name_of(moved.id),
        moved.was,
        moved.between,
        moved.now,
        moved.said(moved.was, view.fmt) if moved.was is not None else "not kept" if moved.not_kept else "not read",
        tuple(moved.said(value, view.fmt) for value in moved.between),
        moved.said(moved.now, view.fmt),
        moved.low,
        moved.high,
        wanted,
    )
