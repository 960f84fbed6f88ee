"""Whole builds as plain data, file by file: both demonstration builds, the small one, and pieces of them that stand alone."""

import copy
import functools
import json
import random
import re
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from fuzz.tiny_builds import TINY
from gudgeon.records import load_build as loading
from gudgeon.records.base import Record
from gudgeon.records.load_build import load_build
from gudgeon.records.model import Build
from gudgeon.records.problems import Problems
from gudgeon.records.read_file import read_record
from gudgeon.records.yaml_text import read_yaml
from small_build import ROOT, shelf

DEMONSTRATIONS = ("harrow-pond", "sundlia")
NAMES = (*DEMONSTRATIONS, "small")
Files = dict[str, Any]  # file below the build's folder -> its data; of an instalment {"head": data, "body": text}
IN_MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None  # where there is such a folder
HALVES = ("hole", "shaft", "gap", "keyway", "key", "bears_over", "direct")


@functools.cache
def read(name: str) -> Files:
    """A build's files as data. Nobody may change it."""
    if name in TINY:
        return {file: _data(text) for file, text in TINY[name].items()}
    folder = ROOT / "builds" / name
    # Pictures and films stand beside the records: here there are none.
    texts = [path for path in folder.rglob("*.yaml") if path.name not in ("photos.yaml", "films.yaml")]
    files = {path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8") for path in texts}
    data = {file: _data(text) for file, text in sorted(files.items())}
    for path in sorted(folder.glob("log/*.md")):
        _, head, body = re.split(r"(?m)^---\s*$", path.read_text(encoding="utf-8"), maxsplit=2)
        head = {key: value for key, value in _data(head).items() if key not in ("lead", "photos")}
        data[f"log/{path.name}"] = {"head": head, "body": re.sub(r"!\[[^]]*\]\([^)]*\)", "", body).strip()}
    for of_part in (of_file for file, of_file in data.items() if file.startswith("parts/")):
        of_part.pop("photos", None)
    return data


def _data(text: str) -> Any:
    document = read_yaml(text, "x.yaml", Problems())
    assert document is not None
    return document.data


def base(name: str, parts: tuple[str, ...] = ()) -> Files:
    """A build, or what of it hangs on some of its parts alone."""
    return copy.deepcopy(read(name)) if not parts else _piece(copy.deepcopy(read(name)), set(parts))


def draw_base(dice: random.Random) -> tuple[str, tuple[str, ...]]:
    """A build to bend: mostly a piece of a demonstration build, because the whole takes twenty times as long."""
    if dice.random() < 0.2:
        return dice.choices(NAMES, (1, 1, 4))[0], ()
    name = dice.choice(DEMONSTRATIONS)
    fits = [
        {str(fit[key]).partition(".")[0] for key in HALVES if key in fit}
        for fit in read(name)["fits.yaml"]["fits"].values()
    ]
    parts = dice.choice(fits) | (dice.choice(fits) if dice.random() < 0.5 else set())
    if dice.random() < 0.3:
        parts |= {dice.choice([file[6:-5] for file in read(name) if file.startswith("parts/")])}
    return name, tuple(sorted(parts))


def _piece(files: Files, parts: set[str]) -> Files:
    """The files with everything taken out that is of another part or names one."""

    def here(ref: Any) -> bool:
        return str(ref).partition(".")[0] in parts

    kept = {file: data for file, data in files.items() if file.partition("/")[0] not in ("parts", "log", "readings")}
    for part in parts:
        data = kept[f"parts/{part}.yaml"] = files[f"parts/{part}.yaml"]
        for feature in data["features"].values():
            _only(feature, ("mates", "depends_on"), here)
        data.pop("photos", None)
    operations = kept["operations.yaml"]["operations"]
    operations = {name: operation for name, operation in operations.items() if operation["part"] in parts}
    for operation in operations.values():
        _only(operation, ("needs",), operations.__contains__)
        _only(operation, ("changes", "presses"), here)
        if not operation.get("needs"):
            operation.pop("wait_before", None)
        operation["cutting_of"] = {ref: cut for ref, cut in operation.get("cutting_of", {}).items() if here(ref)}
    kept["operations.yaml"]["operations"] = operations
    fits = kept["fits.yaml"]["fits"]
    kept["fits.yaml"]["fits"] = {
        name: fit for name, fit in fits.items() if all(here(fit[key]) for key in HALVES if key in fit)
    }
    if "cuts.yaml" in kept:
        cuts = [cut for cut in kept["cuts.yaml"]["cuts"] if here(cut.get("of")) and "withdraws" not in cut]
        kept["cuts.yaml"]["cuts"] = [cut for cut in cuts if cut.get("operation", "") in ("", *operations)]
    cut_ids = {cut.get("id") for cut in kept.get("cuts.yaml", {}).get("cuts", ())}
    _readings(files, kept, here, operations, cut_ids)
    for left_out in ("reviews.yaml", "running.yaml"):
        kept.pop(left_out, None)
    kept["build.yaml"].pop("upkeep", None)
    return {file: data for file, data in kept.items() if data}


def _only(record: dict[str, Any], keys: tuple[str, ...], keep: Any) -> None:
    for key in keys:
        if isinstance(record.get(key), list):
            record[key] = [ref for ref in record[key] if keep(ref)]


def _readings(files: Files, kept: Files, here: Any, operations: Any, cuts: set[Any]) -> None:
    """The rows that read what is kept; what they name that is not, is left out."""
    for file, data in files.items():
        if not file.startswith("readings/"):
            continue
        every = data.get("every_row") or {}
        rows = [row for row in data["rows"] if here(row.get("of", every.get("of"))) and "withdraws" not in row]
        for row in (*rows, every):
            for key, known in (("after", operations), ("after_cut", cuts)):
                if key in row and row[key] not in known:
                    del row[key]
            row.pop("supersedes", None)
            row.pop("photo", None)
        if every and not here(every.get("of", "none")):
            every.pop("of", None)
        if rows:
            kept[file] = {**data, "rows": rows}


@dataclass
class Written:
    """A file's text, and on which line each path of its data stands."""

    lines: list[str] = field(default_factory=list)
    line_of: dict[tuple[Any, ...], int] = field(default_factory=dict)

    def put(self, value: Any, path: tuple[Any, ...], indent: str, before: str) -> None:
        """One value below what stands before it on its line."""
        self.line_of[path] = len(self.lines) + 1
        if isinstance(value, dict) and value:
            self._open(before)
            for key, inner in value.items():
                self.put(inner, (*path, key), indent + "  ", f"{indent}{json.dumps(key, ensure_ascii=False)}:")
        elif isinstance(value, list) and value:
            self._open(before)
            for index, inner in enumerate(value):
                self.put(inner, (*path, index), indent + "  ", f"{indent}-")
        else:
            said = "" if value is None else f" {json.dumps(value, ensure_ascii=False)}"
            self.lines.append(before + said)

    def _open(self, before: str) -> None:
        if before:
            self.lines.append(before)


def written(data: Any) -> Written:
    """Data as YAML, one value a line."""
    made = Written()
    made.put(data, (), "", "")
    return made


class Folder:
    """A folder that builds are written to and read from, one after the other.

    Only what differs from the last build is written, and only it is read: a record of a file that stands as it was, and was sound,
    is the same record. All checks that go beyond one file are made anew.
    """

    def __init__(self) -> None:
        self._temporary = tempfile.TemporaryDirectory(prefix="gudgeon-fuzz-", dir=IN_MEMORY)
        self.root = Path(self._temporary.name)
        self._texts: dict[str, tuple[Any, str]] = {}
        self._read: dict[str, tuple[str, Record]] = {}

    def load(self, files: Files) -> Build:
        """A build of these files, none of which is changed in its place."""
        folder = self.root / "fuzz"
        for name in [name for name in self._texts if name not in files]:
            (folder / name).unlink()
            del self._texts[name]
        for name, data in files.items():
            held = self._texts.get(name)
            if held and held[0] is data:
                continue
            text = _text(name, data)
            if held is None or held[1] != text:
                (folder / name).parent.mkdir(parents=True, exist_ok=True)
                (folder / name).write_text(text, encoding="utf-8")
            self._texts[name] = (data, text)
        loading.read_record = self._record
        try:
            return load_build(folder, "builds/fuzz", shelf())
        finally:
            loading.read_record = read_record

    def _record(self, path: Path, file: str, model: Any, problems: Problems, prepare: Any = None) -> Any:
        name = path.relative_to(self.root / "fuzz").as_posix()
        text = self._texts[name][1]
        held = self._read.get(name)
        if held and held[0] == text:
            return held[1]
        own = Problems()
        record = read_record(path, file, model, own, prepare)
        for problem in own.in_order():
            problems.add(problem.where, problem.about, problem.text)
        if record is not None and not own:
            self._read[name] = (text, record)
        return record


def _text(name: str, data: Any) -> str:
    if not name.startswith("log/"):
        return "\n".join(written(data).lines) + "\n"
    head = "\n".join(written(data["head"]).lines)
    return f"---\n{head}\n---\n{data['body']}\n"
