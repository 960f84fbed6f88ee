"""New builds, parts, readings and instalments, from the part families' starters: files ready to be written."""

import datetime
import re
import unicodedata
from collections.abc import Mapping
from types import MappingProxyType

from gudgeon.entry.engine_sizes import with_engine_sizes
from gudgeon.records.knowledge import Family
from gudgeon.records.model import Build
from gudgeon.records.problems import nearest, shown
from gudgeon.records.text_manner import plain_text
from gudgeon.records.yaml_text import UNSEEN
from gudgeon.records.yaml_writing import flow, scalar


class Missing(ValueError):
    """Something that is needed was not given, or is not possible; the message says what."""


def new_build(
    name: str,
    units: str,
    layout: str,
    person: str,
    club: str,
    stage: str = "first parts",
    figures: Mapping[str, str | None] = MappingProxyType({}),
) -> dict[str, str]:
    """Files of a build that reads without a problem. figures: leading figures of the engine, such as bore, each with its unit."""
    for what, text in (("name", name), ("layout", layout), ("person", person), ("club", club)):
        _plain(what, text)
    if units not in ("in", "mm"):
        raise Missing(f'the drawings\' unit is "in" or "mm". Found "{shown(units)}".')
    build = (
        f"name: {scalar(name)}\nunits: {units}\nstage: {scalar(stage)}\n"
        f"engine: {flow({'layout': layout} | {key: said for key, said in figures.items() if said})}\nclub: {flow({'name': club})}\n"
        f"people:\n  {short(person)}: {flow({'name': person})}\n"
    )
    return {"build.yaml": build}


def new_part(build: Build, starter: Build, family: Family, part: str, name: str, material: str) -> dict[str, str]:
    """The part file of a family's starter under another id, and its operations behind those that are there."""
    if part in build.parts:
        raise Missing(f"this build has a part {part} already. Choose another id.")
    _plain("name", name)
    text = plain_text((starter.folder / "parts" / f"{family.family}.yaml").read_bytes())
    for key, value in (("part", part), ("name", name), ("material", material)):
        line = f"{key}: {scalar(value)}"
        text = re.sub(rf"^{key}:.*$", lambda _, line=line: line, text, count=1, flags=re.MULTILINE)
    texts = {f"parts/{part}.yaml": with_engine_sizes(build, family, text)}
    if starter.operations:
        texts["operations.yaml"] = _with_operations(build, starter, family.family, part)
    return texts


def _with_operations(build: Build, starter: Build, family: str, part: str) -> str:
    """The build's operations with those of a starter behind them, under ids that are free."""
    text = plain_text((starter.folder / "operations.yaml").read_bytes()).partition("operations:\n")[2]
    series = {op_id.rpartition("-")[0] for op_id in starter.operations}
    for prefix in sorted(series):
        number, free = 1, prefix
        while any(op_id.startswith(f"{free}-") for op_id in build.operations):
            number += 1
            free = f"{prefix}{number}"
        text = re.sub(rf"\b{re.escape(prefix)}-(?=[0-9])", f"{free}-", text)
    text = re.sub(rf"(?<=part: ){re.escape(family)}$", part, text, flags=re.MULTILINE)
    text = re.sub(rf"\b{re.escape(family)}\.(?=[a-z*])", f"{part}.", text)
    path = build.folder / "operations.yaml"
    before = plain_text(path.read_bytes()) if path.exists() else "operations:\n"
    return before + ("" if before.endswith("\n") else "\n") + text


def planned_places(build: Build, part: str) -> list[tuple[str, str, str]]:
    """(feature, station, angle) of every place at which a part is to be read, "-" where there is none, as quick entry
    takes them; a feature without a plan once."""
    if part not in build.parts:
        raise Missing(f'no part "{shown(part)}" in this build.{nearest(part, build.parts)}')
    return [
        (name, station, angle)
        for name, feature in build.parts[part].features.items()
        if feature.is_length
        for station in _places(feature.plan.stations if feature.plan else ())
        for angle in _places(feature.plan.angles if feature.plan else ())
    ]


def _places(planned) -> list[str]:
    return [place.text.replace(" ", "") for place in planned] or ["-"]


def new_instalment(build: Build, title: str, date: datetime.date, by: str) -> dict[str, str]:
    """The next instalment of the story, with its head."""
    _plain("title", title)
    if by not in build.sound_head.people:
        raise Missing(f'no person "{shown(by)}" in build.yaml.{nearest(by, build.sound_head.people)}')
    number = max((instalment.head.number for instalment in build.instalments), default=0) + 1
    head = f"number: {number}\ntitle: {scalar(title)}\ndate: {date.isoformat()}\nby: {by}\n{_further_keys(build)}"
    return {f"log/{number:02d}-{short(title)}.md": f"---\n{head}---\n{_BEGINS}"}


_BEGINS = """\
What happened, and what it taught. Put your own words here, with an empty line between paragraphs.
"""


def _further_keys(build: Build) -> str:
    """Comments in the head that show what else an instalment can have, with names of this build. The text shows no comments."""
    fit = next(iter(build.fits), "A-F01")
    size = next(iter(build.features), "piston.skirt")
    return f"""\
# Take out the sign # in front of what you want.
# about: [{fit}]  # fits, parts and sizes that it tells of: their pages lead here
# cost: {{time: two evenings, scrap: nothing, rework: nothing}}  # any of the three, in words
# lead: skirt.webp  # a picture in photos/; gudgeon photo takes one in
# In the text:
#   a picture           ![what it shows](../photos/skirt.webp "its caption")
#   a number, checked   [5.5 thou](fit:{fit}) or [4.2456 in](size:{size})
#   a note below        the bush closed.[^1] and, on a line of its own, [^1]: by 0.9 thou
"""


def short(text: str) -> str:
    """A name as part of a file's name: small letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    hyphened = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:39].strip("-")
    if not hyphened:
        raise Missing(f'"{shown(text)}" has no letter or digit to name a file by.')
    return hyphened


def _plain(what: str, text: str) -> None:
    if not text.strip() or len(text) > 300 or "\n" in text or UNSEEN.search(text):
        raise Missing(f"the {what} is one line of up to 300 characters. Found {shown(repr(text))}.")
