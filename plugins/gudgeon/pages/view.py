"""What the pages of one build are made from, and what they all share."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal
from urllib.parse import quote, urlencode, urljoin

from markupsafe import Markup, escape

from gudgeon import boundary
from gudgeon.assess.findings import (
    BuildFindings,
    Calculation,
    FeatureFinding,
    FitFinding,
    RuleEvidence,
    RuleFinding,
    SuspectedMistake,
)
from gudgeon.assess.findings.told import NumberTold
from gudgeon.danger_words import leading
from gudgeon.pages import photos
from gudgeon.pages.markup import MarkupFormatter
from gudgeon.pages.new_file import NewFile
from gudgeon.pages.page import Asset, Page, Renderer
from gudgeon.pages.part_states import part_states
from gudgeon.pictures.sizes import Copy, Sized, sized
from gudgeon.records.knowledge import Caution
from gudgeon.records.model import Build, Instalment, Knowledge
from gudgeon.records.names import uses
from gudgeon.records.problems import Where
from gudgeon.records.withdrawn_there import in_use
from gudgeon.story.numbers import NumbersOfStory
from gudgeon.wording import hotter, lower_first, slug

PHONE = "phone/index.html"  # where a phone takes readings
MOST_NAMED = 6  # more users of a record than these are counted, not named
IN_ROW, IN_LONG_ROW = 3, 7  # entries of a build's menu that stand in its row, on a phone and on a desk


@dataclass(frozen=True)
class MenuEntry:
    """A page in the menu of a build. here: the page that is open lies on or below it."""

    words: str
    target: str
    here: bool
    folds: Literal["never", "on a phone", "always"]


@dataclass
class View:
    """One build with its findings, ready to be shown."""

    build: Build
    findings: BuildFindings
    shelf: Knowledge
    renderer: Renderer
    site_url: str | None = None
    failures: list[boundary.Failure] = field(default_factory=list)  # pages that could not be made
    inputs: Mapping[str, frozenset[tuple[str, str]]] = field(default_factory=dict)  # "fit/A-F01" -> records it rests on
    numbers: tuple[NumberTold, ...] = ()  # tied numbers of the story
    evidence: Mapping[str, RuleEvidence] = field(default_factory=dict)  # rule -> what engines tell of it
    forge: NewFile | None = None  # where the repository takes new files and issues

    def __post_init__(self):
        names = {ref: f"the {self.spoken(ref)}" for ref in self.build.features}
        # A part by "part " and its id, which another record may have too.
        names |= {f"part {part}": f"the {lower_first(spec.name)}" for part, spec in self.build.parts.items()}
        self.fmt = MarkupFormatter(self.findings.units, names)
        self.home = f"builds/{self.build.id}"
        self._sized: dict[str, Sized] = {}
        self.mapped = [ref for ref, feature in self.findings.features.items() if _has_map(feature)]
        self.leading = leading(self.findings.dangers)
        self.looks = [fit for fit in self.findings.fits.values() if fit.look]
        # By their own limits; what only a fit wants of a size, the fit tells.
        self.outside = [
            feature
            for feature in self.findings.features.values()
            if feature.state in ("out", "reads out") and (feature.limits or feature.forms)
        ]
        self.part_states = part_states(self.build, self.findings)
        self.rows = {row.id: row for row in self.build.rows}
        self._tied = {
            # A reading is told of as what it was taken of.
            told.slug: {self.rows[tie.target].of if tie.target in self.rows else tie.target for tie in told.ties}
            for told in self.build.instalments
        }
        self.features_of_part: dict[str, dict[str, FeatureFinding]] = {part: {} for part in self.build.parts}
        for ref, feature in self.findings.features.items():
            self.features_of_part[ref.partition(".")[0]][ref] = feature
        self.rows_of_part: dict[str, list] = {}
        for row in self.build.rows:
            self.rows_of_part.setdefault(row.of.partition(".")[0], []).append(row)
        self._uses = uses(self.build)
        self.withdrawn = in_use(self.build, self.shelf)  # where it was brought from
        # In the order of use. On a phone the first IN_ROW stand in a row, on a desk the first IN_LONG_ROW; the others fold.
        self.menu = [
            ("Work", "work.md"),
            ("Fits", "fits/index.md"),
            ("Parts", "parts/index.md"),
            ("Enter readings", PHONE),
            ("Bore maps", "maps/index.md"),
            ("Readings", "readings.md"),
            ("Sheets", "sheets/index.md"),
            ("Rules", "rules.md"),
            ("Story", "story/index.md"),
            ("Due", "due.md"),
            ("Sums", "sums.md"),
            ("Gauges", "gauges.md"),
            ("Metals", "metals.md"),
        ]

    @property
    def numbers_of_story(self) -> NumbersOfStory:
        """What is said of the tied numbers of its story."""
        names = {name: gauge.name for name, gauge in self.build.instruments.items()}
        return NumbersOfStory(self.numbers, self.findings.units, names)

    def page(self, path: str, template: str, edit: str, **values) -> Page:
        """A page of this build. path: below the build's folder; edit: file below the build's folder."""
        local = [
            MenuEntry(
                words,
                f"{self.home}/{target}",
                here=target == path or (target.endswith("/index.md") and path.startswith(target[:-8])),
                folds="never" if place < IN_ROW else "on a phone" if place < IN_LONG_ROW else "always",
            )
            for place, (words, target) in enumerate(self.menu)
        ]
        return self.renderer.page(
            f"{self.home}/{path}",
            template,
            f"{self.build.path}/{edit}",
            view=self,
            build=self.build,
            findings=self.findings,
            fmt=self.fmt,
            local=local,
            at_home=path == "index.md",
            shelf=self.shelf,
            evidence=self.evidence,
            **values,
        )

    def guarded(self, path: str, make: Callable[..., Page], *given) -> Page:
        """The page that make(*given) gives; a page that says what happened where it fails. path: as in `page`."""
        made = boundary.attempt(f"the page {self.home}/{path}", self._where(), make, *given)
        return self._failed(path, made) if isinstance(made, boundary.Failure) else made

    def guarded_pages(self, path: str, make: Callable[["View"], list[Page]]) -> list[Page]:
        """All pages of a kind; one that says what happened, at `path`, where they fail together."""
        made = boundary.attempt(f"the pages {self.home}/{path}", self._where(), make, self)
        return [self._failed(path, made)] if isinstance(made, boundary.Failure) else made

    def guarded_assets(self, path: str, make: Callable[..., list[Asset]], *given) -> list[Asset]:
        """The files that make(view, *given) gives; none, and the failure told, where that fails."""
        return self.guarded_list(path, make, *given)

    def guarded_list(self, path: str, make: Callable[..., list], *given) -> list:
        """What make(view, *given) gives for a file; nothing, and the failure told, where that fails."""
        made = boundary.attempt(f"the file {self.home}/{path}", self._where(), make, self, *given)
        if isinstance(made, boundary.Failure):
            self.failures.append(made)
            return []
        return made

    def _where(self) -> Where:
        return Where(f"{self.build.path}/build.yaml")

    def _failed(self, path: str, failure: boundary.Failure) -> Page:
        self.failures.append(failure)
        return self.page(path, "failed.md.j2", "build.yaml", failure=failure)

    def family_name(self, family: str) -> str:
        """A part family in people's words."""
        return self.shelf.families[family].name if family in self.shelf.families else family

    def part_uri(self, part: str) -> str:
        """The page of a part."""
        return f"{self.home}/parts/{slug(part)}.md"

    def fit_uri(self, fit: str) -> str:
        """The page of a fit."""
        return f"{self.home}/fits/{slug(fit)}.md"

    def history_uri(self, fit: str) -> str:
        """The page that tells how a fit moved."""
        return f"{self.home}/fits/{slug(fit)}/history.md"

    def map_uri(self, ref: str) -> str:
        """The map of a feature."""
        return f"{self.home}/maps/{slug(ref)}.md"

    def halves(self, fit: FitFinding) -> str:
        """What of a fit meets what, in people's words."""
        return " with ".join(self.name_of(ref) for ref in (fit.hole, fit.shaft) if ref)

    def row_uri(self, row: str) -> str:
        """Where a row of readings stands in the log."""
        return f"{self.home}/readings.md#{row}"

    def sheet_uri(self, operation: str) -> str:
        """The shop sheet of an operation."""
        return f"{self.home}/sheets/{slug(operation)}.md"

    def phone_uri(self, **place: str) -> str:
        """The page on which a phone takes readings, opened at a place: of="piston.skirt", op="A-PIS-100", part="piston"."""
        return f"{self.home}/{PHONE}#{urlencode(place, quote_via=quote)}"

    def part_sheet_uri(self, part: str) -> str:
        """The shop sheet of a part."""
        return f"{self.home}/sheets/part-{slug(part)}.md"

    @property
    def feeds(self) -> list[tuple[str, str]]:
        """Where the build can be followed, in words; nowhere where the site has no address, or the build no story."""
        if not (self.build.instalments and self.web("feed.xml")):
            return []
        return [
            ("its feed (Atom)", f"{self.home}/feed.xml"),
            ("the same as JSON Feed", f"{self.home}/feed.json"),
            ("the feed of all builds", "feed.xml"),
        ]

    def web(self, target: str) -> str:
        """The whole address of a page or file of the site; empty where it is not known: the site has none, or another tool
        decides what its pages are called."""
        if not self.site_url or self.renderer.links == "files":
            return ""
        return urljoin(self.site_url, quote(self.renderer.address("index.md", target).removeprefix("./"), safe="/#"))

    def instalment_uri(self, instalment: Instalment) -> str:
        """The page of an instalment of the story."""
        return f"{self.home}/story/{slug(instalment.slug)}.md"

    def card_uri(self, instalment: Instalment) -> str:
        """What a shared link to an instalment shows."""
        return f"{self.home}/cards/story-{slug(instalment.slug)}.png"

    def told_of_part(self, part: str) -> list[Instalment]:
        """The instalments that tell of a part: they say so, or something was done to it or read of it on their day."""
        days = {row.date for row in self.rows_of_part.get(part, ())}
        days |= {op.done for op in self.build.operations.values() if op.part == part and op.done}
        return [
            told
            for told in self.build.instalments
            if any(name.partition(".")[0] == part for name in (*told.head.about, *self._tied[told.slug]))
            or told.head.date in days
        ]

    def told_of_fit(self, fit: FitFinding) -> list[Instalment]:
        """The instalments that tell of a fit: they say so of it or of what meets in it, or it moved on their day."""
        about = {name for name in (fit.id, fit.hole, fit.shaft) if name}
        days = {move.date for move in fit.moves}
        return [
            told
            for told in self.build.instalments
            if about & set(told.head.about)
            or fit.id in self._tied[told.slug]
            or told.head.date.isoformat() in days
            or re.search(rf"(?<![\w-]){re.escape(fit.id)}(?![\w-])", told.body)
        ]

    def about_uri(self, name: str) -> str:
        """The page of a fit, a part or the part of a feature."""
        return self.fit_uri(name) if name in self.build.fits else self.part_uri(name.partition(".")[0])

    def picture(self, photo: str) -> Sized:
        """A picture in photos/, with the copies that the site has of it."""
        if photo not in self._sized:
            self._sized[photo] = sized(self.build.folder / "photos" / photo)
        return self._sized[photo]

    def copy_uri(self, copy: Copy) -> str:
        """One copy of a picture."""
        return f"{self.home}/photos/{copy.name}"

    def figure(
        self,
        link: Callable[[str], str],
        photo: str,
        otherwise: str = "",
        caption: str = "",
        lead: bool = False,
        shows: str = "",
    ) -> Markup:
        """The figure that shows a picture: see `photos.figure`."""
        return photos.figure(self, link, photo, otherwise, caption, lead, shows)

    def photo_uri(self, photo: str) -> str:
        """The copy of a picture that everything can show."""
        return self.copy_uri(self.picture(photo).fallback)

    def calculation_anchor(self, calculation: Calculation) -> str:
        """The id of a calculation on its page: of each part one."""
        return f"{calculation.id}-{slug(calculation.part)}" if calculation.part else calculation.id

    def calculation_uri(self, calculation: Calculation) -> str:
        """Where a calculation stands."""
        return f"{self.home}/sums.md#{self.calculation_anchor(calculation)}"

    def cautions(self, names: Iterable[str]) -> list[Caution]:
        """The cautions of these names, each once."""
        return [self.shelf.cautions[name] for name in dict.fromkeys(names)]

    def name_of(self, ref: str) -> str:
        """The name of a part.feature in people's words; part.* is all of the part."""
        part, _, feature = ref.partition(".")
        feature = feature.removesuffix("*")
        if part not in self.build.parts:
            return ref
        return (
            f"{self.build.parts[part].name}: {self.build.parts[part].features[feature].name}"
            if feature
            else self.build.parts[part].name
        )

    def metal_name(self, material: str) -> str:
        """The name of a material of the build or of the club."""
        return (self.build.materials if material in self.build.materials else self.shelf.materials)[material].name

    def instrument_name(self, gauge: str) -> str:
        """The name of an instrument; as it is written where none of the build is called so."""
        return self.build.instruments[gauge].name if gauge in self.build.instruments else gauge

    def part_of_budget(self, name: str) -> str:
        """A part of an uncertainty with the name of the instrument that it comes from: use of blk, scale of om01."""
        return re.sub(r"(?<= of )[\w-]+", lambda gauge: self.instrument_name(gauge[0]), name, count=1)

    def spoken(self, ref: str) -> str:
        """A part.feature as one would say it: the skirt of the trunk piston."""
        part, _, feature = ref.partition(".")
        name, of = self.build.parts[part].features[feature].name, self.build.parts[part].name
        return f"{lower_first(name)} of the {lower_first(of)}"

    def wanted(self, fit: FitFinding) -> Markup:
        """What a fit wants."""
        stated = self.build.fits[fit.id].of_kind.stated
        return escape(stated.wants) if stated and not fit.want_high else self.fmt.range(fit.want_low, fit.want_high)

    def wanted_in_words(self, fit: FitFinding) -> Markup:
        """What a fit wants, where what it has is said as an interference or a clearance and not with a sign."""
        if fit.want_low is not None and fit.want_high is not None and fit.want_high < 0:
            return Markup("{} interference").format(self.fmt.range(-fit.want_high, -fit.want_low))
        return self.wanted(fit)

    def allows(self, rule: RuleFinding) -> str:
        """For what heat a rule allows: how much hotter the inner part of its fit may be than the outer; empty where none is known."""
        if rule.implied_low is None or rule.implied_high is None:
            return ""
        outer, inner = (
            lower_first(self.build.parts[ref.partition(".")[0]].name) if ref else "other part"
            for ref in self.build.fits[rule.fits[0]].grows
        )
        return f"{inner} to be {hotter(rule.implied_low, rule.implied_high)} than the {outer}"

    def users(self, kind: str, name: str, *kinds: str) -> str:
        """The records of some kinds that name one of the build's: "dial bore gauge; operations A-CRK-40, A-CRK-50; 12 cuts"."""
        named: dict[str, dict[str, None]] = {user: {} for user in kinds}
        for use in self._uses.get((kind, name), ()):
            if use.kind in named:
                named[use.kind][use.id] = None
        words = []
        for user, ids in named.items():
            plural = "" if len(ids) == 1 else "s"
            if user == "cut" or len(ids) > MOST_NAMED:
                words += [f"{len(ids)} {user}{plural}"] if ids else []
            elif user == "operation":
                words += [f"{user}{plural} {', '.join(ids)}"] if ids else []
            else:
                words += [self._name_of_record(user, id) for id in ids]
        return "; ".join(words)

    def _name_of_record(self, kind: str, id: str) -> str:
        if kind == "part":
            return lower_first(self.build.parts[id].name)
        return self.metal_name(id) if kind == "material" else self.instrument_name(id)

    def person(self, name: str) -> str:
        """A person's name by id."""
        people = self.build.sound_head.people
        return people[name].name if name in people else name

    def mistakes_of(self, part: str) -> list[SuspectedMistake]:
        """Slips in records of a part."""
        ops = {op_id for op_id, op in self.build.operations.items() if op.part == part}
        return [
            slip for slip in self.findings.mistakes if slip.about.partition(".")[0] == part or slip.operation in ops
        ]


def _has_map(feature: FeatureFinding) -> bool:
    """Whether a feature was read at, or is begun and planned at, several stations and several angles."""
    places = [(cell.station, cell.angle) for cell in feature.cells] + list(feature.missing_cells)
    return feature.form is not None and all(len({place[way] for place in places}) > 1 for way in (0, 1))
