"""Format 1 to 2: what became of engines that followed a rule stands in outcomes/<name>.yaml by club, no longer in the rule's file.

Both are still read; a rule whose entries are written in a way that cannot be moved line by line is left as it is.
"""

import re
import unicodedata
from dataclasses import dataclass, field

from gudgeon.migrations.texts import Replaced, Rewritten, Step, Texts
from gudgeon.records.outcomes_in_rules import THIS_CLUB
from gudgeon.records.plain_data import is_list, is_map
from gudgeon.records.yaml_text import Document
from gudgeon.records.yaml_writing import scalar

COUNTS, TOLD = "outcomes", "told"  # as they stand in a rule
DAY = "date"  # what the day of an entry is called now; it was "told" too
MOVED = "it stands in outcomes/ now, by club"


@dataclass
class _OfClub:
    """What is told of one club's engines, as lines of its file."""

    counts: list[str] = field(default_factory=list)
    told: list[str] = field(default_factory=list)


def _rewrite(texts: Texts) -> Rewritten:
    rewritten = Rewritten()
    by_club: dict[str, _OfClub] = {}
    clubs = _clubs(texts)
    for name in texts.of_shelf("rules/*.yaml"):
        document = texts.document(name)
        if document is None or not is_map(document.data):
            continue
        rule, lines = document.data.get("rule"), texts.texts[name].split("\n")
        keys = [key for key in (COUNTS, TOLD) if (key,) in document.keys]
        if not keys or not isinstance(rule, str) or document.values[()][1] != 1 or lines[0].startswith("{"):
            continue
        counts = _counts(rule, document, lines) if COUNTS in keys else []
        told = _told(rule, document, lines) if TOLD in keys else []
        if counts is None or told is None:
            continue
        of_club = by_club.setdefault(clubs.get(rule, clubs[""]), _OfClub())
        of_club.counts += counts
        of_club.told += told
        cut = {number for key in keys for number in _lines_of(document, key, len(lines), lines)}
        rewritten.texts[name] = "\n".join(line for number, line in enumerate(lines) if number not in cut)
        days = sum(1 for entry in document.data.get(TOLD) or [] if is_map(entry) and TOLD in entry)
        rewritten.replaced += [Replaced(name, key, MOVED) for key in keys]
        rewritten.replaced += [Replaced(name, TOLD, f'the key is called "{DAY}" now')] * days
    for club, of_club in sorted(by_club.items()):
        name = _free_name(club, texts, rewritten)
        head = [f"outcomes: {name.rpartition('/')[2].removesuffix('.yaml')}", f"club: {scalar(club)}"]
        body = ["counts:", *of_club.counts] if of_club.counts else []
        body += ["told:", *of_club.told] if of_club.told else []
        rewritten.texts[name] = "\n".join([*head, *body, ""])
    return rewritten


def _clubs(texts: Texts) -> dict[str, str]:
    """Rule -> the club that gave it; under "" the shelf's own."""
    sharing, origins = (
        texts.document(name) if (name := f"{texts.knowledge}/{file}.yaml") in texts.texts else None
        for file in ("sharing", "origins")
    )
    own = sharing.data.get("club") if sharing and is_map(sharing.data) else None
    clubs = {"": own if isinstance(own, str) else THIS_CLUB}
    brought = origins.data.get("origins") if origins and is_map(origins.data) else None
    for what, origin in brought.items() if is_map(brought) else ():
        if (
            isinstance(what, str)
            and what.startswith("rule ")
            and is_map(origin)
            and isinstance(origin.get("club"), str)
        ):
            clubs[what.removeprefix("rule ")] = origin["club"]
    return clubs


def _lines_of(document: Document, key: str, count: int, lines: list[str]) -> range:
    """The lines of a key at the top of a file with its value: as far as what is set in, with the comments in it."""
    first = document.keys[(key,)][0] - 1
    after = min(
        (line - 1 for path, (line, _) in document.keys.items() if len(path) == 1 and line - 1 > first), default=count
    )
    while after > first + 1 and (not lines[after - 1].strip() or lines[after - 1].startswith("#")):
        after -= 1  # of what follows
    return range(first, after)


def _counts(rule: str, document: Document, lines: list[str]) -> list[str] | None:
    """The counts of a rule under its name; None where they cannot be moved as they stand."""
    first, *more = (lines[number] for number in _lines_of(document, COUNTS, len(lines), lines))
    behind = re.match(rf"['\"]?{COUNTS}['\"]?\s*:(.*)", first)
    if behind is None or not is_map(document.data[COUNTS]):
        return None
    return [f"  {rule}:{behind[1]}", *(f"  {line}" for line in more)]


def _told(rule: str, document: Document, lines: list[str]) -> list[str] | None:
    """The entries of a rule, each with the rule's name, and its day under its new name; None where they cannot be moved so."""
    entries = document.data[TOLD]
    span = _lines_of(document, TOLD, len(lines), lines)
    starts = [document.values[TOLD, number] for number in range(len(entries))] if is_list(entries) else []
    first = lines[span[0]]
    inline = re.match(rf"['\"]?{TOLD}['\"]?\s*:\s*(\[?)", first)
    if inline is None or not starts or not all(is_map(entry) for entry in entries):
        return None
    if inline[1] and len(span) > 1:  # a list between brackets over several lines
        return None
    edited = {number: lines[number] for number in span}
    places = [(at, "rule") for at in starts]
    places += [(document.keys[path], "day") for path in document.keys if len(path) == 3 and path[0] == path[2] == TOLD]
    for (line, column), what in sorted(places, reverse=True):
        text, at = edited[line - 1], column - 1
        if what == "day":
            edited[line - 1] = text[:at] + text[at:].replace(TOLD, DAY, 1)
        elif text[at] == "{":
            edited[line - 1] = f"{text[: at + 1]}rule: {rule}, {text[at + 1 :]}"
        else:
            edited[line - 1] = f"{text[:at]}rule: {rule}\n{' ' * at}{text[at:]}"
    if not inline[1]:
        rest = [line for number in span[1:] for line in edited[number].split("\n")]
        set_in = 2 - (len(rest[0]) - len(rest[0].lstrip())) if rest else 0
        behind = first[inline.end() :].strip()
        return [*([f"  {behind}"] if behind else []), *(" " * max(0, set_in) + line for line in rest)]
    if "#" in first:
        return None
    body = edited[span[0]][edited[span[0]].index("[") + 1 :].rstrip().removesuffix("]")
    return [f"  - {entry.strip().rstrip(',').rstrip()}" for entry in re.split(r"(?=\{rule: )", body) if entry.strip()]


def _free_name(club: str, texts: Texts, rewritten: Rewritten) -> str:
    """A file for a club's outcomes that is not there yet."""
    plain = unicodedata.normalize("NFKD", club).encode("ascii", "ignore").decode().lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:30].strip("-") or "club"
    number, file = 1, f"{texts.knowledge}/outcomes/{name}.yaml"
    while file in texts.texts or file in rewritten.texts:
        number += 1
        file = f"{texts.knowledge}/outcomes/{name}-{number}.yaml"
    return file


STEP = Step(
    "outcomes out of rules", 2, "what became of engines stands in outcomes/ by club, no longer in the rules", _rewrite
)
