"""What is due, in words: the same on pages, in the terminal and in calendars."""

from gudgeon.assess.findings import DueFinding
from gudgeon.notes import in_words
from gudgeon.wording import UnitFormatter, minutes, upper_first

MARKS = {"overdue": "✕", "due": "!", "coming": "●", "not yet": "○"}


def when(due: DueFinding) -> str:
    """On which day or after how many hours of running it is due."""
    if due.state == "not yet":
        return f"at {minutes(due.at)} of running; they count once {due.counts_from} is done"
    words = [due.day] if due.day else []
    words += [f"at {minutes(due.at)} of running, of which {minutes(due.run)} are run"] if due.at is not None else []
    return " or ".join(words)


def says(due: DueFinding, fmt: UnitFormatter) -> str:
    """What is due, as a sentence without its full stop."""
    return upper_first(in_words(due.says, fmt))


def line(due: DueFinding, fmt: UnitFormatter) -> str:
    """The whole in a line of the terminal."""
    return f"{MARKS[due.state]} {due.state}: {says(due, fmt)}: {when(due)}"
