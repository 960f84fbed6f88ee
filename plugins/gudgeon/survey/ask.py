"""A question over the frames of many packages, and its answer.

The steps that go over whole tables, choosing parts and joining their sizes and outcomes, are such as pandas and the distributed
frames that are made like it have alike: whole columns, no line by itself, nothing that rests on an index or on an order. What they
leave is as small as the answer, is brought here, and the rest is pandas.
"""

from dataclasses import dataclass
from typing import Any

import pandas

from gudgeon.records.outcomes import NO_VERDICT, RAN_FREE
from gudgeon.records.parts import DIAMETERS
from gudgeon.survey.tables import KEY

Frame = Any  # pandas.DataFrame, or one of another engine that has its methods
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
    asked = _here(_of_family_and_material(question, parts))
    # Joined with what is here already, and so small, each table is read once and nothing has to be shared out anew.
    surfaces = _here(features.merge(asked[KEY], on=KEY))
    without_size = 0
    if question.sizes is not None:
        own = _asked_kind(question, surfaces)
        without_size = len(_without_size(question, asked, own))
        asked = _of_size(question, question.sizes, asked, own)
    told = _here(_by_part(outcomes).merge(asked[KEY], on=KEY))
    asked = _with_verdicts(asked, told)
    if question.held:
        asked = asked[asked["verdict"] == VERDICTS[0]]
    read = surfaces[surfaces["size"].notnull()]
    return Answer(_sorted(asked), _sorted(_of(asked, read)), _sorted(_of(asked, told)), without_size)


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
    """The features whose intended size is asked for, where they name one."""
    of_kind = features["kind"].isin([question.kind] if question.kind else list(DIAMETERS))
    return features[of_kind & features["nominal"].notnull()]


def _of_size(question: Question, sizes: tuple[float, float], parts: Frame, own: Frame) -> Frame:
    """The parts with a feature of that size, or, where they have no diameter, that go with one: a ring in its bore."""
    right = _listed(parts, own[_within(sizes, own["nominal"])])
    if question.kind is None:
        right = right | _within(sizes, parts["goes_with"])
    return parts[right]


def _without_size(question: Question, parts: Frame, own: Frame) -> Frame:
    """The parts that name no intended size of that kind."""
    says = _listed(parts, own)
    if question.kind is None:
        says = says | parts["goes_with"].notnull()
    return parts[~says]


def _listed(parts: Frame, features: Frame) -> Frame:
    """Which of the parts have a feature among these."""
    return parts.set_index(KEY).index.isin(features.set_index(KEY).index)


def _within(sizes: tuple[float, float], nominal: Frame) -> Frame:
    least, most = sizes
    return (nominal >= least - NANOMETRE) & (nominal <= most + NANOMETRE)


def _by_part(outcomes: Frame) -> Frame:
    """Outcomes with a line for each part that they are of."""
    by_part = outcomes.assign(part=outcomes["parts"].str.split(" ")).drop(columns="parts").explode("part")
    return by_part.astype({"part": outcomes["parts"].dtype})


def _with_verdicts(parts: Frame, told: Frame) -> Frame:
    """Parts with what was told of them: that they held, run still, or did not hold."""
    free, running = told["result"] == RAN_FREE, told["result"] == NO_VERDICT
    held, runs = _listed(parts, told[free]), _listed(parts, told[running])
    failed = _listed(parts, told[~free & ~running & (told["result"] != "")])
    verdict = pandas.Series(VERDICTS[4], index=parts.index, dtype="object").mask(runs, VERDICTS[3])
    verdict = verdict.mask(held, VERDICTS[0]).mask(failed, VERDICTS[1]).mask(failed & held, VERDICTS[2])
    return parts.assign(verdict=verdict)


def _here(frame: Frame) -> Any:
    """A frame in this process."""
    return frame.compute() if hasattr(frame, "compute") else frame


def _sorted(here: Frame) -> Any:
    """In an order that does not rest on how the work was shared out."""
    return here.sort_values([*KEY, *(column for column in here.columns if column not in KEY)]).reset_index(drop=True)


def _of(parts: Frame, lines: Frame) -> Frame:
    """The lines that are of these parts."""
    return lines[lines.set_index(KEY).index.isin(parts.set_index(KEY).index)]
