"""Every field of every finding says what kind of value it holds, and every entry of a list what tells it from the others."""

import types
from typing import Annotated, Literal, Union, get_args, get_origin

import pytest
from gudgeon.assess import findings
from gudgeon.assess.build import assess
from gudgeon.assess.findings import BuildFindings, ClubFindings, Finding, Source
from gudgeon.assess.findings.base import GRAIN, Kind, Length
from gudgeon.assess.knowledge_checks import check_knowledge
from gudgeon_calc import units
from pydantic import create_model


def parts(annotation):
    """What stands inside a type: the choices of a union, the entries of a list, tuple or dict."""
    arguments = get_args(annotation)
    return [part for part in arguments[get_origin(annotation) is dict :] if part is not Ellipsis]


def models(annotation, in_list=False):
    """All models in a type, each with whether it stands in a list."""
    if isinstance(annotation, type) and issubclass(annotation, Finding):
        return [(annotation, in_list)]
    in_list = (
        in_list or get_origin(annotation) is list or (get_origin(annotation) is tuple and ... in get_args(annotation))
    )
    return [pair for part in parts(annotation) for pair in models(part, in_list)]


def without_kind(annotation, metadata=()):
    """The leaves of a type that are neither a model nor under a kind."""
    if get_origin(annotation) is Annotated:
        annotation, *more = get_args(annotation)
        metadata = (*metadata, *more)
    if any(isinstance(note, Kind) for note in metadata) or annotation is types.NoneType:
        return []
    if isinstance(annotation, type) and issubclass(annotation, Finding):
        return []
    if get_origin(annotation) in (list, tuple, dict, Union, types.UnionType):
        return [leaf for part in parts(annotation) for leaf in without_kind(part)]
    return [annotation]


def reachable(*roots):
    """Every model that can stand in these findings, with whether it stands in a list somewhere."""
    listed, waiting = {}, [(root, False) for root in roots]
    while waiting:
        model, in_list = waiting.pop()
        if model not in listed:
            waiting += [pair for field in model.model_fields.values() for pair in models(field.annotation)]
        listed[model] = listed.get(model, False) or in_list
    return listed


MODELS = reachable(BuildFindings, ClubFindings)
FIELDS = [(model, name) for model in MODELS if model is not Source for name in model.model_fields]


def undeclared(model):
    return [name for name, field in model.model_fields.items() if without_kind(field.annotation, tuple(field.metadata))]


def entry_is_named(model):
    return all(name in model.model_fields for name in getattr(model, "key", ("no key",)))


def test_all_findings_are_reached():
    offered = {thing for thing in vars(findings).values() if isinstance(thing, type) and issubclass(thing, Finding)}
    assert offered - {Finding} == set(MODELS)


@pytest.mark.parametrize("model", [model for model in MODELS if model is not Source], ids=lambda model: model.__name__)
def test_every_field_declares_its_kind(model):
    assert undeclared(model) == []


@pytest.mark.parametrize(
    "model", [model for model, in_list in MODELS.items() if in_list], ids=lambda model: model.__name__
)
def test_every_entry_of_a_list_is_told_from_the_others(model):
    assert entry_is_named(model)


@pytest.mark.parametrize(
    "annotation",
    [
        float,
        str | None,
        list[str],
        dict[str, float],
        tuple[Length, float],
        Length | str,
        list[tuple[Length, int]],
        Literal["a", "b"],
    ],
    ids=str,
)
def test_a_field_without_kind_is_noticed(annotation):
    assert undeclared(create_model("Bare", __base__=Finding, value=(annotation, ...))) == ["value"]


def test_a_list_of_entries_without_key_is_noticed():
    entry = create_model("Entry", __base__=Finding, value=(Length, ...))
    whole = create_model("Whole", __base__=Finding, entries=(list[entry], ...), single=(entry | None, None))
    assert reachable(whole) == {whole: False, entry: True} and not entry_is_named(entry)


def test_one_kind_has_one_grain():
    kinds = {}
    for model, name in FIELDS:
        for kind in kinds_in(model.model_fields[name].annotation, tuple(model.model_fields[name].metadata)):
            assert kinds.setdefault(kind.name, kind) == kind
    assert {"length", "temperature", "chance", "state", "names", "day", "words"} <= set(kinds)


def kinds_in(annotation, metadata=()):
    own = [note for note in (*metadata, *getattr(annotation, "__metadata__", ())) if isinstance(note, Kind)]
    return own or [kind for part in parts(annotation) for kind in kinds_in(part)]


def test_the_grain_of_a_length_is_that_of_the_limits():
    assert GRAIN == units.GRAIN
    assert kinds_in(findings.FitFinding.model_fields["clearance"].annotation)[0].grain == units.GRAIN


def entries_alike(value, address):
    """Where two entries of one list have the same key."""
    if isinstance(value, Finding):
        return [
            twin
            for name in type(value).model_fields
            for twin in entries_alike(getattr(value, name), f"{address}/{name}")
        ]
    if isinstance(value, dict):
        return [twin for name, entry in value.items() for twin in entries_alike(entry, f"{address}/{name}")]
    if not isinstance(value, (list, tuple)):
        return []
    keys = [
        str([getattr(entry, name) for name in entry.key]) for entry in value if isinstance(entry, Finding) and entry.key
    ]
    inside = [twin for number, entry in enumerate(value) for twin in entries_alike(entry, f"{address}/{number}")]
    return [f"{address}: {key}" for key in sorted(set(keys)) if keys.count(key) > 1] + inside


@pytest.mark.parametrize("build_id", ["harrow-pond", "sundlia"])
def test_no_two_entries_of_a_list_have_one_key(club, build_id):
    build = next(build for build in club.builds if build.id == build_id)
    assert entries_alike(assess(build, club.knowledge), build_id) == []


def test_two_entries_of_one_key_are_noticed(harrow):
    twice = harrow.model_copy(update={"mistakes": [*harrow.mistakes, *harrow.mistakes]})
    assert len(entries_alike(twice, "build")) == len(harrow.mistakes) > 0


def test_no_two_entries_of_the_club_have_one_key(club):
    assert entries_alike(check_knowledge(club), "club") == []
