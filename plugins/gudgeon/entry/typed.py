"""The words of a line as people type them, brought to one way of writing: 3-1/2, 3.5", ø4.25, 0 deg, 24 °C / 16 °C, lists with commas.

Texts to texts, with nothing known of any build. What is not sure to mean one thing is left as it stands, for the grammar to refuse.
"""

import re
import unicodedata

_T = r"[+\-−]?[0-9]{1,3}(?:\.[0-9]{1,2})?"
# In this order: what stands further down meets what is further up already in one way of writing.
_WAYS: tuple[tuple[str, str], ...] = (
    (r"[“”″]|''", '"'),
    (r"[–—](?=[0-9.])", "-"),
    (r"[øØ⌀∅]\s*", ""),
    (r"(?<=[0-9])\s*\"", "in"),
    (r"(?<=[0-9.])\s*(?:inches|inch)\b", "in"),
    (r"(?<=[0-9.])\s*(?:millimet(?:er|re)s?)\b", "mm"),
    (r"(?<=[0-9.])\s*(?:microns?)\b", "µm"),
    (r"(?<=[0-9.])\s*thousandths?(?: of an inch)?\b", "thou"),
    (r"\bplus\s+(?=[0-9.])", "+"),
    (r"\bminus\s+(?=[0-9.])", "-"),
    (r"\b([0-9]{1,4})-([0-9]{1,4}/[0-9]{1,4})(?![0-9/])", r"\1 \2"),
    (r"(?<=[0-9])\s*(?:°|degrees?|deg)\s*(?:celsius|c)\b", "c"),
    (r"(?<=[0-9])\s*(?:°|degrees?|deg)\s*(?:fahrenheit|f)\b", "f"),
    (r"(?<=[0-9])\s*(?:°|degrees?\b|deg\b)", "deg"),
    (rf"\bpart\s+(?:at\s+)?({_T}[cf]?)\s*,?\s*(?:and\s+)?(?:gauge|mic)\s+(?:at\s+)?({_T}[cf]?)(?![\w.])", r"\1/\2"),
    (rf"(?<![\w./])({_T}[cf])(?:\s*/\s*|\s*,\s*|\s+)({_T}[cf])\b", r"\1/\2"),
    (rf"(?<![\w./])({_T})\s*/\s*({_T})([cf])\b", r"\1\3/\2\3"),
    (r"([0-9]\.[0-9]*|[0-9]/[0-9]+|[0-9](?:in|mm))[,;](?=[0-9.])", r"\1, "),
)
_RULES = tuple((re.compile(way, re.IGNORECASE), into) for way, into in _WAYS)


def one_way_of_writing(line: str) -> str:
    """The line with one way of writing each thing; what it does not know it leaves."""
    line = "".join(_spelled_out(sign) for sign in line)
    for way, into in _RULES:
        line = way.sub(into, line)
    return line


def words_and_list(line: str) -> tuple[list[str], bool]:
    """The words of a line, and whether commas part a list in it: then a unit behind the last holds for all of them."""
    words = line.split()
    stripped = [word.rstrip(",;") for word in words]
    return [word for word in stripped if word], stripped != words


def _spelled_out(sign: str) -> str:
    """A sign such as ½ as 1/2 behind a space; any other as it is."""
    if unicodedata.decomposition(sign).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKD", sign).replace("\u2044", "/")
    return sign
