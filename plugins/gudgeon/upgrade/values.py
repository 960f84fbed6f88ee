"""What a version of the tool works out of a club, as data: every value by its address. What passes between two versions is this."""

import functools
import hashlib
import importlib.metadata
import json
import re
import tomllib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, JsonValue, ValidationError

import gudgeon
from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.findings.base import Kind
from gudgeon.boundary import Failure
from gudgeon.ledger.values import Ledger, Value, ledger_of
from gudgeon.project.cache import tool_digest
from gudgeon.project.project import Project
from gudgeon.records.formats import FORMAT
from gudgeon.records.problems import Problem, Where
from gudgeon.records.record_files import RECORD_FILES
from gudgeon.records.validation import first_fault, holds_unseen

LONGEST_LINE = 100_000_000  # characters; a build with sixteen fits takes half a million
PACKAGE = Path(gudgeon.__file__).parent
SHELF = PACKAGE / "knowledge"  # what ships with the tool
Text = Annotated[str, Field(max_length=2000)]


class NoValues(Exception):
    """What should be values is none; the message says why."""


class Told(BaseModel):
    """Base of what is told: a later version may tell more, which is passed over."""

    model_config = ConfigDict(frozen=True, extra="ignore")


class ProblemTold(Told):
    """Something that is wrong with a record."""

    file: Text
    line: int = 1
    column: int = 1
    about: Text = ""
    text: Annotated[str, Field(max_length=20_000)]

    @classmethod
    def of(cls, problem: Problem) -> "ProblemTold":
        where = problem.where
        return cls(file=where.file, line=where.line, column=where.column, about=problem.about, text=problem.text)

    @property
    def problem(self) -> Problem:
        """The same as a problem."""
        return Problem(Where(self.file, self.line, self.column), self.about, self.text)


class KindTold(Told):
    """A kind of value, and within what two of them are equal."""

    name: Text
    grain: float = 0.0
    relative: float = 0.0


class BuildValues(Told):
    """What a version of the tool works out of one build.

    worked_out: false where its records have problems or the tool failed on it; then there are no values. values: address, place of the
    kind in `kinds`, value.
    """

    build: Text
    units: Literal["in", "mm"] | None = None
    worked_out: bool
    problems: tuple[ProblemTold, ...] = ()
    failed: bool = False
    kinds: tuple[KindTold, ...] = ()
    values: tuple[tuple[tuple[str, ...], int, JsonValue], ...] = ()

    def ledger(self) -> Ledger:
        """The values as a ledger. Raises NoValues where a value has no kind, or an address no parts."""
        kinds = [Kind(kind.name, kind.grain, kind.relative) for kind in self.kinds]
        ledger: Ledger = {}
        for address, kind, value in self.values:
            if not address or not 0 <= kind < len(kinds):
                raise NoValues(f"a value of {self.build} has no address or no kind.")
            ledger[address] = Value(address, _fixed(value), kinds[kind])
        return ledger


class Head(Told):
    """Who worked it out, and what the version brings with it.

    package: the folder of its code. shelf: file of the shelf that ships with it -> digest. keys: kind of record -> its keys, those of records inside with dots.
    """

    format: Literal["gudgeon-values-1"] = "gudgeon-values-1"
    version: Text
    digest: Text
    records_format: int
    package: Text = ""
    shelf: dict[str, str] = {}
    keys: dict[str, tuple[str, ...]] = {}
    problems: tuple[ProblemTold, ...] = ()
    builds: tuple[str, ...]

    @property
    def name(self) -> str:
        """The version, told apart from another build of the same number."""
        return f"{self.version} ({self.digest[:8]})"


def values_of(project: Project) -> Iterator[str]:
    """The lines of the values of a project: the head, then a line for each build."""
    head = Head(
        version=version(),
        digest=tool_digest(),
        records_format=FORMAT,
        package=str(PACKAGE),
        shelf=digests(SHELF),
        keys=keys_of_records(),
        problems=tuple(ProblemTold.of(problem) for problem in project.knowledge.problems),
        builds=tuple(project.build_names()),
    )
    yield head.model_dump_json()
    for name in project.build_names():
        yield json.dumps(_build_values(project, name), ensure_ascii=False)


