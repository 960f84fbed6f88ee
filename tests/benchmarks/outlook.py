"""How long the outlook of a large plan takes: 1,000 operations, 10,000 draws.

python tests/benchmarks/outlook.py
"""

import random
import time

from gudgeon_calc.estimates import DRAWS, Job, outlook

chance = random.Random(1)
jobs = [
    Job(
        30,
        60,
        120 + chance.random() * 60,
        chance.choice([0, 0, 0, 7]),
        tuple({chance.randrange(i) for _ in range(2)} if i else ()),
    )
    for i in range(1000)
]
began = time.perf_counter()
found = outlook(jobs, 1.2, 7 / 360)
print(
    f"{len(jobs)} operations, {DRAWS} draws: {time.perf_counter() - began:.2f} s; 50 and 80 percent {found.days[0]:.0f} and {found.days[1]:.0f} days"
)
