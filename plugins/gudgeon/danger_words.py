"""How a danger is said: the same words and the same figures wherever it is shown."""

from collections import Counter
from collections.abc import Iterable, Sequence

from gudgeon.assess.findings import DangerFinding
from gudgeon.notes import in_words
from gudgeon.quantities import limit_text, spread_of, with_range
from gudgeon.wording import UnitFormatter

LEADS = ("past", "may be past")
LEAST_CHANCE = 0.001


def leading(dangers: Iterable[DangerFinding]) -> list[DangerFinding]:
    """The dangers that head a page: those past a limit, then those that may be; of one figure and state each once."""
    of_figure = {}
    for danger in dangers:
        if danger.state in LEADS:
            of_figure.setdefault((danger.calculation, danger.part, danger.state), danger)
    return sorted(of_figure.values(), key=lambda danger: LEADS.index(danger.state))


def danger_tally(dangers: Sequence[DangerFinding]) -> str:
    """How many safety limits there are and what became of each; what was not worked out is never left unsaid."""
    if not dangers:
        return "no figure of it is held against a safety limit"
    counts = Counter(danger.state for danger in dangers)
    planned = sum(1 for danger in dangers if danger.state == "not past" and danger.chance is None)
    said = [
        f"{counts[state]} {words}"
        for state, words in (("past", "broken"), ("may be past", "perhaps broken"), ("not past", "kept"))
        if counts[state]
    ]
    if planned:
        whose = "" if planned == counts["not past"] else f"{planned} of them "
        said[-1] += f" ({whose}worked out from sizes that are planned or only half measured)"
    said += [f"{counts['not worked out']} not worked out"] if counts["not worked out"] else []
    return f"{len(dangers)} safety limit{'s' if len(dangers) != 1 else ''}: " + ", ".join(said)


def danger_head(danger: DangerFinding) -> str:
    """Where it stands to its limit."""
    side = "over" if danger.over else "under"
    if danger.state == "past":
        return f"{side} a safety limit".upper()
    if danger.state == "may be past":
        chance = "" if danger.chance is None else f" ({_chance(danger.chance)})"
        return f"may be {side} a safety limit".upper() + chance
    if danger.state == "not worked out":
        return "Not worked out"
    return "Not past the limit"


def danger_words(danger: DangerFinding, fmt: UnitFormatter) -> str:
    """What it is, with its range and its limit, or what it still needs."""
    gives = danger.gives[:1].lower() + danger.gives[1:]
    if danger.value is None:
        return f"{gives}, needs {'; '.join(in_words(note, fmt) for note in danger.missing)}"
    words = f"{gives} {with_range(fmt, danger.value, danger.kind, spread_of(danger))}"
    words += f", limit {limit_text(fmt, danger.limit, danger.kind, danger.limit_figures)}"
    if danger.state == "past":
        words += f" ({_how_far(danger.value, danger.limit)})"
    if danger.not_read:
        words += "; worked out from sizes that are planned or only half measured"
    if danger.outside:
        words += "; its sum is not known to hold for these numbers"
    if danger.chance is None and danger.state == "not past":
        words += "; how far it may be off is not worked out"
    return words


def danger_line(danger: DangerFinding, fmt: UnitFormatter, whose: Sequence[str] = ()) -> tuple[str, str]:
    """A danger by itself: (its head, what it is and of what). whose: the part, and what that is of, by name; none for a whole engine."""
    of_what = f" ({' of '.join(whose)})" if whose else ""
    return f"{danger_head(danger)}:", f"{danger_words(danger, fmt)}{of_what}."


def _how_far(value: float, limit: float) -> str:
    """How far past its limit a figure is."""
    times = value / limit if limit else 0.0
    if times <= 0.0:
        return "past it by any measure"
    if times < 1.0:
        return f"{times * 100:.0f} % of it" if times < 0.9 else f"{(1 - times) * 100:.1g} % under"
    return f"{times:.1f} times" if times >= 1.1 else f"{(times - 1) * 100:.1g} % over"


def _chance(chance: float) -> str:
    if chance < LEAST_CHANCE:
        return "chance under 0.1 %"
    return f"chance {chance * 100:.2g} %"
