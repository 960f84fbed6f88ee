"""What a club's repository is begun with: every file, by its path in it."""

import json
import re
from dataclasses import dataclass
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

from jinja2 import Environment, PackageLoader, StrictUndefined

from gudgeon.club.tool import Tool
from gudgeon.records.record_files import RECORD_FILES

SCHEMAS = ".gudgeon/schemas"  # where the club's start.py writes them; git does not take them
LATER = "later"
# What a club may answer -> what it means, in words. Any other SPDX expression is taken too.
LICENCES = {
    "CC-BY-4.0": "others may use and change it, and say whose it was",
    "CC-BY-SA-4.0": "the same, and what they make of it they give on under the same terms",
    "CC0-1.0": "others may do what they like with it",
    LATER: "nothing is given away until you decide",
}
LICENCE_TEXTS = {
    "CC-BY-4.0": ("Creative Commons Attribution 4.0 International", "https://creativecommons.org/licenses/by/4.0/"),
    "CC-BY-SA-4.0": (
        "Creative Commons Attribution-ShareAlike 4.0 International",
        "https://creativecommons.org/licenses/by-sa/4.0/",
    ),
    "CC0-1.0": ("Creative Commons Zero 1.0 Universal", "https://creativecommons.org/publicdomain/zero/1.0/"),
}


@dataclass(frozen=True)
class Forge:
    """A kind of place where the repository may lie. edit: behind its address, the way to a page's source. kind: what the plugin
    calls it. request: what it calls a proposed change. told: what has to be set there once so that the site is published."""

    edit: str
    kind: str | None
    request: str
    told: str


FORGES = {
    "github": Forge(
        "edit/main/docs/",
        "github",
        "pull request",
        'In the repository\'s settings, under Pages, choose the source "GitHub Actions": then each push to `main` publishes the site.',
    ),
    "gitlab": Forge(
        "-/edit/main/docs/",
        "gitlab",
        "merge request",
        "Each push to `main` publishes the site under the address that the forge shows under Deploy, Pages.",
    ),
    "forgejo": Forge(
        "_edit/main/docs/",
        "gitea",
        "pull request",
        "Each push to `main` puts the site on the branch `pages`. What the runner needs, and where the forge is told the site's address, "
        "stands at the head of `.forgejo/workflows/publish.yml`.",
    ),
    "server": Forge(
        "",
        None,
        "branch",
        "On the server, `post-receive.sh` goes into `hooks/` of the bare repository as `post-receive`: a push to `main` then builds the site, "
        "and a push of any other branch answers with its review. What it needs stands at its head.",
    ),
    LATER: Forge("", None, "branch", ""),
}


@dataclass(frozen=True)
class Club:
    """What was answered. address: of the repository, site: of the published pages; empty where not known yet."""

    name: str
    licence: str
    units: str
    forge: str
    address: str = ""
    site: str = ""


def files(club: Club, tool: Tool) -> dict[str, bytes]:
    """Every file of the repository, by its path."""
    texts = {
        "README.md": _text("README.md.j2", club, tool),
        "mkdocs.yml": _text("mkdocs.yml.j2", club, tool),
        "start.py": _plain("start.py.txt"),
        "requirements.txt": tool.requirements(),
        ".gitignore": _plain("gitignore.txt"),
        ".gitattributes": _plain("gitattributes.txt"),
        ".vscode/settings.json": editor_settings(),
        "builds/.gitkeep": "",
        "docs/index.md": _text("index.md.j2", club, tool),
        "docs/knowledge/rules/example.yaml.txt": _text("rule.yaml.j2", club, tool),
    }
    if club.licence != LATER:
        texts["LICENSE"] = _text("LICENSE.j2", club, tool)
        texts["docs/knowledge/sharing.yaml"] = _text("sharing.yaml.j2", club, tool)
    made = {path: text.encode("utf-8") for path, text in texts.items()}
    made |= {f"docs/images/{name}": content for name, content in _below(_folder("images")).items()}
    made |= workflows(club.forge)
    if tool.path and tool.wheel is not None:
        made[tool.path] = tool.wheel
    return made


def workflows(forge: str) -> dict[str, bytes]:
    """What a forge needs to review requests and publish the site, by its path in the repository."""
    return _below(_folder("workflows") / forge)


def editor_settings() -> str:
    """Which schema holds for which file, for editors that read JSON Schema."""
    wired: dict[str, list[str]] = {}
    for file in RECORD_FILES:
        if file.schema == "instalment":  # the head of a Markdown file
            continue
        if file.schema == "columns":
            places = ["**/*.columns.yaml"]
        elif file.store is None:
            places = [file.name.format(knowledge="docs/knowledge")]
        else:
            places = [f"builds/*/{file.name}", f"docs/knowledge/families/*/starter/{file.name}"]
        patterns = [re.sub(r"<[^/.]+>", "*", place).replace("*-*", "*") for place in places]
        wired[f"./{SCHEMAS}/{file.schema}.schema.json"] = patterns
    return json.dumps({"yaml.schemas": wired}, indent=2) + "\n"


def _text(template: str, club: Club, tool: Tool) -> str:
    name, address = LICENCE_TEXTS.get(club.licence, (club.licence, ""))
    return (
        _templates()
        .get_template(template)
        .render(club=club, tool=tool, forge=FORGES[club.forge], licence_name=name, licence_address=address, later=LATER)
    )


@cache
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("gudgeon.club", "templates"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["quoted"] = lambda text: json.dumps(text, ensure_ascii=False)  # a text as YAML takes it
    made.filters["shell"] = lambda text: re.sub(r'[\\"$`!]', "", text)  # a text between double quotes in a shell
    return made


def _plain(template: str) -> str:
    return (_folder("templates") / template).read_text(encoding="utf-8")


def _folder(name: str) -> Traversable:
    return resources.files("gudgeon.club") / name


def _below(folder: Traversable, path: str = "") -> dict[str, bytes]:
    """All files below a folder, by their path from there; none where there is no such folder."""
    if not folder.is_dir():
        return {}
    made: dict[str, bytes] = {}
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            made |= _below(entry, f"{path}{entry.name}/")
        else:
            made[f"{path}{entry.name}"] = entry.read_bytes()
    return made
