"""What members share in docs/knowledge/: rules of thumb, cautions, materials, sources, words."""

from typing import Annotated, Literal

from gudgeon_calc.published import bases
from pydantic import AfterValidator, Field, model_validator

from gudgeon.records.base import Record
from gudgeon.records.build_file import Basis, Cooling, Material, Running
from gudgeon.records.cutting import Cutting
from gudgeon.records.fields import Date, Id, Length, Line, Speed, Time, Words, limits_pair
from gudgeon.records.fit_kinds import FitKindName
from gudgeon.records.licences import Licence
from gudgeon.records.outcomes import Counts, Result
from gudgeon.records.parts import FamilyName
from gudgeon.records.refs import ClubMaterialRef, RuleRef, SourceRef
from gudgeon.records.rule_forms import Form

GROUNDS = bases()  # the words for the ground of a figure -> what each means, the strongest first


class OutcomeInRule(Record):
    """What became of one engine that used a rule, as it stood in the rule's file before outcomes had files of their own."""

    engine: Line
    result: Result
    hours: Time
    told: Date | None = None
    note: Line | None = None


class Rule(Record):
    """A rule of thumb."""

    rule: Id
    says: Line = Field(description="The saying in members' words.")
    kind: FitKindName = Field(description="The kind of fit it is for.")
    applies_to: Line = Field(description="In words: parts and materials.")
    gives: Form | None = None
    cases: dict[Id, Form] = Field(default={}, description="Where one saying gives several ranges.")
    valid: Line = Field(description="What it is good for, in words.")
    sizes: Annotated[tuple[Length, Length], AfterValidator(limits_pair)] | None = Field(
        default=None, description="Sizes it is good for."
    )
    speed_least: Speed | None = Field(default=None, description="The slowest governed speed it is good for.")
    speed_most: Speed | None = None
    cooling: tuple[Cooling, ...] = Field(default=(), description="Kinds of cooling it is good for.")
    running: tuple[Running, ...] = Field(default=(), description="How an engine is run that it is good for.")
    hole_materials: tuple[ClubMaterialRef, ...] = Field(
        default=(), description="The club's materials that the outer part may be of."
    )
    shaft_materials: tuple[ClubMaterialRef, ...] = Field(
        default=(), description="The club's materials that the inner part may be of."
    )
    copied_from: RuleRef | None = Field(default=None, description="The rule that this one was copied from.")
    superseded_by: RuleRef | None = Field(default=None, description="The rule that is followed in its place now.")
    said_by: Line = Field(description="Person, book and page, card.")
    source: SourceRef | None = Field(default=None, description="Key in the bibliography, where it is published.")
    where_in_source: Line | None = None
    basis: Basis
    grade: Literal["trade rule", "club rule", "member rule", "hearsay", "withdrawn"]
    outcomes: Counts = Field(
        default={}, description="As it was written once: these stand in outcomes/<name>.yaml now, under counts."
    )
    told: tuple[OutcomeInRule, ...] = Field(
        default=(), description="As it was written once: these stand in outcomes/<name>.yaml now, under told."
    )
    note: Words | None = None

    @model_validator(mode="after")
    def _one_form(self):
        if bool(self.cases) == (self.gives is not None):
            raise ValueError('a rule has either "gives" or "cases".')
        return self

    @property
    def forms(self) -> dict[str | None, Form]:
        """What it gives by case; a rule without cases has one under None."""
        forms: dict[str | None, Form] = {**self.cases}
        return {None: self.gives} if self.gives else forms

    @property
    def rests_on(self) -> set[str]:
        """The rules whose results it takes."""
        return {form.of_rule for form in self.forms.values() if form.of_rule}


class Danger(Record):
    """A computed figure of a build, and the limit at which the caution shows itself."""

    figure: Id = Field(description="A calculation by its id, such as rim-speed-runaway.")
    over: Line | None = Field(default=None, description="Shown above this quantity.")
    under: Line | None = Field(default=None, description="Shown below this quantity.")
    source: SourceRef | None = None
    where_in_source: Line | None = None
    basis: Basis

    @model_validator(mode="after")
    def _one_limit(self):
        if (self.over is None) == (self.under is None):
            raise ValueError('a danger has one limit. Write either "over: 5280 ft/min" or "under: 2".')
        return self

    @property
    def limit(self) -> str:
        """The limit as written."""
        return self.over or self.under or ""


