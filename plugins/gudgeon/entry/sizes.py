"""The forms in which a length is typed by hand: 4.2559, 1 51/64, 107.998mm, 4 1/4 +5.9t, +6 tenths from 4.2550."""

import re
from fractions import Fraction

from gudgeon_calc.units import INCH, Measure, NotAQuantity, read_quantity

from gudgeon.records.problems import shown

NUMBER = re.compile(r"([0-9]{1,6}(?:\.[0-9]{1,8})?|\.[0-9]{1,8})(in|mm|thou|µm|um)?")
COMMA = re.compile(r"([0-9]{1,6}),([0-9]{1,8})(in|mm|thou|µm|um)?")
FRACTION = re.compile(r"([0-9]{1,4})/([0-9]{1,4})(in)?")
OFFSET = re.compile(r"([+\-−])([0-9]{1,4}(?:\.[0-9]{1,3})?)(t|tenths?|thou)?")
STEPS = ("t", "tenth", "tenths", "thou")  # of an inch, behind an offset
UNITS = ("in", "mm", "thou", "µm", "um")


class NotClear(ValueError):
    """The line cannot be taken as it stands; the message says what to write instead."""


class Words:
    """The words of a line, taken from the front."""

    def __init__(self, words: list[str]):
        self.left = words

    def peek(self, at: int = 0) -> str | None:
        return self.left[at] if at < len(self.left) else None

    def take(self) -> str:
        return self.left.pop(0)


def take_size(words: Words, units: str, what: str) -> tuple[Measure, str | None]:
    """One length from the front of the words, and what was typed where the file cannot keep it so."""
    word = words.take()
    comma = COMMA.fullmatch(word)
    if comma:
        if len(comma[2]) == 3:
            raise NotClear(
                f'"{word}" could be {comma[1]}.{comma[2]} or {comma[1]}{comma[2]}. Write a point: {comma[1]}.{comma[2]}.'
            )
        word = f"{comma[1]}.{comma[2]}{comma[3] or ''}"
    offset = OFFSET.fullmatch(word)
    if offset:
        return _offset_from(words, units, offset, word)
    number, over = NUMBER.fullmatch(word), FRACTION.fullmatch(word)
    start = [word]
    after = FRACTION.fullmatch(words.peek() or "")
    if number and after and number[2] is None and "." not in number[1]:
        over = after
        start.append(words.take())
        text, unit = f"{number[1]} {over[1]}/{over[2]}", over[3]
    elif over:
        text, unit = f"{over[1]}/{over[2]}", over[3]
    elif number:
        text, unit = number[1], number[2]
    else:
        raise NotClear(
            f"expected a {what}. Found {shown(word)!r}. Write it like 4.2559, 1 51/64, 107.998mm or 4 1/4 +5.9t."
        )
    if unit is None and words.peek() in UNITS:
        unit = words.take()
    if unit is None and (words.peek() or "") in ("tenth", "tenths", "t"):
        tenths = words.take()
        raise NotClear(
            f'"{text} {tenths}" could be {_decimal(Fraction(text) * Fraction(1, 10000))} in (tenths of a thou) or a tenth of a unit. '
            f"Write it out: {_decimal(Fraction(text) * Fraction(1, 10000))}in."
            if "/" not in text
            else f'"{text} {tenths}": write it out in inches.'
        )
    if unit is None and over and units == "mm":
        raise NotClear(f'"{text}" is a fraction, and this build is in millimetres. Write its unit: {text}in.')
    measure = _measure(f"{text} {unit or units}")
    add = OFFSET.fullmatch(words.peek() or "")
    if add and what == "reading":
        start.append(words.take())
        if add[3] is None and words.peek() in STEPS:
            start.append(words.take())
            add = OFFSET.fullmatch("".join(start[-2:])) or add
        typed = " ".join(start)
        by = _by(add, typed)
        if not measure.inches:
            raise NotClear(f'"{typed}": tenths and thou are of an inch, and {measure} is not in inches.')
        total = measure.value + by
        return _measure(f"{_decimal(total / INCH)} in"), typed
    return measure, None


def _offset_from(words: Words, units: str, offset: re.Match, word: str) -> tuple[Measure, str]:
    """`+6 tenths from 4.2550`."""
    typed = [word]
    unit = offset[3]
    if unit is None and words.peek() in STEPS:
        unit = words.take()
        typed.append(unit)
    if unit is None or words.peek() != "from":
        raise NotClear(f'"{" ".join(typed)}" of what? Write it like "+6 tenths from 4.2550", or "4.2550 +6t".')
    words.take()
    if words.peek() is None:
        raise NotClear(f'"{" ".join(typed)} from" what? Write it like "+6 tenths from 4.2550".')
    before = list(words.left)
    base, _ = take_size(words, units, "size")
    typed += ["from", *before[: len(before) - len(words.left)]]
    if not base.inches:
        raise NotClear(f'"{" ".join(typed)}": tenths and thou are of an inch, and {base} is not in inches.')
    step = Fraction(offset[2]) * (INCH / 1000 if unit == "thou" else INCH / 10000)
    total = base.value + (step if offset[1] == "+" else -step)
    return _measure(f"{_decimal(total / INCH)} in"), " ".join(typed)


def _by(offset: re.Match, typed: str) -> Fraction:
    """An offset in mm."""
    if offset[3] is None:
        raise NotClear(f'"{typed}": tenths or thou? Write +{offset[2]}t for tenths, +{offset[2]}thou for thou.')
    step = Fraction(offset[2]) * (INCH / 1000 if offset[3] == "thou" else INCH / 10000)
    return step if offset[1] == "+" else -step


def _measure(text: str) -> Measure:
    try:
        return read_quantity(text, "length")
    except NotAQuantity as error:
        raise NotClear(str(error)) from None


def _decimal(value: Fraction) -> str:
    """An exact decimal, as short as it is; a fraction that has none to eight places is refused."""
    text = f"{float(value):.8f}"
    if Fraction(text) != value:
        raise NotClear(f"{value} of an inch has no short decimal. Write the reading as a decimal.")
    return text.rstrip("0").removesuffix(".")
