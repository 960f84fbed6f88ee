"""Outcomes travel: what a club's engines tell of rules, as one thing a club; and the same fitted to the shelf that it comes to.

A rule is known by what it says, not by its id alone: two clubs may have given one id to two rules. What is told of a rule that
is not here, or says otherwise here, is left out and named, so that no rule is given another one's evidence.
"""

import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass

from gudgeon.records.knowledge import Rule, Sharing
from gudgeon.records.licences import terms_of
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.outcomes import ClubOutcomes, OutcomeElsewhere
from gudgeon.records.outcomes_in_rules import WHERE as IN_RULES
from gudgeon.records.problems import Problems
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_yaml
from gudgeon.records.yaml_writing import flow, scalar
from gudgeon.share.item import SharedItem

NOT_SAID = ("rule", "outcomes", "told", "note", "copied_from", "superseded_by", "grade")  # of a rule: not what it gives
FREE_TO_ALL = "CC0-1.0"


def identity(rule: Rule) -> str:
    """A digest of what a rule says and gives, whatever it is called."""
    said = rule.model_dump(mode="json", exclude=set(NOT_SAID), exclude_defaults=True)
    text = json.dumps(said, sort_keys=True, ensure_ascii=False, default=str)
    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def may_be_told(build: Build, sharing: Sharing) -> bool:
    """Whether a build's outcomes may be given under the shelf's licence: its data are under the same, or free to all."""
    licence = build.sound_head.licences.data if build.sound_head.licences else None
    return licence is not None and terms_of(licence).pass_on and licence in (sharing.licence, FREE_TO_ALL)


def items(shelf: Knowledge, of_builds: Iterable[OutcomeElsewhere]) -> list[SharedItem]:
    """What there is to give, one thing a club; nothing without sharing.yaml. of_builds: what the engines of builds tell, each
    with its club. Of what was brought nothing is given on: each club gives its own."""
    sharing = shelf.sharing
    if sharing is None or not terms_of(sharing.licence).pass_on:
        return []
    own = {name: file for name, file in shelf.outcomes.items() if f"outcomes {name}" not in shelf.origins}
    files = {file.club: file for name, file in own.items() if not name.startswith(IN_RULES)}
    for name, file in own.items():
        if name.startswith(IN_RULES) and file.club == sharing.club:
            files[file.club] = _together(files.get(file.club), file)
    for outcome in of_builds:
        club = outcome.club or sharing.club
        told = ClubOutcomes(outcomes=_called(club), club=club, told=(outcome.model_copy(update={"club": None}),))
        files[club] = _together(files.get(club), told)
    return [_item(shelf, sharing.licence, file) for _, file in sorted(files.items())]


def _called(club: str) -> str:
    """A club's name as the name of a file."""
    return re.sub(r"[^a-z0-9]+", "-", club.lower()).strip("-")[:40].strip("-") or "club"


def _together(one: ClubOutcomes | None, other: ClubOutcomes) -> ClubOutcomes:
    if one is None:
        name = other.outcomes
        return other.model_copy(update={"outcomes": _called(other.club) if name.startswith(IN_RULES) else name})
    return one.model_copy(update={"counts": {**other.counts, **one.counts}, "told": (*one.told, *other.told)})


def _item(shelf: Knowledge, licence: str, file: ClubOutcomes) -> SharedItem:
    names = sorted({*file.counts, *(outcome.rule for outcome in file.told)} & set(shelf.rules))
    told = _only(file, {name: name for name in names})
    return SharedItem(
        kind="outcomes",
        id=file.outcomes,
        title=f"Outcomes of {file.club}"[:300],
        club=file.club,
        licence=licence,
        origin=None,
        files={f"outcomes/{file.outcomes}.yaml": text_of(told)},
        sources=[],
        rests_on={name: identity(shelf.rules[name]) for name in names},
    )


@dataclass(frozen=True)
class Fitted:
    """An item as it is to stand on a shelf. left_out: rules of which something is told and that are not here as they are there."""

    item: SharedItem
    left_out: tuple[str, ...]
    engines: int


def for_this_shelf(item: SharedItem, shelf: Knowledge) -> Fitted | None:
    """An item of outcomes with rules called as they are here, and without what is told of others; None where it is not sound."""
    if len(item.files) != 1:
        return None
    ((path, text),) = item.files.items()
    problems = Problems()
    document = read_yaml(text, path, problems)
    file = validate(ClubOutcomes, document, problems) if document else None
    if file is None or problems.in_order():
        return None
    here: dict[str, list[str]] = {}
    for name, rule in shelf.rules.items():
        here.setdefault(identity(rule), []).append(name)
    called: dict[str, str] = {}
    for name, said in item.rests_on.items():
        alike = here.get(said, [])
        if name in alike or len(alike) == 1:
            called[name] = name if name in alike else alike[0]
    told = _only(file, called)
    named = {*file.counts, *(outcome.rule for outcome in file.told)}
    engines = len(told.told) + sum(sum(results.values()) for results in told.counts.values())
    fitted = item.model_copy(update={"files": {path: text_of(told)}, "rests_on": {}})
    return Fitted(fitted, tuple(sorted(named - set(called))), engines)


def _only(file: ClubOutcomes, called: dict[str, str]) -> ClubOutcomes:
    """What a file tells of some rules. called: rule -> what it is to be called."""
    return file.model_copy(
        update={
            "counts": {called[rule]: results for rule, results in file.counts.items() if rule in called},
            "told": tuple(
                outcome.model_copy(update={"rule": called[outcome.rule]})
                for outcome in file.told
                if outcome.rule in called
            ),
        }
    )


def text_of(file: ClubOutcomes) -> str:
    """The file of what a club tells, one line an engine."""
    lines = [f"outcomes: {scalar(file.outcomes)}", f"club: {scalar(file.club)}"]
    if file.counts:
        lines.append("counts:")
        for rule, results in file.counts.items():
            counted = ", ".join(f"{result}: {count}" for result, count in results.items())
            lines.append(f"  {scalar(rule)}: {{{counted}}}")
    if file.told:
        lines.append("told:")
        lines += [f"  - {flow(_fields(outcome))}" for outcome in file.told]
    return "\n".join(lines) + "\n"


def _fields(outcome: OutcomeElsewhere) -> dict[str, str | int]:
    said = {name: getattr(outcome, name) for name in type(outcome).model_fields}
    return {
        name: value if isinstance(value, int) else " ".join(str(value).split())
        for name, value in said.items()
        if value is not None
    }
