"""A build, its story and a club, as they were read."""

import datetime
import functools
from dataclasses import dataclass, field
from pathlib import Path

from gudgeon.records import build_file
from gudgeon.records.cutting import Cutting
from gudgeon.records.figures import Figure
from gudgeon.records.fits import Fit
from gudgeon.records.knowledge import Caution, ClubMaterial, Family, Origin, Rule, Sharing, Word
from gudgeon.records.operations import Cut, Operation
from gudgeon.records.parts import Feature, Part
from gudgeon.records.problems import Problem, Where
from gudgeon.records.readings import Row


@dataclass
class Instalment:
    """One instalment of the build's story: its head and its untrusted Markdown body."""

    head: build_file.Instalment
    body: str
    file: str
    slug: str


@dataclass
class Build:
    """Everything that one build's folder says."""

    id: str
    folder: Path
    path: str = ""  # the folder from the project's root, with /, as it is shown to people
    head: build_file.BuildFile | None = None
    parts: dict[str, Part] = field(default_factory=dict)
    fits: dict[str, Fit] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)
    operations: dict[str, Operation] = field(default_factory=dict)
    cuts: tuple[Cut, ...] = ()
    instruments: dict[str, build_file.Instrument] = field(default_factory=dict)
    machines: dict[str, build_file.Machine] = field(default_factory=dict)
    materials: dict[str, build_file.Material] = field(default_factory=dict)
    reviews: tuple[build_file.Review, ...] = ()
    figures: dict[str, Figure] = field(default_factory=dict)
    instalments: list[Instalment] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    unread: set[str] = field(
        default_factory=set
    )  # files and parts that could not be read: nothing can be said of what points into them

    @property
    def sound_head(self) -> build_file.BuildFile:
        """What build.yaml says, of a build that was read without problems: such a build has one."""
        assert self.head is not None, f"{self.id} has no build.yaml that could be read"
        return self.head

    @functools.cached_property
    def features(self) -> dict[str, Feature]:
        """All features by "part.feature"."""
        return {
            f"{part_id}.{feature_id}": feature
            for part_id, part in self.parts.items()
            for feature_id, feature in part.features.items()
        }

    @property
    def named_photos(self) -> list[tuple[str, Where, str]]:
        """Every picture that a record names: (name, where it is named, what the record is about)."""
        of_rows = [(row.photo, row.where("photo"), row.id) for row in self.rows if row.photo]
        of_parts = [
            (photo, part.where("photos", index), part_id)
            for part_id, part in self.parts.items()
            for index, photo in enumerate(part.photos)
        ]
        of_instalments = [
            (photo, instalment.head.where("photos", index), "photos")
            for instalment in self.instalments
            for index, photo in enumerate(instalment.head.photos)
        ]
        return of_rows + of_parts + of_instalments

    @functools.cached_property
    def newest_date(self) -> datetime.date | None:
        """The newest day on which anything in the build is dated: the build's "today"."""
        days = [row.date for row in self.rows] + [op.done for op in self.operations.values() if op.done]
        days += [each.head.date for each in self.instalments] + [each.date for each in self.reviews]
        days += [each.found_off.found for each in self.instruments.values() if each.found_off]
        return max(days, default=None)


@dataclass
class Knowledge:
    """What the club shares."""

    rules: dict[str, Rule] = field(default_factory=dict)
    cautions: dict[str, Caution] = field(default_factory=dict)
    materials: dict[str, ClubMaterial] = field(default_factory=dict)
    families: dict[str, Family] = field(default_factory=dict)
    cutting: Cutting | None = None  # the club's habits
    words: list[Word] = field(default_factory=list)
    sources: dict[str, dict] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    sharing: Sharing | None = None
    origins: dict[str, Origin] = field(default_factory=dict)  # "rule A-R1" -> where it was brought from
    changed_here: set[str] = field(default_factory=set)  # what of that is no longer as it was brought
    folder: Path | None = None
    path: str = ""  # the folder from the project's root, with /
    unread: set[str] = field(default_factory=set)  # rules whose file could not be read: builds that cite them stand


@dataclass
class Club:
    """All builds and the shared knowledge."""

    builds: list[Build]
    knowledge: Knowledge
    starters: dict[str, Build] = field(default_factory=dict)  # by part family

    @property
    def problems(self) -> list[Problem]:
        """All problems of the run, in file order."""
        of_builds = [problem for build in (*self.builds, *self.starters.values()) for problem in build.problems]
        return sorted(self.knowledge.problems + of_builds)
