"""Records of one kind that lead back to themselves."""

from collections.abc import Callable, Mapping
from graphlib import CycleError, TopologicalSorter

from gudgeon.records.problems import Problems, Where


def report_circle(
    graph: Mapping[str, set[str]], what: str, leads: str, where: Callable[[str], Where], problems: Problems
) -> None:
    """Tell one circle of a graph, at its first record by name. what: what is wrong; leads: how one leads to the next."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        ring = error.args[1][:-1]
        start = ring.index(min(ring))
        ring = ring[start:] + ring[:start]
        # graphlib names them from the last to the first; people read it the other way round.
        words = f" {leads} ".join([ring[0], *reversed(ring[1:]), ring[0]])
        problems.add(where(ring[0]), ring[0], f"{what}: {words}. Take one of them out.")
