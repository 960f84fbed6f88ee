"""The manual of a site: the pages made from the code; guides for members and schemas where the project has none of its own."""

import re
from collections.abc import Collection
from pathlib import Path

import gudgeon
from gudgeon.commands.manual import manual
from gudgeon.commands.python_page import python_page
from gudgeon.pages.page import Asset, Page, Renderer

GUIDES = (
    "start-a-club.md",
    "add-a-build.md",
    "write-an-instalment.md",
    "take-pictures-in.md",
    "phone.md",
    "review-and-share.md",
    "upgrade.md",
)
SNIPPET = re.compile(r'^--8<-- "(?P<file>[^":]+):(?P<part>[\w-]+)"$', re.MULTILINE)
SCHEMAS = Path(gudgeon.__file__).resolve().parent / "json_schemas"  # as they ship; `gudgeon schemas` makes them
_PICTURE = re.compile(r"\]\((images/[\w.-]+)\)")


def manual_pages(links: str, there: Collection[str]) -> tuple[list[Page], list[Asset]]:
    """The pages of the manual, and the files beside them. links: a key of LINKS; there: what the project has itself, by its
    path below docs/: its own page wins."""
    made = [manual(Renderer(links=links)), python_page(Renderer(links=links))]
    lacking = [name for name in GUIDES if name not in there]
    docs, root = _kept()
    files = [
        Asset(name, path.read_bytes())
        for path in sorted(SCHEMAS.glob("*.json"))
        if (name := f"schemas/{path.name}") not in there
    ]
    for name in lacking:
        text = with_parts((docs / name).read_text(encoding="utf-8"), root)
        made.append(Page(name, text))
        shown = sorted(set(_PICTURE.findall(text)) - set(there))
        files += [Asset(picture, (docs / picture).read_bytes()) for picture in shown]
    return made, files


def with_parts(text: str, root: Path) -> str:
    """A page with the parts of other files that it takes in put in."""
    return SNIPPET.sub(lambda snippet: _part(root, snippet), text)


def _kept() -> tuple[Path, Path]:
    """Where the guides lie, and what they take parts from: in the package, or in the tool's own work tree."""
    package = Path(gudgeon.__file__).resolve().parent
    in_wheel = package / "guides"
    return (in_wheel, in_wheel) if in_wheel.is_dir() else (package.parents[1] / "docs", package.parents[1])


def _part(root: Path, snippet: re.Match) -> str:
    """The part of a file between its marks."""
    path = (root / snippet["file"]).resolve()
    if not path.is_relative_to(root.resolve()) or not path.is_file():
        return ""
    text = path.read_text(encoding="utf-8")
    marks = [f"--8<-- [{end}:{snippet['part']}]" for end in ("start", "end")]
    inside = text.partition(marks[0])[2].partition("\n")[2].partition(marks[1])[0]
    return inside.rpartition("\n")[0]
