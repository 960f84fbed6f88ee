"""How long the outlook of a large plan takes: 1,000 operations.

python tests/benchmarks/outlook.py
"""

import random
import time

from gudgeon_calc.estimates import draws_for, outlook
from gudgeon_calc.schedule import Hands, Job

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
forecast = outlook(jobs, [Hands(7 / 360)])
print(
    f"{len(jobs)} operations, {draws_for(len(jobs))} draws: {time.perf_counter() - began:.2f} s; 50 and 80 percent {forecast.days[0]:.0f} and {forecast.days[1]:.0f} days"
)
