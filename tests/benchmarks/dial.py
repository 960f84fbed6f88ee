"""How often the last cut passes the scrap limit where a risk of 5 % is stated, by simulation: python tests/benchmarks/dial.py [builds]"""

import sys
from pathlib import Path

import numpy as np
from gudgeon_calc.at_the_lathe import landing_shift
from gudgeon_calc.cutting import cut_law

sys.path.insert(0, str(Path(__file__).parent.parent))
from last_cuts import share_past_scrap

RISK, SLOPE, OFFSET, SCATTER, ROOM = 0.05, 0.96, -0.01, 0.004, 0.25  # mm; room: true metal to the scrap limit


def chance_of_passing(cuts: int, reading: float, draws: int, seed: int = 7) -> float:
    """Share of draws in which the aimed cut goes past the limit.

    cuts: how many teach the dial. reading: standard uncertainty of the size, mm.
    """
    chance = np.random.default_rng(seed + cuts)
    passed = 0
    for _ in range(draws):
        asked = np.linspace(0.05, 0.5, cuts) + chance.uniform(0, 0.05, cuts)  # a builder goes from rough to fine
        law = cut_law(asked, SLOPE * asked + OFFSET + chance.normal(0, SCATTER, cuts))
        read = ROOM + chance.normal(0, reading)
        take = read
        for _ in range(30):  # the shift rests on the depth of the cut, and the depth on the shift
            take, before = read - landing_shift(RISK, law, law.ask(take), reading), take
            if abs(take - before) < 1e-6:
                break
        passed += SLOPE * law.ask(take) + OFFSET + chance.normal(0, SCATTER) > ROOM
    return passed / draws


if __name__ == "__main__":
    print("cuts   the cut alone   with a reading of half the scatter, of the scatter, of twice the scatter")
    for count in (3, 4, 5, 8, 15):
        shares = [chance_of_passing(count, times * SCATTER, 20_000) for times in (0, 0.5, 1, 2)]
        print(f"{count:4}   " + "   ".join(f"{100 * share:6.2f} %" for share in shares))
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    print(f"\nby the whole product, {draws} builds each")
    for count in (3, 5, 8):
        shares = [share_past_scrap(RISK, count, scatter, draws) for scatter in (0.002, 0.006)]
        print(f"{count:4}   scatter 2 µm {100 * shares[0]:5.2f} %   6 µm {100 * shares[1]:5.2f} %", flush=True)
