"""Puts hostile text into every field of records that takes free text. Which these are the models say, through their schemas."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml
from conftest import whole_shelf
from gudgeon.records.record_files import RECORD_FILES
from pages.test_untrusted_text import HOSTILE
from PIL import Image
from pydantic import ValidationError
from small_build import ROOT, write

# All in one: what a spreadsheet, a page, an attribute, Markdown, a template, a drawing and a comment might act on. What no
# reader can see (steering a terminal, turning the direction of writing) is refused where it is read: see the test of that.
ATTACK = (
    """=1+1|x <script>window.ran=1</script><img src=x onerror=window.ran=1>"' onload=window.ran=1 x="<!-- """
    """[x](javascript:window.ran=1) {{ 7*7 }}{% raw %}</title></svg><svg onload=window.ran=1><b class=foreign>--> ]]>&#60;`*_#"""
)
SHORT = "=<b class=foreign onclick=ran=1>{{7*7}}"
LONG = f"{ATTACK}\n\n# big\n\n<div onclick='window.ran=1' class=foreign>x</div>\n\n<script>window.ran=1</script>\n"
# Text by its schema that another place of the records decides, where it is refused.
ELSEWHERE = {
    ("Danger", "over"),
    ("Danger", "under"),
    ("Figure", "is"),
    ("Figure", "least"),
    ("Figure", "most"),
    ("Fit", "class"),
    ("Step", "expression"),
    ("EveryRow", "as_held"),  # spread over the rows, and filled there
    ("ColumnMap", "fill_down"),  # a column map stands in no project and is shown nowhere
    ("ColumnMap", "headings"),
    ("ColumnMap", "ignore"),
    ("ColumnMap", "units"),
    ("ColumnMap", "fill_down"),
    ("ColumnMap", "headings"),
}
FIXED = {"pattern", "format", "enum", "const", "examples"}  # of a field that takes only what has a form


def _resolved(node: dict, whole: dict) -> dict:
    while "$ref" in node:
        node = whole["$defs"][node["$ref"].rpartition("/")[2]]
    return node


def _options(node: dict, whole: dict) -> Iterator[dict]:
    """What a field may be: each of its alternatives, with references followed."""
    node = _resolved(node, whole)
    for option in node.get("anyOf", node.get("oneOf", [node])):
        option = _resolved(option, whole)
        yield from _options(option, whole) if "anyOf" in option or "oneOf" in option else [option]


def _is_text(node: dict) -> bool:
    return node.get("type") == "string" and not FIXED & set(node)


def text_for(node: dict) -> str | None:
    """The worst text that a field takes by its schema; None where it takes no free text."""
    most = node.get("maxLength", len(LONG))
    return next((text for text in (LONG, ATTACK, SHORT) if len(text) <= most), None) if _is_text(node) else None


def text_fields(model: Any) -> set[tuple[str, str]]:
    """(record, key) of every field of free text in a model and in all that lie in it."""
    whole = model.model_json_schema(mode="validation")
    fields = set()
    for record in [whole, *whole.get("$defs", {}).values()]:
        for key, node in record.get("properties", {}).items():
            if any(_of_text(option, whole) for option in _options(node, whole)):
                fields.add((record["title"], key))
    return fields


def _of_text(node: dict, whole: dict) -> bool:
    if _is_text(node):
        return True
    inner = [node["items"]] if isinstance(node.get("items"), dict) else list(node.get("prefixItems", []))
    inner += [node["additionalProperties"]] if isinstance(node.get("additionalProperties"), dict) else []
    return any(_is_text(option) for item in inner for option in _options(item, whole))


ALL_FIELDS = set().union(*(text_fields(file.model) for file in RECORD_FILES))


