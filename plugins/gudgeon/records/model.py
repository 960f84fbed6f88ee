"""A build, its story and a club, as they were read."""

import datetime
import functools
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from gudgeon.records import build_file, instalment_head, instalment_text
from gudgeon.records.bibliography import CslEntry
from gudgeon.records.clubs import ClubThatShares
from gudgeon.records.cuts import Cut, CutWithdrawal
from gudgeon.records.cutting import Cutting
from gudgeon.records.figures import Figure
from gudgeon.records.fits import Fit
from gudgeon.records.instalment_text import FilmShown, Shown, Tie
from gudgeon.records.judgement import Judgement, Threshold
from gudgeon.records.knowledge import Caution, ClubMaterial, Family, Origin, Rule, Sharing, Word
from gudgeon.records.operations import Operation
from gudgeon.records.outcomes import ClubOutcomes, Outcome, OutcomeWithdrawal
from gudgeon.records.parts import Feature, Part
from gudgeon.records.pictures import Film, Picture
from gudgeon.records.problems import Problem, Where
from gudgeon.records.readings import ReadingWithdrawal, Row
from gudgeon.records.refs import PHOTO_NAME
from gudgeon.records.running import Run, RunWithdrawal


def _former(records: Mapping[str, Any]) -> dict[str, str]:
    return {was: now for now, record in records.items() for was in record.formerly}


@dataclass
class Instalment:
    """One instalment of the build's story: its head and its untrusted Markdown body."""

    head: instalment_head.Instalment
    body: str
    file: str
    slug: str
    first_line: int = 1  # of the body in its file

    @functools.cached_property
    def pictures(self) -> list[Shown]:
        """The pictures in its text."""
        return instalment_text.pictures(self.body, self.file, self.first_line)

    @functools.cached_property
    def films(self) -> list[FilmShown]:
        """The films in its text."""
        return instalment_text.films(self.body, self.file, self.first_line)

    @functools.cached_property
    def ties(self) -> list[Tie]:
        """The numbers in its text that are tied to findings."""
        return instalment_text.ties(self.body, self.file, self.first_line)


