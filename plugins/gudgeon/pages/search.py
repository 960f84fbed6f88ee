"""Search: a page with a box, and the list of all pages that its script looks through. Nothing of it is loaded on other pages.

An entry is a page, or a place on one, with the words by which people look for it. The kinds below stand in the order in which
they are looked for; the script weighs entries by it (decision 0051).
"""

import html
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from gudgeon.pages.page import Asset, Page, Renderer, asset_text, to_folder
from gudgeon.pages.view import PHONE, View
from gudgeon.records.instalment_text import plain
from gudgeon.records.model import Knowledge
from gudgeon.wording import MEANS, upper_first

PAGE = "search.md"
FOLDER = "assets/search"
SCRIPTS = ("minisearch.js", "ask.js")  # the library, and what asks it; between them the list of pages
LIST = f"{FOLDER}/pages.js"
# What an entry is, as it is said beside it; the first is looked for most. ask.js has the weights.
KINDS = (
    "engine",
    "fit",
    "part",
    "bore map",
    "job",
    "word",
    "part family",
    "rule of thumb",
    "caution",
    "instalment",
    "page",
    "gauge",
    "metal",
    "sum",
    "guide",
    "source",
    "job done",
    "sheet to measure by",
    "how a fit changed",
)


@dataclass(frozen=True)
class Entry:
    """A page, or a place on it. ids: what members call it in the records; words: what else it is looked for by."""

    uri: str
    title: str
    kind: str
    build: str = ""
    ids: tuple[str, ...] = ()
    words: str = ""


def page(renderer: Renderer, views: list[View]) -> Page:
    """The page with the box, and without a script with ways to all lists."""
    return renderer.page(
        PAGE, "search.md.j2", None, views=views, scripts=[f"{FOLDER}/{SCRIPTS[0]}", LIST, f"{FOLDER}/{SCRIPTS[1]}"]
    )


def assets(
    renderer: Renderer, shelf: Knowledge, views: list[View], pages: Iterable[Page], others: Iterable[Page]
) -> list[Asset]:
    """The list and the scripts. pages: those made of the records; the ones that no entry of their own leads to are found by
    their headings. others: pages that people write, found by all their words."""
    entries = [*_of_builds(views), *_of_shelf(shelf)]
    there = {entry.uri for entry in entries} | {PAGE}
    own = {f"{view.home}/": view.build.sound_head.name for view in views}
    entries += [_of_page(made, "page", r"^#{2,3} (.*)", own) for made in pages if made.uri not in there]
    entries += [_of_page(written, "guide", "(.*)") for written in others if written.uri not in there]
    names = list(dict.fromkeys(entry.build for entry in entries if entry.build))
    address = renderer.address if renderer.links != "files" else to_folder  # a script's addresses are finished ones
    also = _words_for_words(shelf)
    rows = [
        [
            address(PAGE, entry.uri),
            entry.title,
            KINDS.index(entry.kind),
            names.index(entry.build) if entry.build else -1,
            " ".join(entry.ids),
            _distinct(f"{entry.words} {also(f'{entry.title} {entry.words}')}", entry.title),
        ]
        for entry in entries
    ]
    listed = {"kinds": KINDS, "builds": names, "pages": rows}
    text = "gudgeon.pages(" + json.dumps(listed, separators=(",", ":")).replace("<", "\\u003c") + ");\n"
    text = (
        "globalThis.gudgeon = globalThis.gudgeon || {};\ngudgeon.pages = (given) => { gudgeon.listed = given; };\n"
        + text
    )
    return [
        Asset(LIST, text.encode()),
        *(Asset(f"{FOLDER}/{name}", asset_text(f"search/{name}").encode()) for name in SCRIPTS),
    ]


def _of_builds(views: list[View]) -> Iterator[Entry]:
    for view in views:
        build, name = view.build, view.build.sound_head.name
        engine = build.sound_head.engine
        yield Entry(
            f"{view.home}/index.md",
            name,
            "engine",
            name,
            (build.id,),
            f"bench home {engine.layout} {build.sound_head.club.name}",
        )
        for fit in view.findings.fits.values():
            kind = build.fits[fit.id].of_kind
            called = kind.id.replace("_", "-")
            words = f"fit {kind.words} {kind.called} {kind.id.replace('_', ' ')} {view.halves(fit)}"
            yield Entry(view.fit_uri(fit.id), fit.name, "fit", name, (fit.id, called, f"{called}-{kind.called}"), words)
            title = f"{fit.name}: how it changed"
            yield Entry(view.history_uri(fit.id), title, "how a fit changed", name, (fit.id,), f"history moved {words}")
        for part_id, part in build.parts.items():
            yield Entry(view.part_uri(part_id), part.name, "part", name, (part_id,), _words_of_part(view, part_id))
            title = f"{part.name}: sheet to measure by"
            yield Entry(
                view.part_sheet_uri(part_id), title, "sheet to measure by", name, (), "measure shop sheet print"
            )
        for ref in view.mapped:
            feature = build.features[ref].name
            yield Entry(
                view.map_uri(ref),
                f"{upper_first(view.spoken(ref))}: map",
                "bore map",
                name,
                (),
                f"map roundness ovality taper who measured read {feature}",
            )
        yield from _of_work(view, name)
        yield from _of_menu(view, name)
        for told in build.instalments:
            about = " ".join(
                build.fits[ref].name if ref in build.fits else view.name_of(ref) for ref in told.head.about
            )
            words = f"story instalment {told.head.number} {about} {plain(told.body, whole=True)}"
            yield Entry(view.instalment_uri(told), told.head.title, "instalment", name, (), words)
        for gauge, instrument in build.instruments.items():
            yield Entry(
                f"{view.home}/gauges.md", instrument.name, "gauge", name, (gauge,), "gauge instrument calibration check"
            )
        for calculation in view.findings.calculations:
            part = build.parts[calculation.part].name if calculation.part else ""
            yield Entry(
                view.calculation_uri(calculation), upper_first(calculation.gives), "sum", name, (), f"sum {part}"
            )