class Filler:
    """Fills records; `filled` has every (record, key) that was."""

    def __init__(self):
        self.filled: set[tuple[str, str]] = set()
        self.refused: set[tuple[str, str]] = set()  # text by the schema, with a form that a validator knows

    def record(self, model: Any, data: dict) -> dict:
        """The data of a file with hostile text wherever its model takes it: what is there, and what could be."""
        self._whole, self._written = model.model_json_schema(mode="validation"), {}
        data = self._walk(self._whole, data, (), None)
        for _ in range(200):
            try:
                model.model_validate(data)
            except ValidationError as error:
                # What is text by its schema and has a form all the same: it gets back what it was.
                if not self._put_back(model, data, error):
                    raise
            else:
                break
        self.filled |= {owner for owner, _, _ in self._written.values() if owner}
        return data

    def _walk(self, node: dict, value: Any, path: tuple, owner: tuple[str, str] | None) -> Any:
        for option in _options(node, self._whole):
            kind = option.get("type")
            if isinstance(value, dict) and kind == "object" and self._fits(option, value):
                return self._object(option, value, path, owner)
            if isinstance(value, list) and kind == "array":
                items = option.get("prefixItems") or [option.get("items") or {}]
                return [
                    self._walk(items[min(at, len(items) - 1)], item, (*path, at), owner)
                    for at, item in enumerate(value)
                ]
            if isinstance(value, str) and (text := text_for(option)):
                self._written[path] = (owner, value, True)
                return text
        return value

    def _fits(self, option: dict, value: dict) -> bool:
        return (
            "properties" not in option
            or set(value) <= set(option["properties"])
            and set(option.get("required", ())) <= set(value) | {"date", "by", "of", "gauge"}
        )

    def _object(self, option: dict, value: dict, path: tuple, owner: tuple[str, str] | None) -> dict:
        if "properties" not in option:
            inner = next(iter(option.get("patternProperties", {}).values()), option.get("additionalProperties"))
            if not isinstance(inner, dict):
                return value
            return {key: self._walk(inner, item, (*path, key), owner) for key, item in value.items()}
        result = dict(value)
        for key, node in option["properties"].items():
            owned = (option["title"], key)
            if key in value and owned not in ELSEWHERE:
                result[key] = self._walk(node, value[key], (*path, key), owned)
            elif owned in ELSEWHERE:
                continue
            elif text := next(filter(None, map(self._new, _options(node, self._whole))), None):
                result[key] = text
                self._written[(*path, key)] = (owned, None, False)
        return result

    def _new(self, option: dict) -> str | list[str] | None:
        """What to write where a record is silent: a text, or a list with one."""
        items = option.get("items")
        if option.get("type") == "array" and isinstance(items, dict):
            text = text_for(_resolved(items, self._whole))
            return [text] if text else None
        return text_for(option)

    def _put_back(self, model: Any, data: Any, error: ValidationError) -> bool:
        """Take back what a validator refuses; False where nothing that was written is what it complains of."""
        any_taken = False
        for complaint in error.errors():
            for path in [path for path in self._written if self._under(path, complaint["loc"])]:
                self._take_back(data, path)
                any_taken = True
        if any_taken:
            return True
        # A record as a whole may refuse what does not go together: of what was added to it, the one that it is.
        before = error.error_count()
        for path, (owner, was, there) in list(self._written.items()):
            if there or not any(self._under(complaint["loc"], path) for complaint in error.errors()):
                continue
            text = self._take_back(data, path)
            try:
                model.model_validate(data)
            except ValidationError as after:
                if after.error_count() < before:
                    return True
                self._at(data, path)[path[-1]] = text
                self._written[path] = (owner, was, there)
            else:
                return True
        return False

    def _take_back(self, data: Any, path: tuple) -> str:
        """Make one place of the data what it was; gives what had been written there."""
        owner, was, there = self._written.pop(path)
        if owner:
            self.refused.add(owner)
        at = self._at(data, path)
        text = at[path[-1]]
        if there:
            at[path[-1]] = was
        else:
            del at[path[-1]]
        return text

    @staticmethod
    def _at(data: Any, path: tuple) -> Any:
        for step in path[:-1]:
            data = data[step]
        return data

    @staticmethod
    def _under(path: tuple, place: tuple) -> bool:
        """Whether a path is the one that is complained of. Pydantic names the alternatives between the steps, too."""
        steps = iter(place)
        return all(any(step == told for told in steps) for step in path)


def fill_club(root: Path) -> Filler:
    """Fill all records of a project's folder, in place."""
    filler = Filler()
    for file in RECORD_FILES:
        for path, head in _paths(file.name, root):
            text = path.read_text(encoding="utf-8")
            body = ""
            if head:
                _, text, body = text.split("---\n", 2)
            data = yaml.load(text, Loader=yaml.BaseLoader)
            if "every_row" in data:  # what a file says once for all rows is a row's own
                said_once = data.pop("every_row")
                data["rows"] = [row if "withdraws" in row else said_once | row for row in data["rows"]]
            data = filler.record(file.model, data)
            # JSON is YAML, and leaves no doubt of what is text.
            written = json.dumps(data, ensure_ascii=False, indent=1)
            path.write_text(f"---\n{written}\n---\n{LONG}\n{body}" if head else written, encoding="utf-8")
    return filler


