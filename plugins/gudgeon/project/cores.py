"""Work spread over the cores of this computer, by processes that begin as copies of this one."""

import multiprocessing
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")


class WorkerFailed(Exception):
    """A process of ours failed; the message is what it said."""


def cores() -> int:
    """How many processes may work at once. One where processes cannot begin as copies (not on Linux)."""
    if not sys.platform.startswith("linux"):
        return 1
    return len(os.sched_getaffinity(0))


def spread(work: Callable[[Sequence[Item]], Result], items: Sequence[Item], least: int = 1) -> list[Result]:
    """What work gives for shares of the items, a share a core. What it gives must not depend on how they are shared out.

    It goes from process to process, so it must be plain data. least: items for which beginning a process is worth it.
    Raises WorkerFailed.
    """
    count = min(cores(), max(1, len(items) // least))
    if count <= 1:
        return [work(items)]
    context = multiprocessing.get_context("fork")
    begun = []
    for share in range(1, count):
        ours, theirs = context.Pipe(duplex=False)
        process = context.Process(target=_work, args=(work, items[share::count], theirs), daemon=True)
        process.start()
        theirs.close()
        begun.append((process, ours))
    results = [work(items[::count])]
    for process, ours in begun:
        try:
            failure, result = ours.recv()
        except EOFError:
            raise WorkerFailed(
                "a process that worked on a share ended without a word; was there too little memory?"
            ) from None
        finally:
            process.join()
        if failure:
            raise WorkerFailed(failure)
        results.append(result)
    return results


def _work(work, share, to) -> None:
    try:
        to.send(("", work(share)))
    except BaseException:
        to.send((traceback.format_exc(), None))
    finally:
        to.close()