class Caution(Record):
    """A hazard: shown where the danger is."""

    caution: Id
    hazard: Line
    what: Words
    why: Words
    do: Words
    families: tuple[FamilyName, ...] = ()
    fit_kinds: tuple[FitKindName, ...] = ()
    operation_words: tuple[Line, ...] = Field(
        default=(), description="Shown for operations that say one of these words."
    )
    other_words: tuple[Line, ...] = Field(
        default=(), description='Words of an operation that do not count as one of those: "turn by hand" is no turning.'
    )
    materials: tuple[ClubMaterialRef, ...] = Field(
        default=(), description="Shown for parts of these materials of the club."
    )
    dangers: tuple[Danger, ...] = Field(default=(), description="Computed figures that bring it up, with their limits.")
    codes: Words = Field(description="The line that defers to local codes and licensed practice.")
    source: SourceRef | None = None
    where_in_source: Line | None = None
    basis: Basis


class OfEngine(Record):
    """A size that follows one of the engine's leading sizes; `new part` takes it from there."""

    of: Literal["bore", "stroke", "rod_centres"] = Field(description="The engine's size that it follows.")
    times: float = Field(default=1.0, gt=0, le=20)
    because: Line = Field(description="The rule and its ground.")

    @property
    def in_words(self) -> str:
        """As one says it, with its ground."""
        share = "" if self.times == 1 else f"{self.times:g} × "
        return f"{share}the engine's {self.of.replace('_', ' ')} ({self.because})"


class PlausibleOfEngine(Record):
    """Between which shares of one of the engine's leading sizes a feature can lie at all; nothing but slips is judged by it."""

    of: Literal["bore", "stroke", "rod_centres"] = Field(description="The engine's size that they are shares of.")
    times: tuple[Annotated[float, Field(gt=0, le=20)], Annotated[float, Field(gt=0, le=20)]] = Field(
        description="Least and most."
    )
    because: Line = Field(description="The rule and its ground.")

    @property
    def in_words(self) -> str:
        """As one says it, with its ground."""
        least, most = self.times
        return f"{least:g} to {most:g} × the engine's {self.of.replace('_', ' ')} ({self.because})"


class StationsOfEngine(Record):
    """Where along its axis a feature is read, as shares of one of the engine's leading sizes."""

    of: Literal["bore", "stroke", "rod_centres"] = Field(description="The engine's size that they are shares of.")
    at: tuple[Annotated[float, Field(ge=0, le=5)], ...] = Field(min_length=1, max_length=20)
    because: Line = Field(description="The rule and its ground.")

    @property
    def in_words(self) -> str:
        """As one says it, with its ground."""
        shares = ", ".join(f"{share:g}" for share in self.at)
        return f"{shares} × the engine's {self.of.replace('_', ' ')} ({self.because})"


class FamilyFeature(Record):
    """What people call a feature of a part family, and where it is read. Its id and kind stand in the starter folder."""

    us: Line
    uk: Line
    measure: Line | None = Field(default=None, description="Where and with what it is read.")
    nominal: OfEngine | None = Field(default=None, description="Its size, where it follows the engine's.")
    plausible: PlausibleOfEngine | None = Field(
        default=None, description="What it can be at all, where its size does not follow the engine's closely."
    )
    stations: StationsOfEngine | None = Field(default=None, description="Its stations, where they follow the engine's.")


class FamilyMate(Record):
    """What the family works with."""

    kind: FitKindName | None = Field(default=None, description="The kind of fit.")
    of: Line = Field(description="The feature of this family, in words.")
    goes_with: Line = Field(description="What it goes with, in words.")
    note: Line | None = None


class Family(Record):
    """families/<family>/family.yaml: a family of parts. Features and order of work are those of its starter folder."""

    family: FamilyName
    name: Line
    us: Line
    uk: Line
    what: Words
    features: dict[Id, FamilyFeature]
    mates: tuple[FamilyMate, ...] = ()
    measure: tuple[Words, ...] = Field(min_length=1, description="How to read it well.")
    watch: tuple[Words, ...] = Field(min_length=1, description="What spoils the work.")
    source: SourceRef | None = None
    where_in_source: Line | None = None
    basis: Basis