def _of_menu(view: View, name: str) -> Iterator[Entry]:
    """The pages of the menu, by the word that it has for them."""
    more = {
        "readings.md": "who measured read log",
        PHONE: "add a reading phone measure write down",
        "work.md": "next jobs tonight hours",
    }
    for words, target in view.menu:
        yield Entry(f"{view.home}/{target}", f"{words}: {name}", "page", name, (words,), more.get(target, ""))


def _of_work(view: View, name: str) -> Iterator[Entry]:
    for operation in view.findings.operations.values():
        part = view.build.parts[operation.part].name
        if operation.state == "done":
            uri, kind, words = view.part_uri(operation.part), "job done", f"operation {part}"
        else:
            uri, kind, words = view.sheet_uri(operation.id), "job", f"operation shop sheet print to do {part}"
        yield Entry(uri, upper_first(operation.does), kind, name, (operation.id,), words)


def _words_of_part(view: View, part_id: str) -> str:
    part = view.build.parts[part_id]
    family = view.shelf.families.get(part.family)
    names = [family.name, family.us, family.uk] if family else [part.family]
    features = [feature.name for feature in part.features.values()]
    return " ".join(["part", part.also or "", *names, view.metal_name(part.material), *features])


def _of_shelf(shelf: Knowledge) -> Iterator[Entry]:
    for name, family in shelf.families.items():
        features = [word for feature in family.features.values() for word in (feature.us, feature.uk)]
        words = " ".join(["family how to make measure", family.us, family.uk, family.what, *features])
        yield Entry(f"families/{name}.md", family.name, "part family", "", (), words)
    for name, rule in shelf.rules.items():
        words = f"rule of thumb {rule.kind.replace('_', ' ')} {rule.applies_to} {rule.said_by} {rule.note or ''}"
        yield Entry(f"rules.md#{name}", f"“{rule.says}”", "rule of thumb", "", (name,), words)
    for name, caution in shelf.cautions.items():
        words = f"caution danger safety {caution.what} {caution.why} {caution.do}"
        yield Entry(f"cautions.md#caution-{name}", upper_first(caution.hazard), "caution", "", (), words)
    for state, means in MEANS.items():
        yield Entry(f"words.md#{state.replace(' ', '-')}", upper_first(state), "word", "", (), f"state {means}")
    for word in shelf.words:
        words = f"{word.us or ''} {word.uk or ''} {word.means}"
        yield Entry(f"words.md#{word.anchor}", upper_first(word.word), "word", "", (), f"word meaning {words}")
    for name, material in shelf.materials.items():
        yield Entry(
            f"metals.md#metal-{name}", upper_first(material.name), "metal", "", (name,), "metal material expansion"
        )
    for key, source in shelf.sources.items():
        authors = " ".join(author.get("family", author.get("literal", "")) for author in source.get("author", []))
        yield Entry(f"sources.md#{key}", str(source.get("title", key)), "source", "", (key,), f"source book {authors}")


def _of_page(made: Page, kind: str, by: str, own: Mapping[str, str] = MappingProxyType({})) -> Entry:
    """A page by its title and those of its lines that are of the form `by`."""
    text = re.sub(r"\A---\n.*?\n---\n", "", made.text, flags=re.DOTALL)
    title = re.search(r"^# (.*)", text, re.MULTILINE)
    words = " ".join(re.findall(by, text, re.MULTILINE))
    build = next((name for home, name in own.items() if made.uri.startswith(home)), "")
    return Entry(made.uri, _plain(title[1]) if title else made.uri, kind, build, (), _plain(words))


def _plain(text: str) -> str:
    """Markdown as plain words."""
    text = html.unescape(re.sub(r"<[^>]*>|\]\([^)]*\)", " ", text))
    return " ".join(re.sub(r"\\(?=\W)|[`*_\[\]|#>]+", "", text).split())


def _distinct(words: str, title: str) -> str:
    """Each word once, and none that stands in the title."""
    in_title = set(_spoken(title))
    return " ".join(word for word in dict.fromkeys(_spoken(words)) if word not in in_title)


def _spoken(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.lower())


def _words_for_words(shelf: Knowledge):
    """What gives the words of the other side of the ocean for those in a text, by the word list."""
    pairs = [
        {name.strip().lower() for said in (word.word, word.us, word.uk) if said for name in said.split(",")}
        for word in shelf.words
        if word.us or word.uk
    ]

    def also(text: str) -> str:
        spoken = f" {' '.join(_spoken(text))} "
        return " ".join(
            name
            for names in pairs
            if any(f" {name.replace('-', ' ')} " in spoken for name in names)
            for name in sorted(names)
        )

    return also
