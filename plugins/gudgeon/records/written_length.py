"""A length as prose writes it, such as "about 5.5 thou", "5 1/2 thou", "0,14 mm" or "5 to 6 thou", and what sizes it holds for."""

import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from gudgeon_calc.units import Measure, NotAQuantity, read_quantity, smallest_step

from gudgeon.records.problems import shown

LONGEST = 80  # characters: what is tied is a number, not a sentence
# How prose writes a unit -> how quantities write it.
UNITS = {
    "in": "in",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "thou": "thou",
    "thousandth": "thou",
    "thousandths": "thou",
    "tenth": "tenths",
    "tenths": "tenths",
    "mm": "mm",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
    "µm": "µm",
    "um": "µm",
    "micron": "µm",
    "microns": "µm",
    "micrometre": "µm",
    "micrometres": "µm",
    "micrometer": "µm",
    "micrometers": "µm",
}
# The words that may stand beside the number. What else stands there could turn what it says: "under", "not", "a side".
ABOUT = "about around roughly approximately circa ca some nearly just only still exactly between"
NAMED = "a an the of is was at clearance gap play size diameter ovality oval taper"
TIGHT = ("interference", "press", "squeeze", "nip", "tight")
BESIDE = frozenset((*ABOUT.split(), *NAMED.split(), *TIGHT))
_NUMBER = r"(?:[0-9]{1,4}[ -][0-9]{1,3}/[0-9]{1,3}|[0-9]{1,3}/[0-9]{1,3}|[0-9]{1,6}(?:[.,][0-9]{1,8})?|[.,][0-9]{1,8})"
_UNIT = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_LENGTH = re.compile(
    rf"(?P<before>[^0-9.,+\-−]*)(?P<sign>[+\-−]?) ?(?P<low>{_NUMBER})(?: ?(?P<own>{_UNIT}))?"
    rf"(?: ?(?:to|and|–|-) ?(?P<high>{_NUMBER}))? ?(?P<unit>{_UNIT})(?![a-zµ])(?P<after>[^0-9]*)",
    re.IGNORECASE,
)
EXAMPLE = '"5.5 thou", "4.2456 in", "0.14 mm" or "5 to 6 thou"'


class NotALength(ValueError):
    """What is tied to a size or fit cannot be read as one length; the message says what to write instead."""


@dataclass(frozen=True)
class WrittenLength:
    """One length, or from one to another, as it was written.

    tight: whether the words call it an interference, or None where they say neither. minus: whether it was written with a sign.
    """

    low: Measure
    high: Measure
    tight: bool | None = None
    minus: bool = False

    def holds(self, mm: float) -> bool:
        """Whether a size in mm, rounded to the digits that were written, is what was written."""
        return self.low.value <= _rounded(mm, self.low) and _rounded(mm, self.high) <= self.high.value

    def holds_as_interference(self, mm: float) -> bool:
        """The same of a clearance in mm that was written down as so much interference."""
        return self.holds(-mm)

    @property
    def nought(self) -> bool:
        """Whether nothing but nought was written: neither a clearance nor an interference."""
        return self.low.value == self.high.value == 0


def read_written(text: str) -> WrittenLength:
    """Read the words of a tied number. Raises NotALength with the way to write it."""
    plain = " ".join("".join(_spelled_out(sign) for sign in text[: 2 * LONGEST]).split())
    if len(plain) > LONGEST:
        raise NotALength(f"a tied number is short: write the number with its unit alone, like {EXAMPLE}.")
    plain = re.sub(r"thousandths? of an inch", "thou", plain, flags=re.IGNORECASE)
    plain = re.sub(r"out[ -]of[ -]round", "ovality", plain, flags=re.IGNORECASE)
    match = _LENGTH.fullmatch(plain)
    if match is None:
        if re.fullmatch(rf"[^0-9]*[+\-−]?{_NUMBER}[^0-9a-zµ\"]*", plain, re.IGNORECASE):
            raise NotALength(f"a tied number needs its unit. Found {shown(plain)!r}. Write it like {EXAMPLE}.")
        raise NotALength(f"expected a number with its unit. Found {shown(plain)!r}. Write it like {EXAMPLE}.")
    beside = re.findall(r"[^\s()~≈]+", f"{match['before']} {match['after']}".lower())
    words = [word.strip(".,;:") for word in beside]
    negative = match["sign"] in ("-", "−") or (words.count("minus") == 1 and match["before"].lower().strip() == "minus")
    unclear = next((word for word in words if word and word not in BESIDE and not (word == "minus" and negative)), None)
    if unclear is not None:
        raise NotALength(
            f'"{shown(unclear)}" may turn what the number says. Tie the number with its unit alone, like {EXAMPLE}.'
        )
    unit = UNITS[match["unit"].lower()]
    if match["own"] and UNITS[match["own"].lower()] != unit:
        raise NotALength(f"both ends of a range have one unit. Found {shown(plain)!r}. Write it like {EXAMPLE}.")
    if match["high"] and negative:
        raise NotALength(
            f"a range is written without a sign. Found {shown(plain)!r}. Say which it is in words: interference."
        )
    low = _measure(match["low"], unit, negative)
    high = _measure(match["high"], unit, negative) if match["high"] else low
    if low.value > high.value:
        raise NotALength(f"a range goes from the less to the more. Found {shown(plain)!r}. Write it like {EXAMPLE}.")
    tight = True if any(word in TIGHT for word in words) else False if "clearance" in words else None
    if tight and negative:
        raise NotALength(f"an interference has no sign. Found {shown(plain)!r}. Write the one or the other.")
    return WrittenLength(low, high, tight, negative)


def _measure(number: str, unit: str, negative: bool) -> Measure:
    number = number.replace("-", " ")
    whole, comma, part = number.partition(",")
    if comma:
        if len(part) == 3 and whole.strip("0"):
            raise NotALength(f'"{number}" could be {whole}.{part} or {whole}{part}. Write a point: {whole}.{part}.')
        number = f"{whole}.{part}"
    try:
        return read_quantity(f"{'-' if negative else ''}{number} {unit}", "length")
    except NotAQuantity as error:
        raise NotALength(str(error)) from None


def _rounded(mm: float, written: Measure) -> Fraction:
    """A size in mm to the step of the last digit that was written, halves up, as sizes are shown."""
    step = smallest_step(written)
    # Six places below the step are what binary fractions leave; they decide nothing.
    steps = Decimal(repr(round(mm / float(step), 6))).quantize(Decimal(1), rounding=ROUND_HALF_UP)
    return Fraction(steps) * step


def _spelled_out(sign: str) -> str:
    """A sign such as ½ as 1/2 behind a space, other marks of an inch and other spaces as the plain ones."""
    if unicodedata.decomposition(sign).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKD", sign).replace("\u2044", "/")
    return {"″": '"', "”": '"', "“": '"', "\u00a0": " ", "\u2009": " ", "\u202f": " ", "μ": "µ"}.get(sign, sign)
