"""How long a member's bad expression takes to refuse: the slowest of hostile and random texts.

python tests/benchmarks/expressions.py
"""

import contextlib
import random
import time

from gudgeon_calc.expressions import CannotWorkOut, NotAnExpression, read_expression

HOSTILE = [
    "size / 0",
    "size + 1",
    "0.001 * wear",
    "(" * 1000 + "size" + ")" * 1000,
    "(" * 90 + "size" + ")" * 90,
    "size ^ 1000000",
    "9**9**9**9",
    "-" * 200,
    "max(" * 40 + "size" + ")" * 40,
    "((((size^4)^4)^4)^4)^4",
    "1mm+" * 50,
]
PIECES = ["size", "(", ")", "+", "-", "*", "/", "^", ",", "2", "1.5", "in", "sqrt", "max", " ", "**"]


def seconds(text: str) -> float:
    began = time.perf_counter()
    with contextlib.suppress(NotAnExpression, CannotWorkOut):
        read_expression(text).value({"size": 92.5})
    return time.perf_counter() - began


chance = random.Random(1)
drawn = ["".join(chance.choice(PIECES) for _ in range(chance.randint(1, 90))) for _ in range(20_000)]
for name, texts in (("hostile", HOSTILE), ("random", drawn)):
    slowest = max((seconds(text), text) for text in texts)
    print(f"{name}: slowest of {len(texts)} took {1000 * slowest[0]:.2f} ms: {slowest[1][:60]}")
