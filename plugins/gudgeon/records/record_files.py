"""The files that people write: which there are, what is in each, and under which name its schema is found."""

import re
from dataclasses import dataclass

from gudgeon.records.base import Record
from gudgeon.records.build_file import BuildFile, InstrumentsFile, MachinesFile, MaterialsFile, ReviewsFile
from gudgeon.records.clubs import ClubsFile
from gudgeon.records.column_map import ColumnMap
from gudgeon.records.cuts import CutsFile
from gudgeon.records.figures import FiguresFile
from gudgeon.records.fits import FitsFile
from gudgeon.records.instalment_head import Instalment
from gudgeon.records.judgement import Judgement
from gudgeon.records.knowledge import Caution, ClubMaterial, Family, Glossary, Habits, OriginsFile, Rule, Sharing
from gudgeon.records.operations import OperationsFile
from gudgeon.records.outcomes import ClubOutcomes, OutcomesFile
from gudgeon.records.parts import Part
from gudgeon.records.pictures import FilmsFile, PicturesFile
from gudgeon.records.readings import ReadingsFile
from gudgeon.records.running import RunningFile


@dataclass(frozen=True)
class RecordFile:
    """One kind of file.

    name: as people are told of it, {knowledge} for the folder of what the club shares. schema: the name of its JSON Schema.
    store: the field of a Build that holds what stands in it; None where it is no file of a build.
    """

    name: str
    model: type[Record]
    schema: str
    store: str | None = None

    @property
    def is_single(self) -> bool:
        """Whether a build has one file of the kind, with its records under one key."""
        return self.store is not None and re.fullmatch(r"\w+\.yaml", self.name) is not None and self.store != "head"


# In the order in which a builder meets them.
BUILD_FILES = (
    RecordFile("build.yaml", BuildFile, "build", "head"),
    RecordFile("parts/<part>.yaml", Part, "part", "parts"),
    RecordFile("fits.yaml", FitsFile, "fits", "fits"),
    RecordFile("readings/<date>-<what>.yaml", ReadingsFile, "readings", "rows"),
    RecordFile("operations.yaml", OperationsFile, "operations", "operations"),
    RecordFile("instruments.yaml", InstrumentsFile, "instruments", "instruments"),
    RecordFile("materials.yaml", MaterialsFile, "materials", "materials"),
    RecordFile("machines.yaml", MachinesFile, "machines", "machines"),
    RecordFile("cuts.yaml", CutsFile, "cuts", "cuts"),
    RecordFile("reviews.yaml", ReviewsFile, "reviews", "reviews"),
    RecordFile("running.yaml", RunningFile, "running", "runs"),
    RecordFile("outcomes.yaml", OutcomesFile, "outcomes", "outcomes"),
    RecordFile("figures.yaml", FiguresFile, "figures", "figures"),
    RecordFile("photos.yaml", PicturesFile, "photos", "photos"),
    RecordFile("films.yaml", FilmsFile, "films", "films"),
    RecordFile("log/<nn>-<title>.md, its head", Instalment, "instalment", "instalments"),
)
RECORD_FILES = (
    *BUILD_FILES,
    RecordFile("{knowledge}/rules/<rule>.yaml", Rule, "rule"),
    RecordFile("{knowledge}/cautions/<caution>.yaml", Caution, "caution"),
    RecordFile("{knowledge}/materials/<material>.yaml", ClubMaterial, "club-material"),
    RecordFile("{knowledge}/families/<family>/family.yaml", Family, "family"),
    RecordFile("{knowledge}/outcomes/<name>.yaml", ClubOutcomes, "club-outcomes"),
    RecordFile("{knowledge}/habits.yaml", Habits, "habits"),
    RecordFile("{knowledge}/judgement.yaml", Judgement, "judgement"),
    RecordFile("{knowledge}/glossary/words.yaml", Glossary, "glossary"),
    RecordFile("a column map for gudgeon import", ColumnMap, "columns"),
    RecordFile("{knowledge}/sharing.yaml", Sharing, "sharing"),
    RecordFile("{knowledge}/origins.yaml", OriginsFile, "origins"),
    RecordFile("{knowledge}/clubs.yaml", ClubsFile, "clubs"),
)
