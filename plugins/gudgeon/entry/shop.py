"""A gauge, a lathe or a fit more, as a text behind those that a build's file has."""

import re
from pathlib import Path

from gudgeon.entry.starting import Missing
from gudgeon.records.fields import ID
from gudgeon.records.model import Build
from gudgeon.records.problems import nearest, shown
from gudgeon.records.text_manner import plain_text
from gudgeon.records.yaml_writing import scalar

STEEL = "11.5e-6 /K"  # what gauges of steel grow by; common practice, no source


def new_gauge(build: Build, name: str, said: dict[str, str | None]) -> dict[str, str]:
    """instruments.yaml with one gauge more. said: its keys as they are written; None leaves a key out."""
    return _with_entry(build, "instruments.yaml", "instruments", name, build.instruments, said)


def new_lathe(build: Build, name: str, said: dict[str, str | None]) -> dict[str, str]:
    """machines.yaml with one lathe more."""
    return _with_entry(build, "machines.yaml", "machines", name, build.machines, said)


def new_fit(build: Build, name: str, said: dict[str, str | None]) -> dict[str, str]:
    """fits.yaml with one fit more."""
    for half in ("hole", "shaft"):
        ref = said.get(half)
        if ref is not None and ref not in build.features:
            raise Missing(f'no feature "{shown(ref)}" in this build.{nearest(ref, build.features)}')
    return _with_entry(build, "fits.yaml", "fits", name, build.fits, said)


def listed(text: str, unit: str, what: str) -> str:
    """Numbers with commas or spaces between them as a list in YAML, each with its unit: "50 100 200" -> [50 rpm, 100 rpm]."""
    parts = [part.strip() for part in re.split(r",|;|\s+(?=[0-9.+-])", text.strip()) if part.strip()]
    if not parts:
        raise Missing(f"the {what} are missing. Write them with commas between them.")
    return f"[{', '.join(scalar(part if re.search('[a-z]', part) else f'{part} {unit}') for part in parts)}]"


def _with_entry(
    build: Build, file: str, heading: str, name: str, there: dict, said: dict[str, str | None]
) -> dict[str, str]:
    if not re.fullmatch(ID, name):
        raise Missing(f'an id has letters, digits, hyphens and underscores, up to 40. Found "{shown(name)}".')
    if name in there:
        raise Missing(f"{build.path}/{file} already has {name}. Choose another id, or edit it there.")
    lines = [f"  {name}:", *(f"    {key}: {_value(value)}" for key, value in said.items() if value)]
    before = _text_of(build.folder / file) or f"{heading}:\n"
    if not re.search(rf"(?m)^{heading}:\s*(#.*)?$", before):
        raise Missing(f'{build.path}/{file} is written in another form. Add it by hand under "{heading}".')
    return {file: before + ("" if before.endswith("\n") else "\n") + "\n".join(lines) + "\n"}


def _value(text: str) -> str:
    return text if text.startswith("[") or text.isdecimal() else scalar(text)


def _text_of(path: Path) -> str:
    return plain_text(path.read_bytes()) if path.exists() else ""
