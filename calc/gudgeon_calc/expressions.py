"""Expressions in rules of thumb: a small arithmetic grammar with units, checked for dimensions, and bounded.

Members' text is untrusted. It is read by this reader alone, never by Python or by a unit library, and what it may do is
fixed here: + − * / and ^ with a small whole exponent, brackets, min, max, sqrt and abs, numbers with or without a unit,
and the names in `NAMES`. Lengths are reckoned in mm, temperatures differences in K, times in minutes.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, cast

from gudgeon_calc.units import QUANTITY_KINDS, unit


class Dimension(NamedTuple):
    """Powers of length, temperature and time."""

    length: float = 0
    temperature: float = 0
    time: float = 0

    def __str__(self) -> str:
        words = {
            NUMBER: "a plain number",
            LENGTH: "a length",
            Dimension(2): "an area",
            Dimension(3): "a volume",
            TEMPERATURE: "a temperature difference",
            SPEED: "a speed",
            EXPANSION: "an expansion per kelvin",
        }
        parts = [f"{name}^{power:g}" for name, power in zip(self._fields, self, strict=True) if power]
        return words.get(self) or "a quantity in " + " · ".join(parts)


NUMBER, LENGTH, TEMPERATURE = Dimension(), Dimension(1), Dimension(temperature=1)
SPEED, EXPANSION = Dimension(time=-1), Dimension(temperature=-1)


def _dimension(unit_name: str) -> Dimension:
    """The powers of a unit."""
    powers = cast(dict[str, float], dict(unit(unit_name).dimensionality))
    return Dimension(*(powers.get(f"[{name}]", 0) for name in Dimension._fields))


# What a number in an expression may be in -> its factor to the unit of its kind, and its dimension.
UNITS = {
    name: (float(factor), _dimension(kind.unit))
    for kind in QUANTITY_KINDS.values()
    for name, factor in (kind.accepted or {}).items()
    if name in kind.in_expressions
}
# What a rule may count on -> its dimension and what it is.
NAMES = {
    "size": (LENGTH, "the diameter that the rule is for, in the spec"),
    "bore": (LENGTH, "the engine's bore"),
    "stroke": (LENGTH, "the engine's stroke"),
    "rod": (LENGTH, "the rod between centres"),
    "speed": (SPEED, "the engine's governed speed"),
    "expansion_hole": (EXPANSION, "mean expansion of the outer part's material"),
    "expansion_shaft": (EXPANSION, "mean expansion of the inner part's material"),
}
FUNCTIONS = {"min": (1, 8), "max": (1, 8), "sqrt": (1, 1), "abs": (1, 1)}
LONGEST, DEEPEST, MOST_WORDS, LARGEST_POWER = 200, 20, 120, 4
LARGEST = 1e6  # mm; a clearance of a kilometre is no clearance

_WORD = re.compile(
    r"\s*(?:(?P<number>(?:[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})(?![0-9.]))|(?P<name>[A-Za-zµμ_]{1,30}[0-9]?)"
    r"|(?P<sign>\*\*|[-+*/^(),−×·÷]))"
)
_PLAIN = {"−": "-", "×": "*", "·": "*", "÷": "/", "**": "^"}


class NotAnExpression(ValueError):
    """An expression cannot be read. `at`: the character, from 1, that it fails at."""

    def __init__(self, text: str, at: int):
        super().__init__(f"{text} (character {at})")
        self.at = at


class CannotWorkOut(ArithmeticError):
    """An expression has no value for these figures; the message says why."""

    at: int = 1  # the character, counted from 1


@dataclass(frozen=True)
class _Node:
    """One step: what it does, on which steps, where it stands, and what dimension it gives."""

    does: str
    parts: tuple["_Node", ...]
    at: int
    dimension: Dimension
    number: float = 0.0


@dataclass(frozen=True)
class Expression:
    """An expression that has been read and whose dimensions agree. text: as written. names: what it counts on."""

    text: str
    names: frozenset[str]
    _root: _Node

    def value(self, figures: dict[str, float]) -> float:
        """Its value in mm. figures: name -> mm, rpm or 1/K. Raises CannotWorkOut."""
        missing = sorted(name for name in self.names if figures.get(name) is None)
        if missing:
            raise CannotWorkOut(f"{' and '.join(missing)} {'is' if len(missing) == 1 else 'are'} not known here")
        result = _value(self._root, figures)
        if not math.isfinite(result) or abs(result) > LARGEST:
            raise CannotWorkOut("the result is beyond all measure")
        return result


def read_expression(text: str) -> Expression:
    """Read an expression that gives a length, such as `0.0015 * size + 1 thou`.

    text: at most 200 characters, brackets at most 20 deep, exponents at most 4. Raises NotAnExpression with the
    character. Valid: what is read can be worked out in bounded time for any figures.
    """
    if len(text) > LONGEST:
        raise NotAnExpression(f"an expression has at most {LONGEST} characters; this has {len(text)}", LONGEST + 1)
    reader = _Reader(_words(text), len(text) + 1)
    root = reader.sum(0)
    if reader.word.text:
        raise NotAnExpression(f'"{reader.word.text}" does not belong here', reader.word.at)
    if root.dimension != LENGTH:
        raise NotAnExpression(f"a rule gives a length; this gives {root.dimension}", 1)
    expression = Expression(text, frozenset(reader.names), root)
    _try(expression)
    return expression


def _try(expression: Expression) -> None:
    """Work it out for two engines; what fails for both is wrong as written."""
    failed: list[CannotWorkOut] = []
    for factor in (1.0, 1.37):
        figures = {
            "size": 101.3,
            "bore": 103.7,
            "stroke": 149.9,
            "rod": 331.1,
            "speed": 431.0,
            "expansion_hole": 10.7e-6,
            "expansion_shaft": 19.9e-6,
        }
        try:
            expression.value({name: figure * factor for name, figure in figures.items()})
        except CannotWorkOut as error:
            failed.append(error)
    if len(failed) == 2:
        raise NotAnExpression(str(failed[0]), failed[0].at)


class _Word(NamedTuple):
    kind: str
    text: str
    at: int


def _words(text: str) -> list[_Word]:
    words: list[_Word] = []
    at = 0
    while text[at:].strip():
        match = _WORD.match(text, at)
        kind = match.lastgroup if match else None
        if not match or not kind:
            start = at + len(text[at:]) - len(text[at:].lstrip())
            raise NotAnExpression(f'"{text[start : start + 12]}" is no part of an expression', start + 1)
        words.append(_Word(kind, _PLAIN.get(match[kind], match[kind]), match.start(kind) + 1))
        at = match.end()
    if len(words) > MOST_WORDS:
        raise NotAnExpression(f"an expression has at most {MOST_WORDS} words and signs", words[MOST_WORDS].at)
    return words


class _Reader:
    """Reads words into steps by recursive descent; depth is counted, so no text can run away with it."""

    def __init__(self, words: list[_Word], end: int):
        self._words, self._next, self._end = words, 0, end
        self.names: set[str] = set()

    @property
    def word(self) -> _Word:
        return self._words[self._next] if self._next < len(self._words) else _Word("end", "", self._end)

    def _take(self) -> _Word:
        word = self.word
        self._next += 1
        return word

    def _expect(self, text: str) -> None:
        word = self._take()
        if word.text != text:
            raise NotAnExpression(f'expected "{text}"' + (f', found "{word.text}"' if word.text else ""), word.at)

    def sum(self, depth: int) -> _Node:
        if depth > DEEPEST:
            raise NotAnExpression(f"brackets go at most {DEEPEST} deep", self.word.at)
        left = self._product(depth)
        while self.word.kind == "sign" and self.word.text in "+-":
            sign = self._take()
            right = self._product(depth)
            if left.dimension != right.dimension:
                raise NotAnExpression(
                    f'"{sign.text}" between {left.dimension} and {right.dimension}: give both the same unit', sign.at
                )
            left = _Node(sign.text, (left, right), sign.at, left.dimension)
        return left

    def _product(self, depth: int) -> _Node:
        left = self._signed(depth)
        while self.word.kind == "sign" and self.word.text in "*/":
            sign = self._take()
            right = self._signed(depth)
            by = 1 if sign.text == "*" else -1
            dimension = Dimension(*(a + by * b for a, b in zip(left.dimension, right.dimension, strict=True)))
            left = _Node(sign.text, (left, right), sign.at, dimension)
        return left

    def _signed(self, depth: int) -> _Node:
        minus, first = False, self.word
        while self.word.kind == "sign" and self.word.text in "+-":
            minus ^= self._take().text == "-"
        node = self._power(depth)
        return _Node("negative", (node,), first.at, node.dimension) if minus else node

    def _power(self, depth: int) -> _Node:
        base, sign = self._atom(depth), self.word
        if sign.text != "^":
            return base
        self._take()
        minus = self.word.text == "-" and bool(self._take())
        word = self._take()
        if word.kind != "number" or "." in word.text or not 1 <= int(word.text) <= LARGEST_POWER:
            raise NotAnExpression(
                f"an exponent is a whole number up to {LARGEST_POWER}; for a root write sqrt(…)", word.at
            )
        power = -int(word.text) if minus else int(word.text)
        if self.word.text == "^":
            raise NotAnExpression("one exponent is enough", self.word.at)
        return _Node("^", (base,), sign.at, Dimension(*(exponent * power for exponent in base.dimension)), float(power))

    def _atom(self, depth: int) -> _Node:
        word = self._take()
        if word.kind == "number":
            factor, dimension = 1.0, NUMBER
            if self.word.kind == "name" and self.word.text in UNITS and not self._calls():
                factor, dimension = UNITS[self._take().text]
            if self.word.kind in ("name", "number"):
                raise NotAnExpression(f'"{self.word.text}" follows a number: write "*" between them', self.word.at)
            return _Node("number", (), word.at, dimension, float(word.text) * factor)
        if word.text == "(":
            node = self.sum(depth + 1)
            self._expect(")")
            return node
        if word.kind == "name":
            return self._call(word, depth) if self.word.text == "(" else self._name(word)
        raise NotAnExpression("a number, a name or a bracket is missing", word.at)

    def _calls(self) -> bool:
        after = self._words[self._next + 1] if self._next + 1 < len(self._words) else None
        return after is not None and after.text == "("

    def _name(self, word: _Word) -> _Node:
        if word.text not in NAMES:
            raise NotAnExpression(f'no quantity "{word.text}". Known: {", ".join(NAMES)}', word.at)
        self.names.add(word.text)
        return _Node(word.text, (), word.at, NAMES[word.text][0])

    def _call(self, word: _Word, depth: int) -> _Node:
        if word.text not in FUNCTIONS:
            raise NotAnExpression(f'no function "{word.text}". Known: {", ".join(FUNCTIONS)}', word.at)
        self._expect("(")
        parts = [self.sum(depth + 1)]
        while self.word.text == ",":
            self._take()
            parts.append(self.sum(depth + 1))
        self._expect(")")
        least, most = FUNCTIONS[word.text]
        if not least <= len(parts) <= most:
            raise NotAnExpression(
                f"{word.text} takes {least} to {most} values" if most > 1 else f"{word.text} takes one value", word.at
            )
        if any(part.dimension != parts[0].dimension for part in parts):
            raise NotAnExpression(f"{word.text} of unlike quantities: give them the same unit", word.at)
        dimension = parts[0].dimension
        if word.text == "sqrt":
            dimension = Dimension(*(exponent / 2 for exponent in dimension))
        return _Node(word.text, tuple(parts), word.at, dimension)


def _value(node: _Node, figures: dict[str, float]) -> float:
    if node.does == "number":
        return node.number
    if node.does in NAMES:
        return figures[node.does]
    parts = [_value(part, figures) for part in node.parts]
    try:
        return _DO[node.does](node, parts)
    except ZeroDivisionError:
        raise _at(node, "it divides by nought") from None
    except ValueError:
        raise _at(node, "the root of a negative quantity") from None
    except OverflowError:
        raise _at(node, "the result is beyond all measure") from None


def _at(node: _Node, text: str) -> CannotWorkOut:
    error = CannotWorkOut(text)
    error.at = node.at
    return error


_DO: dict[str, Callable[[_Node, list[float]], float]] = {
    "+": lambda node, parts: parts[0] + parts[1],
    "-": lambda node, parts: parts[0] - parts[1],
    "*": lambda node, parts: parts[0] * parts[1],
    "/": lambda node, parts: parts[0] / parts[1],
    "^": lambda node, parts: parts[0] ** node.number,
    "negative": lambda node, parts: -parts[0],
    "min": lambda node, parts: min(parts),
    "max": lambda node, parts: max(parts),
    "sqrt": lambda node, parts: math.sqrt(parts[0]),
    "abs": lambda node, parts: abs(parts[0]),
}
