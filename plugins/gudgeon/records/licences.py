"""Licences by their SPDX expressions: whether one is written as one, and what it lets other people do (decision 0066)."""

import re
from dataclasses import dataclass
from typing import Annotated, Any

from packaging.licenses import InvalidLicenseExpression, canonicalize_license_expression
from pydantic import BeforeValidator, WithJsonSchema

from gudgeon.records.problems import shown

MOST = 200  # characters of an expression
# Licences that let anybody pass a work on, changed or not, by their identifiers. What is not listed here is not judged.
_OPEN = re.compile(
    r"CC0-1\.0|CC-PDDC|CC-BY(-SA)?-[1-4]\.[05](-[A-Z]+)*|PDDL-1\.0|ODC-By-1\.0|ODbL-1\.0|OGL-UK-[123]\.0|LAL-1\.[23]|"
    r"MIT(-0)?|0BSD|BSD-[123]-Clause|ISC|Zlib|Unlicense|BSL-1\.0|Apache-2\.0|MPL-2\.0|EUPL-1\.[12]|"
    r"(GFDL-1\.[123]|[AL]?GPL-[23](\.[01])?)(-no-invariants|-invariants)?(-only|-or-later|\+)?|CERN-OHL-[SPW]-2\.0"
)
_CREATIVE = re.compile(r"CC-BY(?P<gain>-NC)?(?P<change>-ND|-SA)?-[1-4]\.[05](-[A-Z]+)*")


@dataclass(frozen=True, order=True)
class Terms:
    """What a licence lets people do who got a work under it. judged: whether the licence is one that is known here."""

    pass_on: bool = False
    change: bool = False
    gain: bool = False  # use it for gain too
    judged: bool = False

    @property
    def asks(self) -> list[str]:
        """What somebody has to know before they take it; nothing where it may be changed and passed on by anybody."""
        if not self.pass_on:
            return ["nothing that is known here lets it be passed on"]
        said = [] if self.change else ["it must not be changed"]
        return said if self.gain else [*said, "it must not be used for gain"]


_ANYTHING = Terms(True, True, True, True)


def spdx(text: str) -> str | None:
    """The expression as SPDX spells it; None where it is none."""
    if len(text) > MOST:
        return None
    try:
        return canonicalize_license_expression(text)
    except (InvalidLicenseExpression, RecursionError):
        return None


def terms_of(licence: str) -> Terms:
    """What a licence lets people do. Of "A OR B" the one that lets more; of "A AND B" only what both do."""
    expression = spdx(licence)
    if expression is None or " WITH " in expression:
        return Terms()
    words = re.findall(r"[()]|[^\s()]+", expression)
    return _either(words)


def _either(words: list[str]) -> Terms:
    terms = _both(words)
    while words and words[0] == "OR":
        words.pop(0)
        terms = max(terms, _both(words))
    return terms


def _both(words: list[str]) -> Terms:
    terms = _one(words)
    while words and words[0] == "AND":
        words.pop(0)
        other = _one(words)
        terms = Terms(
            terms.pass_on and other.pass_on,
            terms.change and other.change,
            terms.gain and other.gain,
            terms.judged and other.judged,
        )
    return terms


def _one(words: list[str]) -> Terms:
    word = words.pop(0)
    if word == "(":
        terms = _either(words)
        words.pop(0)  # the bracket that closes it
        return terms
    if _OPEN.fullmatch(word):
        return _ANYTHING
    creative = _CREATIVE.fullmatch(word)
    if creative is None:
        return Terms()
    return Terms(True, creative["change"] != "-ND", creative["gain"] is None, True)


def _as_spdx(text: Any) -> str:
    expression = spdx(text) if isinstance(text, str) else None
    if expression is None:
        raise ValueError(
            f'expected a licence by its SPDX identifier. Found "{shown(text)}". Write it like "CC-BY-4.0"; for terms that SPDX does '
            'not list, "LicenseRef-" and a name.'
        )
    return expression


Licence = Annotated[
    str,
    BeforeValidator(_as_spdx),
    WithJsonSchema(
        {"type": "string", "maxLength": MOST, "title": "a licence by its SPDX identifier", "examples": ["CC-BY-4.0"]}
    ),
]