class Habits(Record):
    """habits.yaml: what the club usually does, where a build, a lathe or an operation does not say otherwise."""

    cutting: Cutting


class ClubMaterial(Material):
    """A material of the club's shelf."""

    material: Id

    @model_validator(mode="after")
    def _has_its_figure(self):
        if self.cte is None or self.source is None:
            raise ValueError(
                'a material of the club has a coefficient and says where it is printed. Write "cte: 11.0e-6 /K" and "source: key".'
            )
        return self


class Word(Record):
    """A word of the trade, US and UK."""

    word: Line
    us: Line | None = None
    uk: Line | None = None
    means: Words
    everyday: bool = Field(
        default=False,
        description="Whether people use it in its everyday sense too, such as stock: instalments do not explain it where it stands.",
    )

    @property
    def anchor(self) -> str:
        """Its id on the page of words."""
        return self.word.replace(" ", "-").lower()


class Glossary(Record):
    """glossary/words.yaml"""

    words: tuple[Word, ...]


SharedKind = Literal["rule", "caution", "material", "family", "word", "habits", "judgement", "outcomes"]
# What travels -> the folder of its files on the page "Shared".
SHARED_KINDS: dict[SharedKind, str] = {
    "rule": "rules",
    "caution": "cautions",
    "material": "materials",
    "family": "families",
    "word": "words",
    "habits": "habits",
    "judgement": "judgement",
    "outcomes": "outcomes",
}
# Of which each thing has a file, or a folder, of its own -> where these lie below a shelf.
HAS_A_FILE: dict[SharedKind, str] = {kind: SHARED_KINDS[kind] for kind in ("rule", "caution", "material", "family")}
WITH_TOOL = "Gudgeon"  # where a copy came from of something that comes with the tool
SINGLE: tuple[SharedKind, ...] = ("habits", "judgement")  # of which a shelf has one, called like its kind


class Withdrawn(Record):
    """A notice to those who brought something from here that it should no longer be used."""

    kind: SharedKind
    id: Id
    on: Date
    because: Line


class Sharing(Record):
    """docs/knowledge/sharing.yaml: under which name and licence the shelf is given away. Without it nothing is."""

    club: Line = Field(description="Who gives it.")
    licence: Licence = Field(description="SPDX expression of the licence, such as CC-BY-4.0.")
    site: Line | None = Field(default=None, description="Where the site stands, such as https://example.org/.")
    withdrawn: tuple[Withdrawn, ...] = Field(
        default=(), description="What was given away and is taken back: told to who brought it, and no longer offered."
    )


class WithdrawnThere(Record):
    """That a thing was withdrawn where it was brought from, as it was told on a day."""

    by: Line = Field(description="The club that says so.")
    on: Date | None = Field(default=None, description="The day of it, where that is said.")
    because: Line
    told: Date = Field(description="The day on which gudgeon bring --look was told.")


class Origin(Record):
    """Where something on the shelf was brought from."""

    came_from: Line = Field(description="Address or file.")
    club: Line = Field(description="Who gave it.")
    licence: Line
    digest: Annotated[str, Field(pattern=r"^sha256:[0-9a-f]{64}$")] = Field(description="Of the file that was brought.")
    as_brought: Annotated[str, Field(pattern=r"^sha256:[0-9a-f]{64}$")] = Field(
        description="Of the records as they were written here: another digest now tells a local change."
    )
    was_called: Id | None = Field(default=None, description="Its id where it came from, where it has another one here.")
    resting_on: dict[Id, Id] = Field(
        default={}, description="Rule whose result it takes there -> the rule whose result it takes here."
    )
    on: Date = Field(description="The day.")
    withdrawn: WithdrawnThere | None = Field(default=None, description="Where it was withdrawn since.")

    @property
    def is_of_tool(self) -> bool:
        """Whether it is a copy of what comes with the tool: brought from nobody, and looked for nowhere else."""
        return self.came_from == WITH_TOOL


class OriginsFile(Record):
    """docs/knowledge/origins.yaml, written by gudgeon bring."""

    origins: dict[
        Annotated[str, Field(pattern=rf"^({'|'.join(SHARED_KINDS)}) [A-Za-z0-9][A-Za-z0-9_-]{{0,39}}$")],
        Origin,
    ]
