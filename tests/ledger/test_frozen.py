"""Findings stay as they were handed out: nobody changes one, at any depth."""

import copy
import pickle

import pytest
from gudgeon.assess.findings import BuildFindings, ClubFindings, Finding
from gudgeon.assess.findings.base import ReadOnly
from gudgeon.assess.knowledge_checks import check_knowledge
from pydantic import ValidationError


def things_in(value, address=""):
    """Every finding and every collection in a finding, with its address."""
    yield address, value
    if isinstance(value, Finding):
        entries = ((name, getattr(value, name)) for name in type(value).model_fields)
    elif isinstance(value, dict):
        entries = value.items()
    elif isinstance(value, (list, tuple, set)):
        entries = enumerate(value)
    else:
        return
    for name, entry in entries:
        if isinstance(entry, (Finding, dict, list, tuple, set)):
            yield from things_in(entry, f"{address}/{name}")


def changeable(finding):
    """Addresses of what somebody could change."""
    return [
        address
        for address, thing in things_in(finding)
        if not (
            isinstance(thing, (tuple, ReadOnly)) or (isinstance(thing, Finding) and thing.model_config.get("frozen"))
        )
    ]


def test_nothing_in_the_findings_of_a_build_can_be_changed(harrow):
    assert isinstance(harrow, BuildFindings) and changeable(harrow) == []


def test_nothing_in_the_findings_of_the_club_can_be_changed(club):
    findings = check_knowledge(club)
    assert isinstance(findings, ClubFindings) and changeable(findings) == []


def test_what_can_be_changed_is_noticed(harrow):
    class Loose(Finding):
        names: list[str]
        fits: dict[str, str]

    assert changeable(Loose(names=[], fits={})) == ["/names", "/fits"]


@pytest.mark.parametrize(
    "change",
    [
        lambda found: setattr(found, "name", "another"),
        lambda found: setattr(found.features["crank.main_l"], "size", 1.0),
        lambda found: setattr(found.operations["A-FLY-41"], "state", "done"),
        lambda found: delattr(found, "name"),
    ],
)
def test_no_field_is_assigned_to(harrow, change):
    with pytest.raises(ValidationError, match="frozen"):
        change(harrow)


def test_no_list_grows(harrow):
    with pytest.raises(AttributeError):
        harrow.mistakes.append(harrow.mistakes[0])
    with pytest.raises(TypeError):
        harrow.next_jobs[0] = "another"


@pytest.mark.parametrize(
    "change",
    [
        lambda table: table.update(new=1),
        lambda table: table.setdefault("new", 1),
        lambda table: table.__setitem__("new", 1),
        lambda table: table.__delitem__(next(iter(table))),
        lambda table: table.__ior__({"new": 1}),
        lambda table: table.pop(next(iter(table))),
        lambda table: table.popitem(),
        lambda table: table.clear(),
    ],
)
def test_no_table_is_changed(harrow, change):
    before = dict(harrow.rows)
    with pytest.raises(TypeError, match="not changed"):
        change(harrow.rows)
    assert harrow.rows == before


def test_findings_can_be_copied_kept_and_read_again(harrow):
    assert copy.deepcopy(harrow) == pickle.loads(pickle.dumps(harrow)) == harrow
    again = BuildFindings.model_validate_json(harrow.model_dump_json())
    assert again == harrow and changeable(again) == []


def test_another_is_made_by_a_copy(harrow):
    other = harrow.model_copy(update={"name": "another"})
    assert other.name == "another" and harrow.name != "another"
