"""What all commands share: exit statuses, colour where a terminal has it, progress, errors told to people."""

import os
import sys
from contextlib import contextmanager
from typing import NoReturn

import click

from gudgeon.records.problems import seen_lines

# Exit statuses, told in the manual and in --help.
WELL, TROUBLE, WORDS_OFF, LACKS = 0, 1, 2, 3
STATUSES = {
    WELL: "all well",
    TROUBLE: "something has to be put right: problems in records, a reading edited, an input refused",
    WORDS_OFF: "the command's words are off",
    LACKS: "something is not here: no git repository, history cut off, a file or an address that cannot be reached",
}
_COLOURS = {
    "bad": {"fg": "red", "bold": True},
    "look": {"fg": "yellow", "bold": True},
    "good": {"bold": True},
    "quiet": {"dim": True},
}


def coloured() -> bool:
    """Whether the screen is a terminal that wants colour (NO_COLOR says it does not)."""
    return sys.stdout.isatty() and "NO_COLOR" not in os.environ and os.environ.get("TERM") != "dumb"


def painter():
    """paint(text, role) for this terminal; plain text where it has no colour."""
    if not coloured():
        return lambda text, role: text
    return lambda text, role: click.style(text, **_COLOURS.get(role, {}))


@contextmanager
def progress(label: str):
    """tell(done, of) that shows a bar on a terminal, on standard error, and nothing elsewhere."""
    shown = sys.stderr.isatty()

    def tell(done: int, of: int) -> None:
        if shown and of > 1:
            click.echo(f"\r{label}: {done} of {of}", nl=False, err=True)

    try:
        yield tell
    finally:
        if shown:
            click.echo("\r" + " " * 60 + "\r", nl=False, err=True)


def leave(status: int, text: str) -> NoReturn:
    """Say why on standard error, and end with a status."""
    click.echo(seen_lines(text), err=True)  # it may quote what a stranger wrote
    raise click.exceptions.Exit(status)