def hostile_club(root: Path, builds: tuple[str, ...] = ("sundlia",)) -> Filler:
    """A project of the shared knowledge, demonstration builds and a small one with a record of each kind, all filled."""
    whole_shelf(root)
    for name in builds:
        shutil.copytree(ROOT / "builds" / name, root / "builds" / name)
    small = write(root / "builds" / "small")
    for name, text in {**HOSTILE, **WITHDRAWN}.items():
        (small / name).parent.mkdir(exist_ok=True)
        (small / name).write_text(text, encoding="utf-8")
    (small / "photos").mkdir(exist_ok=True)
    Image.new("RGB", (8, 8)).save(small / "photos" / "seen.png")
    digest = "sha256:" + "0" * 64
    origin = {"came_from": "x", "club": "x", "licence": "x", "digest": digest, "as_brought": digest, "on": "2025-01-01"}
    origin["withdrawn"] = {"by": "x", "on": "2025-01-02", "because": "x", "told": "2025-01-03"}
    sharing = "club: x\nlicence: CC-BY-4.0\nwithdrawn: [{kind: rule, id: A-R2, on: 2025-01-01, because: x}]\n"
    (root / "docs/knowledge/sharing.yaml").write_text(sharing, encoding="utf-8")
    (root / "docs/knowledge/clubs.yaml").write_text(
        "format: gudgeon-clubs-1\nclubs: [{name: x, index: https://example.org/share/index.json, licence: CC-BY-4.0, language: en}]\n",
        encoding="utf-8",
    )
    (root / "docs/knowledge/origins.yaml").write_text(json.dumps({"origins": {"rule A-R1": origin}}), encoding="utf-8")
    rule = root / "docs/knowledge/rules/A-R1.yaml"
    assert "\ntold:" not in rule.read_text(encoding="utf-8")
    with rule.open("a", encoding="utf-8") as file:
        file.write("told: [{engine: x, result: running, hours: 10 h}]\n")
    (root / "docs/knowledge/outcomes/elsewhere.yaml").write_text(
        "outcomes: elsewhere\nclub: x\ntold: [{rule: A-R1, engine: x, result: nipped, hours: 10 h, size: 100 mm, clearance: 0.1 mm,"
        " load: x, year: 1999, said_by: x, club: x, note: x}]\n",
        encoding="utf-8",
    )
    return fill_club(root)


# What neither the small build nor a demonstration build has.
WITHDRAWN = {
    "readings/2025-02-05-wrong.yaml": """\
rows:
  - {id: w1, date: 2025-02-05, by: ada, of: piston.skirt, gauge: mic, part_temp: 20 °C, gauge_temp: 20 °C, after: TURN, station: 20 mm, reads: 49.944 mm}
  - {id: w2, date: 2025-02-05, by: ada, withdraws: w1, because: x}
""",
    "cuts.yaml": """\
cuts:
  - {id: c1, date: 2025-02-03, of: piston.skirt, machine: big, asked: 0.1 mm, got: 0.1 mm, tool: x, feed: 0.1 mm}
  - {date: 2025-02-04, by: ada, withdraws: c1, because: x}
""",
    "running.yaml": """\
runs:
  - {id: r1, date: 2025-02-04, hours: 10 min, load: x, oil: x, noticed: x, by: ada}
  - {date: 2025-02-05, by: ada, withdraws: r1, because: x, note: x}
""",
    "outcomes.yaml": """\
outcomes:
  - {id: o1, date: 2025-02-05, about: F1, result: ran_free, hours: 1 h, clearance: 0.06 mm, load: x, by: ada, note: x}
  - {date: 2025-02-06, by: ada, withdraws: o1, because: x, note: x}
""",
    "reviews.yaml": """\
reviews:
  - {id: v1, date: 2025-02-05, who: ada, verdict: agreed, about: [F1], says: x}
  - {date: 2025-02-06, who: ada, withdraws: v1, because: x}
""",
    "photos.yaml": f"""\
photos:
  seen.png: {{shows: x, caption: x, date: 2025-02-05, by: ada, licence: CC-BY-4.0, people: [x], consent: x}}
  drawn.png: {{shows: x, drawn: x, original: "sha256:{"0" * 64}", withdrawn: {{date: 2025-02-06, why: x}}}}
""",
    "films.yaml": """\
films:
  f1: {title: x, length: "4:10", link: "https://example.org/f1", date: 2025-02-05, by: ada, chapters: [{at: "1:20", shows: x}]}
""",
    "log/09-cost.md": """\
---
number: 9
title: x
date: 2025-02-05
by: ada
cost: {time: x, scrap: x, rework: x}
corrected: [{date: 2025-02-06, what: x}]
---
x
""",
}


def _paths(name: str, root: Path) -> list[tuple[Path, bool]]:
    if name.startswith("a column map"):
        return []
    head = name.endswith("its head")
    pattern = name.removesuffix(", its head")
    for placeholder in (
        "<part>",
        "<date>-<what>",
        "<nn>-<title>",
        "<rule>",
        "<caution>",
        "<material>",
        "<family>",
        "<name>",
    ):
        pattern = pattern.replace(placeholder, "*")
    if not pattern.startswith("{knowledge}"):
        pattern = f"builds/*/{pattern}"
    return [(path, head) for path in sorted(root.glob(pattern.replace("{knowledge}", "docs/knowledge")))]