@dataclass
class Build:
    """Everything that one build's folder says."""

    id: str
    folder: Path
    path: str = ""  # the folder from the project's root, with /, as it is shown to people
    head: build_file.BuildFile | None = None
    parts: dict[str, Part] = field(default_factory=dict)
    fits: dict[str, Fit] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)  # every reading, withdrawn ones among them
    reading_withdrawals: list[ReadingWithdrawal] = field(default_factory=list)
    operations: dict[str, Operation] = field(default_factory=dict)
    cuts: tuple[Cut, ...] = ()  # every cut, withdrawn ones among them
    cut_withdrawals: tuple[CutWithdrawal, ...] = ()
    instruments: dict[str, build_file.Instrument] = field(default_factory=dict)
    machines: dict[str, build_file.Machine] = field(default_factory=dict)
    materials: dict[str, build_file.Material] = field(default_factory=dict)
    reviews: tuple[build_file.Review, ...] = ()  # every verdict, withdrawn ones among them
    review_withdrawals: tuple[build_file.ReviewWithdrawal, ...] = ()
    figures: dict[str, Figure] = field(default_factory=dict)
    runs: tuple[Run, ...] = ()  # the running log, as it stands in its file, withdrawn runs among them
    run_withdrawals: tuple[RunWithdrawal, ...] = ()
    outcomes: tuple[Outcome, ...] = ()  # what became of fits that ran, withdrawn outcomes among them
    outcome_withdrawals: tuple[OutcomeWithdrawal, ...] = ()
    photos: dict[str, Picture] = field(default_factory=dict)  # what is known of pictures, by file name
    films: dict[str, Film] = field(default_factory=dict)
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

    @property
    def feed_base(self) -> str:
        """What the ids of its feed are made of: its club and the first name of its folder, or what its head says."""
        head = self.sound_head
        return head.feed_base or f"{head.club.name}/{[*head.formerly, self.id][0]}"

    @functools.cached_property
    def features(self) -> dict[str, Feature]:
        """All features by "part.feature"."""
        return {
            f"{part_id}.{feature_id}": feature
            for part_id, part in self.parts.items()
            for feature_id, feature in part.features.items()
        }

    def spelled_out(self, changes: Iterable[str]) -> list[str]:
        """The features that an operation's list of changes names, with part.* spelled out."""
        refs: dict[str, None] = {}
        for change in changes:
            part_id, _, name = change.partition(".")
            of_part = self.parts[part_id].features if name == "*" and part_id in self.parts else ()
            refs |= dict.fromkeys([f"{part_id}.{feature}" for feature in of_part] if name == "*" else [change])
        return list(refs)

    def squeezed_by(self, op: Operation) -> dict[str, str]:
        """Bores that close because their part is pressed home by its outside -> that outside. A shaft has no such bore."""
        return {
            f"{part_id}.{name}": ref
            for ref in op.presses
            for part_id in [ref.partition(".")[0]]
            if ref in self.features and self.features[ref].metal_side == "external"
            for name, feature in self.parts[part_id].features.items()
            if feature.kind == "bore" and f"{part_id}.{name}" not in op.presses
        }

    def touched_by(self, op: Operation) -> list[str]:
        """The features that an operation changes, presses, or squeezes by pressing; part.* is spelled out."""
        return list(dict.fromkeys([*self.spelled_out(op.changes), *op.presses, *self.squeezed_by(op)]))

    def club_material(self, material_id: str) -> str:
        """The id on the club's shelf that a material of a part stands for: what it is like, else its own."""
        own = self.materials.get(material_id)
        return (own.like if own else None) or material_id

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
        leads = [
            (instalment.head.lead, instalment.head.where("lead"), "lead")
            for instalment in self.instalments
            if instalment.head.lead
        ]
        in_texts = [(shown.name, shown.where, "") for instalment in self.instalments for shown in instalment.pictures]
        posters = [(film.poster, film.where("poster"), film_id) for film_id, film in self.films.items() if film.poster]
        return of_rows + of_parts + of_instalments + leads + in_texts + posters

    @functools.cached_property
    def shown_photos(self) -> tuple[str, ...]:
        """The pictures that are shown, by name: those that a record or a text names, without those that
        were withdrawn, or whose people were not asked."""
        named = {photo for photo, _, _ in self.named_photos if PHOTO_NAME.fullmatch(photo)}
        return tuple(sorted(photo for photo in named if photo not in self.photos or self.photos[photo].may_be_shown))

    @functools.cached_property
    def newest_date(self) -> datetime.date | None:
        """The newest day on which anything in the build is dated: the build's "today"."""
        return max((day for day, _ in self.dated()), default=None)

    def dated(self) -> Iterator[tuple[datetime.date, Any]]:
        """Everything in the build that is dated and counts, each with its day."""
        yield from ((row.date, row) for row in self.rows if row.id not in self.withdrawn)
        yield from ((withdrawal.date, withdrawal) for withdrawal in self.reading_withdrawals)
        yield from ((entry.date, entry) for entry in (*self.standing_cuts, *self.cut_withdrawals))
        yield from ((operation.done, operation) for operation in self.operations.values() if operation.done)
        yield from (
            (operation.set_up.date, operation.set_up) for operation in self.operations.values() if operation.set_up
        )
        yield from ((instalment.head.date, instalment) for instalment in self.instalments)
        yield from ((put_right.date, told) for told in self.instalments for put_right in told.head.corrected)
        yield from ((entry.date, entry) for entry in (*self.standing_reviews, *self.review_withdrawals))
        yield from ((entry.date, entry) for entry in (*self.standing_runs, *self.run_withdrawals))
        yield from ((entry.date, entry) for entry in (*self.standing_outcomes, *self.outcome_withdrawals))
        for instrument in self.instruments.values():
            if instrument.found_off:
                yield instrument.found_off.found, instrument

    @functools.cached_property
    def withdrawn(self) -> dict[str, ReadingWithdrawal]:
        """The readings that were withdrawn, by id, each with the row that withdraws it. They stay in `rows` and do not count."""
        return {withdrawal.withdraws: withdrawal for withdrawal in reversed(self.reading_withdrawals)}

    @property
    def standing_cuts(self) -> tuple[Cut, ...]:
        """The cuts that count: those that nobody has withdrawn."""
        withdrawn = {withdrawal.withdraws for withdrawal in self.cut_withdrawals}
        return tuple(cut for cut in self.cuts if cut.id is None or cut.id not in withdrawn)

    @property
    def cut_entries(self) -> list[Cut | CutWithdrawal]:
        """All entries of cuts.yaml, withdrawals among them, as they stand in the file."""
        return sorted([*self.cuts, *self.cut_withdrawals], key=lambda entry: entry.where())

    @property
    def standing_runs(self) -> tuple[Run, ...]:
        """The runs that count: those that nobody has withdrawn."""
        return tuple(run for run in self.runs if self.withdrawal_of_run(run) is None)

    def withdrawal_of_run(self, run: Run) -> RunWithdrawal | None:
        """The entry that withdraws a run, or None where it stands."""
        return next((entry for entry in self.run_withdrawals if entry.withdraws in run.names), None)

    @property
    def run_entries(self) -> list[Run | RunWithdrawal]:
        """All entries of running.yaml, withdrawals among them, as they stand in the file."""
        return sorted([*self.runs, *self.run_withdrawals], key=lambda entry: entry.where())

    @property
    def standing_outcomes(self) -> tuple[Outcome, ...]:
        """The outcomes that count: those that nobody has withdrawn."""
        withdrawn = {entry.withdraws for entry in self.outcome_withdrawals}
        return tuple(outcome for outcome in self.outcomes if withdrawn.isdisjoint(outcome.names))

    def withdrawal_of_outcome(self, outcome: Outcome) -> OutcomeWithdrawal | None:
        """The entry that withdraws an outcome, or None where it stands."""
        return next((entry for entry in self.outcome_withdrawals if entry.withdraws in outcome.names), None)

    @property
    def outcome_entries(self) -> list[Outcome | OutcomeWithdrawal]:
        """All entries of outcomes.yaml, withdrawals among them, as they stand in the file."""
        return sorted([*self.outcomes, *self.outcome_withdrawals], key=lambda entry: entry.where())

    @property
    def reading_entries(self) -> list[Row | ReadingWithdrawal]:
        """All rows of the readings files, withdrawals among them, by day and id."""
        return sorted([*self.rows, *self.reading_withdrawals], key=lambda row: (row.date, row.id))

    @property
    def review_entries(self) -> list[build_file.Review | build_file.ReviewWithdrawal]:
        """All entries of reviews.yaml, withdrawals among them, as they stand in the file."""
        return sorted([*self.reviews, *self.review_withdrawals], key=lambda entry: entry.where())

    @property
    def standing_reviews(self) -> tuple[build_file.Review, ...]:
        """The verdicts that count: those that nobody has withdrawn."""
        return tuple(review for review in self.reviews if self.withdrawal_of(review) is None)

    def withdrawal_of(self, review: build_file.Review) -> build_file.ReviewWithdrawal | None:
        """The entry that withdraws a verdict, or None where it stands."""
        return self._withdrawn_verdicts.get(review.id or "") or self._withdrawn_verdicts.get(review.day_and_person)

    @functools.cached_property
    def _withdrawn_verdicts(self) -> dict[str, build_file.ReviewWithdrawal]:
        return {withdrawal.withdraws: withdrawal for withdrawal in reversed(self.review_withdrawals)}

    @functools.cached_property
    def former_names(self) -> dict[str, dict[str, str]]:
        """What was renamed (`formerly:`): kind of record -> id that it had -> id that it has now.

        The kinds are reading, part, feature (as part.feature), instrument, operation, person and fit. A feature of a renamed
        part was renamed with it.
        """
        features = {
            f"{part_was}.{feature_was}": f"{part_id}.{feature_id}"
            for part_id, part in self.parts.items()
            for feature_id, feature in part.features.items()
            for part_was in (part_id, *part.formerly)
            for feature_was in (feature_id, *feature.formerly)
        }
        return {
            "reading": _former({row.id: row for row in self.reading_entries}),
            "part": _former(self.parts),
            "feature": {was: now for was, now in features.items() if was != now},
            "instrument": _former(self.instruments),
            "operation": _former(self.operations),
            "person": _former(self.head.people if self.head else {}),
            "fit": _former(self.fits),
        }


