"""Writes YAML as people write it here: short rows on one line, quotes only where a text needs them."""

import re
from collections.abc import Mapping
from typing import Any

import yaml

from gudgeon.records.plain_data import is_map, is_sequence

# What can stand without quotes inside braces and be read back as the same text, whoever reads it.
_PLAIN = re.compile(r"[A-Za-z0-9.][A-Za-z0-9 ._/°µ³·+-]*(?<! )")
# What other readers of YAML would take for something else than a text; a day may stand bare, it is a day for all of them.
_OTHER = re.compile(r"(?i)y|n|yes|no|on|off|true|false|null|[0-9.][0-9._]*(e[+-]?[0-9]+)?|0x[0-9a-f]+|\.(inf|nan)")
_DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def scalar(text: str) -> str:
    """A text as one YAML scalar on one line, quoted where it needs to be."""
    if _PLAIN.fullmatch(text) and not _OTHER.fullmatch(text) and not re.search(r" [-+] |-$|\.\.\.", text):
        return text
    written = yaml.dump(text, Dumper=_DUMPER, default_style='"', width=1_000_000, allow_unicode=True)
    return written.removesuffix("\n").removesuffix("\n...")


def flow(values: Mapping[str, Any]) -> str:
    """Keys with values on one line: {id: a1, reads: 4.25 in}. Values are texts, whole numbers, lists of texts, or such keys again."""
    return "{" + ", ".join(f"{key}: {_value(value)}" for key, value in values.items()) + "}"


def _value(value: Any) -> str:
    if is_map(value):
        return flow(value)
    if is_sequence(value):
        return "[" + ", ".join(scalar(item) for item in value) + "]"
    return str(value) if isinstance(value, int) else scalar(value)
