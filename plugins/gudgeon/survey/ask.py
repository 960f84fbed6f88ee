"""A question over the frames of many packages, and its answer.

Every step is one that pandas and the distributed frames that are made like it have alike, on whole columns: no line is looked
at by itself, no index is counted on, and nothing rests on the order of lines. Only the answer, which is small, is brought here.
"""

from dataclasses import dataclass
from typing import Any

import pandas

from gudgeon.records.parts import DIAMETERS
from gudgeon.survey.tables import KEY

Frame = Any  # pandas.DataFrame, or one of another engine that has its methods
HELD, RUNNING = "ran_free", "running"  # as a package words an outcome; every other word is of one that did not hold
NANOMETRE = 1e-6  # mm
VERDICTS = ("held", "did not hold", "both are told", "still running", "not known")


@dataclass(frozen=True)
class Question:
    """What is asked for; None asks for any. sizes: least and most of the intended diameter, mm; of a kind of feature, of its size."""

    family: str | None = None
    material: str | None = None
    sizes: tuple[float, float] | None = None
    kind: str | None = None
    held: bool = False


@dataclass(frozen=True)
class Answer:
    """Parts, a line each with its verdict; their sizes that were read; what became of them.

    without_size: how many parts of that family and material say no size, so that nobody knows whether they are meant.
    """

    parts: pandas.DataFrame
    sizes: pandas.DataFrame
    outcomes: pandas.DataFrame
    without_size: int


def answer(question: Question, parts: Frame, features: Frame, outcomes: Frame) -> Answer:
    """What the packages have to say to a question."""
    parts = _of_family_and_material(question, parts)
    without_size = 0
    if question.sizes is not None:
        without_size = len(_here(_without_size(question, parts, features)))
        parts = _of_size(question, question.sizes, parts, features)
    told = _by_part(outcomes).merge(parts[KEY], on=KEY)
    here, told_here = _sorted(_with_verdicts(parts, told)), _sorted(told)
    if question.held:
        here = here[here["verdict"] == VERDICTS[0]].reset_index(drop=True)
    read = _sorted(features[features["size"].notnull()].merge(parts[KEY], on=KEY))
    return Answer(here, _of(here, read), _of(here, told_here), without_size)


def _of_family_and_material(question: Question, parts: Frame) -> Frame:
    if question.family is not None:
        parts = parts[parts["family"] == question.family]
    if question.material is not None:
        word = question.material.lower()
        says = parts["material"] == question.material
        for column in ("material_name", "like"):
            says = says | parts[column].str.lower().str.contains(word, regex=False)
        parts = parts[says]
    return parts


def _asked_kind(question: Question, features: Frame) -> Frame:
    return features[features["kind"].isin([question.kind] if question.kind else list(DIAMETERS))]


def _of_size(question: Question, sizes: tuple[float, float], parts: Frame, features: Frame) -> Frame:
    """The parts with a feature of that size, or, where they have no diameter, that go with one: a ring in its bore."""
    asked = _asked_kind(question, features)
    own = asked[_within(sizes, asked["nominal"])][KEY].drop_duplicates().assign(own=1.0)
    parts = parts.merge(own, on=KEY, how="left")
    right = parts["own"].notnull()
    if question.kind is None:
        right = right | _within(sizes, parts["goes_with"])
    return parts[right].drop(columns="own")


def _without_size(question: Question, parts: Frame, features: Frame) -> Frame:
    """The parts that name no intended size of that kind."""
    asked = _asked_kind(question, features)
    own = asked[asked["nominal"].notnull()][KEY].drop_duplicates().assign(own=1.0)
    parts = parts.merge(own, on=KEY, how="left")
    says: Frame = parts["own"].notnull()
    if question.kind is None:
        says = says | parts["goes_with"].notnull()
    return parts[~says]


def _within(sizes: tuple[float, float], nominal: Frame) -> Frame:
    least, most = sizes
    return (nominal >= least - NANOMETRE) & (nominal <= most + NANOMETRE)


def _by_part(outcomes: Frame) -> Frame:
    """Outcomes with a line for each part that they are of."""
    by_part = outcomes.assign(part=outcomes["parts"].str.split(" ")).drop(columns="parts").explode("part")
    return by_part.astype({"part": outcomes["parts"].dtype})


def _with_verdicts(parts: Frame, told: Frame) -> Any:
    """Parts with how often each was told to have held, to run still, and not to have held."""
    free, running = told["result"] == HELD, told["result"] == RUNNING
    failed = ~free & ~running & (told["result"] != "")
    as_numbers = {"free": free, "runs": running, "failed": failed}
    counted = told.assign(**{name: flags.astype("int64") for name, flags in as_numbers.items()})
    counts = counted.groupby(KEY)[["free", "runs", "failed"]].sum().reset_index()
    here: Any = _here(parts.merge(counts, on=KEY, how="left"))
    here = here.fillna({"free": 0, "runs": 0, "failed": 0})
    held, did_not, both, runs, unknown = VERDICTS
    verdict = pandas.Series(unknown, index=here.index, dtype="object")
    verdict = verdict.mask(here["runs"] > 0, runs).mask(here["free"] > 0, held).mask(here["failed"] > 0, did_not)
    here["verdict"] = verdict.mask((here["failed"] > 0) & (here["free"] > 0), both)
    return here.drop(columns=["free", "runs", "failed"])


def _here(frame: Frame) -> Any:
    """A frame in this process."""
    return frame.compute() if hasattr(frame, "compute") else frame


def _sorted(frame: Frame) -> Any:
    """In an order that does not rest on how the work was shared out."""
    here = _here(frame)
    return here.sort_values([*KEY, *(column for column in here.columns if column not in KEY)]).reset_index(drop=True)


def _of(parts: pandas.DataFrame, lines: pandas.DataFrame) -> Any:
    """The lines that are of these parts."""
    return lines.merge(parts[KEY], on=KEY)