@dataclass(frozen=True)
class Shelf:
    """A folder of shared knowledge, and its path as it is shown to people. in_project: whether the project holds it, and it
    is edited there; the path leads from the project's root then."""

    folder: Path
    shown_as: str
    in_project: bool = True


Whose = Literal["package", "club"]


@dataclass
class Knowledge:
    """What is shared: the shelf that comes with the tool (the package's), and the club's own over it."""

    rules: dict[str, Rule] = field(default_factory=dict)
    cautions: dict[str, Caution] = field(default_factory=dict)
    materials: dict[str, ClubMaterial] = field(default_factory=dict)
    families: dict[str, Family] = field(default_factory=dict)
    outcomes: dict[str, ClubOutcomes] = field(default_factory=dict)  # of engines that are not on this site
    cutting: Cutting | None = None  # the club's habits
    judgement: dict[str, Threshold] = field(default_factory=lambda: Judgement().thresholds())
    words: list[Word] = field(default_factory=list)
    sources: dict[str, CslEntry] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    sharing: Sharing | None = None
    origins: dict[str, Origin] = field(default_factory=dict)  # "rule A-R1" -> where it was brought from
    clubs: tuple[ClubThatShares, ...] = ()  # whose lists are known
    changed_here: set[str] = field(default_factory=set)  # what of that is no longer as it was brought
    folder: Path | None = None  # the club's
    path: str = ""  # the club's folder from the project's root, with /
    unread: set[str] = field(default_factory=set)  # rules whose file could not be read: builds that cite them stand
    package: Shelf | None = None  # the package's
    # "rule P-R1", of the kinds rule, caution, material, family, source, word, threshold and habit
    whose: dict[str, Whose] = field(default_factory=dict)
    replaced: dict[str, Any] = field(default_factory=dict)  # the package's record that the club's stands in place of
    moved_below: set[str] = field(default_factory=set)  # what of the package's has changed since the club copied it

    @property
    def in_place_of(self) -> set[str]:
        """What the club has in place of the package's, whether its file can be read or not."""
        return set(self.replaced)

    def place_of(self, kind: str, name: str) -> Shelf | None:
        """The shelf that something stands on."""
        own = Shelf(self.folder, self.path) if self.folder else None
        return self.package if self.whose.get(f"{kind} {name}") == "package" else own

    def edited_in(self, file: str) -> str | None:
        """Where a folder or a file of many things is edited, from the project's root: the club's where it has it; None where
        there is only what came with the tool."""
        if self.folder is None or (self.folder / file).exists():
            return f"{self.path}/{file}"
        return f"{self.package.shown_as}/{file}" if self.package and self.package.in_project else None

    def edited_at(self, kind: str, name: str, file: str) -> str | None:
        """Where a file of something is edited, from the project's root; None where it came with the tool."""
        place = self.place_of(kind, name)
        return f"{place.shown_as}/{file}" if place and place.in_project else None


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
        return sorted(self.knowledge.problems + of_builds + self._folders_taken() + self._feeds_taken())

    def _feeds_taken(self) -> list[Problem]:
        """Builds whose feed would pass for that of another one: who follows the one would be given the other."""
        problems: list[Problem] = []
        bases: dict[str, list[Build]] = {}
        for build in self.builds:
            if build.head:
                bases.setdefault(build.feed_base, []).append(build)
        for builds in bases.values():
            for build in builds if len(builds) > 1 else ():
                if build.sound_head.feed_base:
                    other = next(one.path for one in builds if one is not build)
                    says = f"the feed of {other} is made of the same. Its ids are its own: take another name."
                    problems.append(Problem(build.sound_head.where("feed_base"), "feed_base", says))
        return problems

    def _folders_taken(self) -> list[Problem]:
        """Former names of folders that are no longer free: an address leads to one build only."""
        problems: list[Problem] = []
        now = {build.id: build for build in self.builds}
        renamed: dict[str, str] = {}
        for build in self.builds:
            for was in build.head.formerly if build.head else ():
                where = build.sound_head.where("formerly")
                if was == build.id:
                    problems.append(Problem(where, was, 'the folder has this name now. Take it out of "formerly".'))
                elif was in now:
                    problems.append(
                        Problem(where, was, f"{now[was].path} is a build of its own. Give one of the two another name.")
                    )
                elif was in renamed:
                    problems.append(
                        Problem(where, was, f"{renamed[was]} had this name too. Take it out of one of them.")
                    )
                renamed.setdefault(was, build.path)
        return problems
