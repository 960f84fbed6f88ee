"""Draws what long lists in records cost: seconds and megabytes for 1,000, 2,000, 4,000 and 8,000 entries, and the exponent.

    .venv/bin/python tests/benchmarks/lists.py [LIST ...] [--most N] [--whole]      (all lists where none is named)

With --whole the ledger, the review against a build without the list, and the pages come to it.

An exponent of 1 is cost in step with the input, 2 is its square. A benchmark: it measures, it does not pass or fail;
tests/records/test_cost_of_lists.py holds some of it by counting calls.
"""

import argparse
import math
import resource
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from fuzz.whole_builds import Files, Folder, base
from gudgeon.assess.build import assess, assess_with_inputs
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon.ledger.values import ledger_of
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.page import Renderer
from gudgeon.pages.site import OF_A_BUILD
from gudgeon.pages.view import View
from gudgeon.records.edits import edits_of_build
from gudgeon.records.model import Build
from gudgeon.review.as_text import slip_text
from gudgeon.review.compare import slip_of
from small_build import shelf

SIZES = (1000, 2000, 4000, 8000)
ESTIMATE = ["10 min", "20 min", "30 min"]
TURN = {"part": "piston", "does": "x"}
VERDICT = {"date": "2025-02-05", "who": "ada"}


def _operations(entries: dict[str, Any]) -> Files:
    files = base("small")
    files["operations.yaml"]["operations"] |= entries
    return files


def names_of_no_operation(count: int) -> Files:
    """One operation that needs so many that do not exist."""
    return _operations({"X": {**TURN, "needs": [f"Y-{number}" for number in range(count)]}})


def operations_with_names_of_none(count: int) -> Files:
    """So many operations, each of which needs one that does not exist."""
    return _operations({f"X-{number}": {**TURN, "needs": [f"Y-{number}"]} for number in range(count)})


def unknown_keys(count: int) -> Files:
    """So many keys that no record has."""
    return _operations({"X": {**TURN, **{f"key-{number}": "x" for number in range(count)}}})


def operations(count: int) -> Files:
    """Operations side by side."""
    return _operations({f"X-{number}": {**TURN, "estimate": ESTIMATE} for number in range(count)})


def chain_of_operations(count: int) -> Files:
    """Operations of which each needs the one before."""
    return _operations(
        {
            f"X-{number}": {**TURN, "estimate": ESTIMATE, "needs": [f"X-{number - 1}"] * bool(number)}
            for number in range(count)
        }
    )


def stations(count: int) -> Files:
    """A bore read at so many stations."""
    files = base("small")
    file = files["readings/2025-02-02-bore.yaml"]
    row = file["rows"][0]
    file["rows"] = [{**row, "id": f"r{number}", "station": f"{100 * number / count:.4f} mm"} for number in range(count)]
    return files


def rows_of_one_place(count: int) -> Files:
    """Readings of one place, each of which puts the one before right."""
    files = base("small")
    file = files["readings/2025-02-04-skirt.yaml"]
    row = file["rows"][0]
    file["rows"] = [
        {**row, "id": f"s{number}", **({"supersedes": f"s{number - 1}"} if number else {})} for number in range(count)
    ]
    return files


def fits(count: int) -> Files:
    """Fits of one pair."""
    files = base("small")
    held = files["fits.yaml"]["fits"]
    held |= {f"G{number}": dict(held["F1"]) for number in range(count)}
    return files


def chain_of_features(count: int) -> Files:
    """Features of which each depends on the one before."""
    files = base("small")
    files["parts/piston.yaml"]["features"] |= {
        f"f{number}": {
            "name": "x",
            "kind": "od",
            "nominal": "40 mm",
            "depends_on": [f"piston.f{number - 1}"] * bool(number),
        }
        for number in range(count)
    }
    return files


def cuts(count: int) -> Files:
    """Cuts of one feature."""
    files = base("small")
    lathe = {
        "name": "l",
        "speeds": ["100 rpm"],
        "feeds": ["0.1 mm"],
        "dial_reads": "radius",
        "dial_division": "0.02 mm",
    }
    cut = {"date": "2025-02-03", "of": "piston.skirt", "machine": "l", "asked": "0.1 mm", "tool": "t", "feed": "0.1 mm"}
    files["machines.yaml"] = {"machines": {"l": lathe}}
    files["cuts.yaml"] = {"cuts": [{"id": f"c{number}", **cut} for number in range(count)]}
    return files


def chain_of_instruments(count: int) -> Files:
    """Instruments of which each is set in the one before."""
    files = base("small")
    held = files["instruments.yaml"]["instruments"]
    held |= {
        f"g{number}": {**held["gauge"], "scale_from": f"g{number - 1}" if number else "mic"} for number in range(count)
    }
    return files


def withdrawn_verdicts(count: int) -> Files:
    """Verdicts, each of them withdrawn."""
    files = base("small")
    said = [
        {"id": f"v{number}", **VERDICT, "verdict": "agreed", "says": "x", "about": ["F1"]} for number in range(count)
    ]
    taken = [{"id": f"w{number}", **VERDICT, "withdraws": f"v{number}", "because": "x"} for number in range(count)]
    files["reviews.yaml"] = {"reviews": said + taken}
    return files


LISTS: dict[str, Callable[[int], Files]] = {
    make.__name__: make
    for make in (
        names_of_no_operation,
        operations_with_names_of_none,
        unknown_keys,
        operations,
        chain_of_operations,
        stations,
        rows_of_one_place,
        fits,
        chain_of_features,
        cuts,
        chain_of_instruments,
        withdrawn_verdicts,
    )
}


def _whole(build: Build) -> None:
    """The ledger, the review and the pages of a build."""
    findings, inputs = assess_with_inputs(build, shelf())
    ledger_of(findings)
    was = Folder().load(base("small"))
    pair = Pair(build.id, was, build, assess(was, shelf()), findings)
    pair.edits = edits_of_build(was, build)
    slip_text(slip_of(Comparison("before", "after", shelf(), shelf(), [lambda: pair], files=1)))
    view = View(build, findings, shelf(), Renderer(Bibliography(shelf().sources), "folders"), None, inputs=inputs)
    for kind, _ in OF_A_BUILD:
        for _ in kind.pages(view):
            pass


def main(names: list[str], most: int, whole: bool) -> None:
    """Prints a line for each list."""
    for name in names:
        line, costs = [], []
        for count in (size for size in SIZES if size <= most):
            folder, files = Folder(), LISTS[name](count)
            began = time.process_time()
            build = folder.load(files)
            if not build.problems:
                assess(build, shelf())
                if whole:
                    _whole(build)
            costs.append((count, time.process_time() - began))
            line.append(f"{count}: {costs[-1][1]:.2f} s")
            if costs[-1][1] > 30:
                break
        (few, cheap), (many, dear) = costs[0], costs[-1]
        exponent = f"exponent {math.log(dear / cheap) / math.log(many / few):.1f}" if many > few else ""
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        print(f"{name}: {', '.join(line)}; {exponent}; {memory} MB at most so far", flush=True)


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("lists", nargs="*", metavar="LIST", help=", ".join(LISTS))
    asked.add_argument("--most", type=int, default=SIZES[-1])
    asked.add_argument("--whole", action="store_true", help="ledger, review and pages too")
    given = asked.parse_args()
    main(given.lists or list(LISTS), given.most, given.whole)
