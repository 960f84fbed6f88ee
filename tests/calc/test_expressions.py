"""Expressions of rules: what they give, what they refuse and where, and that nothing in them runs away."""

import random
from fractions import Fraction

import pytest
from gudgeon_calc.expressions import DEEPEST, CannotWorkOut, NotAnExpression, read_expression

FIGURES = {
    "size": 92.5,
    "bore": 92.5,
    "stroke": 110.0,
    "rod": 220.0,
    "speed": 600.0,
    "expansion_hole": 11e-6,
    "expansion_shaft": 20.5e-6,
}


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.001 * size", 0.0925),
        ("0.0015 * size + 1 thou", 0.0015 * 92.5 + 0.0254),
        ("0.001*size+5 tenths", 0.0925 + 5 * 0.00254),
        ("size * expansion_shaft * 120 K", 92.5 * 20.5e-6 * 120),
        ("size × (expansion_shaft − expansion_hole) × 100 K", 92.5 * 9.5e-6 * 100),
        ("max(2 thou, 0.0001 * bore)", 0.0508),
        ("min(size, stroke) ÷ 1000", 0.0925),
        ("sqrt(size * 1 mm) / 100", 92.5**0.5 / 100),
        ("-(1 in - 2 in)", 25.4),
        ("size ^ 2 / stroke / 1000", 92.5**2 / 110 / 1000),
        ("size**2/stroke/1000", 92.5**2 / 110 / 1000),
        ("abs(size - stroke)", 17.5),
        ("stroke * speed / 600 rpm / 1000", 0.11),
        ("2 * 3 mm + 4 * (5 mm - 1 mm)", 22),
        ("10 mm / 4 / 5", 0.5),
        ("10 mm - 4 mm - 5 mm", 1),
    ],
)
def test_what_it_gives(text, mm):
    assert read_expression(text).value(FIGURES) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says", "at"),
    [
        ("size / 0", "divides by nought", 6),
        ("size / (2 - 2)", "divides by nought", 6),
        ("size * size / (bore - bore)", "divides by nought", 13),
        ("1 in + 2", "give both the same unit", 6),
        ("size + speed", '"+" between a length and a speed', 6),
        ("max(1 in, 2)", "unlike quantities", 1),
        ("0.001", "a rule gives a length; this gives a plain number", 1),
        ("size * bore", "a rule gives a length; this gives an area", 1),
        ("0.001 * wear", 'no quantity "wear". Known: size, bore', 9),
        ("size ^ 1000000", "whole number up to 4", 8),
        ("size ^ 0.5", "for a root write sqrt", 8),
        ("size ^ 2 ^ 2", "one exponent is enough", 10),
        ("9**9**9**9", "whole number up to 4", 4),
        ("(" * 1000 + "size" + ")" * 1000, "at most 200 characters", 201),
        ("(" * 50 + "size" + ")" * 50, f"at most {DEEPEST} deep", DEEPEST + 2),
        ("+".join(["1mm"] * 45), "at most 120 words", 161),
        ("2 size", 'write "*" between them', 3),
        ("size *", "is missing", 7),
        ("(size", 'expected ")"', 6),
        ("(size, 2 mm)", 'expected ")", found ","', 6),
        ("size)", "does not belong here", 5),
        ("sqrt(size, bore)", "takes one value", 1),
        ("sin(size)", 'no function "sin"', 1),
        ("0.001 * size * sqrt(1 - 2)", "root of a negative", 16),
        ("__import__('os')", "is no part of an expression", 12),
        ("size.__class__", "is no part of an expression", 5),
        ("size; 1", "is no part of an expression", 5),
        ("size if 1", "does not belong here", 6),
        ("lambda: 0", "is no part of an expression", 7),
        ("size * 99999999 * 99999999", "beyond all measure", 1),
        ("", "is missing", 1),
    ],
)
def test_what_it_refuses_and_where(text, says, at):
    with pytest.raises(NotAnExpression, match=".*") as error:
        read_expression(text)
    assert says in str(error.value) and error.value.at == at, str(error.value)


def test_figures_that_are_not_there_or_do_not_work():
    rule = read_expression("1 mm * bore / (stroke - 110 mm)")
    with pytest.raises(CannotWorkOut, match="divides by nought"):
        rule.value(FIGURES)
    assert rule.value(FIGURES | {"stroke": 120.0}) == pytest.approx(9.25)
    with pytest.raises(CannotWorkOut, match="stroke is not known"):
        rule.value(FIGURES | {"stroke": None})


def made_up(chance: random.Random, depth: int) -> tuple[str, Fraction]:
    """A random expression of plain numbers and its value by exact fractions, worked out apart from the reader."""
    if depth == 0 or chance.random() < 0.2:
        number = chance.randint(1, 99)
        return str(number), Fraction(number)
    left, right = made_up(chance, depth - 1), made_up(chance, depth - 1)
    sign = chance.choice("+-*/")
    if sign == "/" and right[1] == 0:
        sign = "+"
    value = {"+": left[1] + right[1], "-": left[1] - right[1], "*": left[1] * right[1]}.get(sign)
    return f"({left[0]} {sign} {right[0]})", left[1] / right[1] if value is None else value


def test_random_arithmetic_against_exact_fractions():
    for seed in range(200):
        text, value = made_up(random.Random(seed), 4)
        whole = f"{text} * 0.000001 mm"
        if len(whole) > 200 or abs(value) > 10**9:
            continue
        assert read_expression(whole).value({}) == pytest.approx(float(value) * 1e-6, rel=1e-9, abs=1e-15), whole


PIECES = [
    "size",
    "bore",
    "(",
    ")",
    "+",
    "-",
    "*",
    "/",
    "^",
    ",",
    "2",
    "0",
    "1.5",
    "in",
    "thou",
    "K",
    "sqrt",
    "max",
    " ",
    "é",
    "'",
    "\\",
    "0x1",
    "e9",
    "\n",
    "**",
]


def test_no_text_makes_it_raise_anything_else():
    for seed in range(300):
        chance = random.Random(seed)
        text = "".join(chance.choice(PIECES) for _ in range(chance.randint(0, 60)))
        try:
            read_expression(text).value(FIGURES)
        except (NotAnExpression, CannotWorkOut):
            continue
        except Exception as fault:
            raise AssertionError(f"{text!r} makes it raise") from fault
