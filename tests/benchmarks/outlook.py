"""How long the outlook of a large plan takes: 100 to 1,000 operations, one pair of hands and two, one of them away.

python tests/benchmarks/outlook.py
"""

import random
import time

from gudgeon_calc.estimates import draws_for, outlook
from gudgeon_calc.schedule import Hands, Job

HANDS = {
    "one pair of hands": [Hands(7 / 360)],
    "two": [Hands(7 / 360), Hands(7 / 240)],
    "two, one away": [Hands(7 / 360), Hands(7 / 240, away=((3, 9), (20, 40)))],
}


def plan(count: int) -> list[Job]:
    """Operations at random, each after up to two before it, a quarter with a wait of a week."""
    chance = random.Random(1)
    return [
        Job(
            30,
            60,
            120 + chance.random() * 60,
            chance.choice([0, 0, 0, 7]),
            tuple({chance.randrange(place) for _ in range(2)} if place else ()),
        )
        for place in range(count)
    ]


for count in (100, 300, 1000):
    for words, hands in HANDS.items():
        jobs, began = plan(count), time.perf_counter()
        days = outlook(jobs, hands).days
        print(
            f"{count} operations, {words}, {draws_for(count)} draws: {time.perf_counter() - began:.2f} s; "
            f"50 and 80 percent {days[0]:.0f} and {days[1]:.0f} days"
        )
