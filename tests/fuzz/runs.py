"""Runs the inputs of a target one after the other, and keeps the smallest case of each fault."""

import json
import math
import time
from collections import Counter
from pathlib import Path
from typing import Any, Protocol


class Target(Protocol):
    """Something that draws inputs by their seeds and says what does not hold of one. counts: how the inputs ended."""

    counts: Counter[str]

    def draw(self, seed: int) -> Any:
        """The input of a seed; it is kept by its `as_json`. None where the seed gives none."""
        ...

    def faults(self, case: Any) -> list[str]:
        """What does not hold of an input, in words that are the same for the same fault."""
        ...

    def smallest(self, case: Any, fault: str) -> Any:
        """An input no larger that shows the same fault."""
        ...

    def read(self, kept: str) -> Any:
        """An input as it was kept."""
        ...


def run(
    target: Target,
    inputs: int,
    seed: int,
    keep: Path | None = None,
    seconds: float = math.inf,
    tally: Path | None = None,
) -> dict[str, Any]:
    """Runs so many inputs from a seed on; what was found, each fault once with its smallest case.

    keep: where they are put. seconds: after which it ends. tally: a file to which a line with what was run is added.
    """
    found, began, number = dict[str, Any](), time.monotonic(), seed
    for number in range(seed, seed + inputs):
        if time.monotonic() - began > seconds:
            break
        try:
            case = target.draw(number)
        except Exception:  # an edit of what the edits before it left nothing of
            case = None
        if case is None:
            target.counts["not drawn"] += 1
            continue
        for fault in target.faults(case):
            if fault not in found:
                found[fault] = target.smallest(case, fault)
                print(f"seed {number}: {fault}\n    {found[fault]}"[:600], flush=True)
                if keep:
                    keep.mkdir(parents=True, exist_ok=True)
                    kept = found[fault].as_json(fault)
                    (keep / f"seed-{number}-{len(found)}.json").write_text(kept, encoding="utf-8")
    took = time.monotonic() - began
    print(f"{dict(target.counts)}: {len(found)} faults in {took:.0f} s", flush=True)
    if tally:
        line = {"target": type(target).__name__, "seed": seed, "last": number, **target.counts}
        with tally.open("a", encoding="utf-8") as file:
            file.write(json.dumps({**line, "faults": sorted(found), "seconds": round(took)}) + "\n")
    return found