def _build_values(project: Project, name: str) -> dict[str, Any]:
    """The values of a build in the form of BuildValues."""
    build, outcome = project.build(name), project.outcome(name)
    if not isinstance(outcome, BuildFindings):
        problems = [outcome.problem()] if isinstance(outcome, Failure) else build.problems
        told = tuple(ProblemTold.of(problem) for problem in problems)
        without = BuildValues(build=build.id, worked_out=False, problems=told, failed=isinstance(outcome, Failure))
        return without.model_dump(mode="json")
    kinds: dict[Kind, int] = {}
    values = tuple(
        (address, kinds.setdefault(value.kind, len(kinds)), value.value)
        for address, value in ledger_of(outcome).items()
    )
    told = tuple(KindTold(name=kind.name, grain=kind.grain, relative=kind.relative) for kind in kinds)
    build_values = BuildValues(build=build.id, units=outcome.units, worked_out=True, kinds=told)
    return {**build_values.model_dump(mode="json"), "values": values}


def read_values(lines: Iterable[str]) -> tuple[Head, Iterator[BuildValues]]:
    """The head, and each build in turn. Raises NoValues for what is no such thing, also while the builds are gone through."""
    rest = iter(lines)
    head = _told(Head, next(rest, ""))
    return head, _builds(head, rest)


def _builds(head: Head, lines: Iterator[str]) -> Iterator[BuildValues]:
    for name in head.builds:
        build = _told(BuildValues, next(lines, ""))
        if build.build != name:
            raise NoValues(f"the values of {build.build} stand where those of {name} should.")
        yield build


def _told(model: type[Any], line: str) -> Any:
    if not line.strip():
        raise NoValues("they end too early.")
    if len(line) > LONGEST_LINE:
        raise NoValues("a line is longer than any build's.")
    try:
        data = json.loads(line)
        told = model.model_validate(data)
    except (ValueError, ValidationError, RecursionError) as error:
        raise NoValues(f"this is no line of values: {first_fault(error)}.") from None
    if holds_unseen(data):
        raise NoValues("a character that cannot be seen stands in them.")
    return told


def _fixed(value: Any) -> Any:
    if isinstance(value, dict):
        raise NoValues("a value is neither a number, a word nor a list of them.")
    return tuple(_fixed(entry) for entry in value) if isinstance(value, (list, tuple)) else value


def version() -> str:
    """The version of the code that runs: of a work tree what its project file says, else what it was installed as."""
    project = PACKAGE.parents[1] / "pyproject.toml"
    try:
        return str(tomllib.loads(project.read_text(encoding="utf-8"))["project"]["version"])
    except (OSError, ValueError, KeyError):
        pass
    try:
        return importlib.metadata.version("gudgeon")
    except importlib.metadata.PackageNotFoundError:
        return "of no known number"


def digests(folder: Path) -> dict[str, str]:
    """Every file below a folder, with the digest of what it holds; nothing where there is no folder."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in (sorted(folder.rglob("*")) if folder.is_dir() else ())
        if path.is_file() and re.search(r"\.(ya?ml|json)$", path.name)
    }


@functools.cache
def keys_of_records() -> dict[str, tuple[str, ...]]:
    """Each kind of record -> its keys."""
    return {file.schema: tuple(_keys(file.model.model_json_schema())) for file in RECORD_FILES}


def _keys(schema: dict[str, Any]) -> list[str]:
    """The keys of a kind of record: "engine.bore"."""
    keys: dict[str, None] = {}

    def walk(node: Any, above: str, inside: frozenset[str]) -> None:
        name = str(node.get("$ref", "")).rpartition("/")[2]
        if name:
            if name not in inside:
                walk(schema["$defs"][name], above, inside | {name})
            return
        for part in (
            *node.get("anyOf", ()),
            *node.get("oneOf", ()),
            *node.get("allOf", ()),
            *node.get("prefixItems", ()),
        ):
            walk(part, above, inside)
        for part in (node.get("items"), node.get("additionalProperties")):
            if isinstance(part, dict):
                walk(part, above, inside)
        for key, part in node.get("properties", {}).items():
            keys[f"{above}{key}"] = None
            walk(part, f"{above}{key}.", inside)

    walk(schema, "", frozenset())
    return list(keys)
