"""What is said of a tied number in the story: as it is written, as the records had it on its day, and what became of it."""

import datetime
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gudgeon.assess.findings.told import NumberTold
from gudgeon.records.instalment_text import Tie
from gudgeon.records.problems import seen
from gudgeon.wording import INCH, MEANS, MINUS, UnitFormatter, day_in_words, number

READING_NOW = {
    "withdrawn": "the reading was withdrawn",
    "superseded": "the reading was put right by a later one",
    "held back": "the reading is held back: it looks like a slip",
}

MOVED = "something done by then had moved it since it was read"


@dataclass(frozen=True)
class Tied:
    """A tied number as a reader sees it, in plain text.

    as_written: shown where it stands. doubt: what is to be said where the records of its day do not say the same; empty where
    they do. since: what became of it; empty where it has not moved. small_print: in both units, and of which day.
    in_other_unit: what the records said, where they agree, in the unit in which it is not written; else empty.
    moved: whether the records now say another number, or none.
    """

    number: NumberTold
    as_written: str
    doubt: str
    since: str
    small_print: str
    moved: bool
    in_other_unit: str = ""

    @property
    def agrees(self) -> bool:
        """Whether the records of its day say what is written, and what they say counted then."""
        return self.number.is_right

    @property
    def warning(self) -> str:
        """What is wrong with it, where the records of its day do not say so; else empty."""
        told = self.number
        if self.agrees:
            return ""
        later = told.first_read_on if told.then is None and not told.overtaken else None
        read = f"; it was read on {_day(later)}" if later and later > told.day else ""
        return (
            f'instalment of {_day(told.day)}, "{seen(told.says)}" tied to {told.of} {told.about}: {self.doubt}{read}.'
        )

    @property
    def in_brackets(self) -> str:
        """What stands behind the number in brackets where nothing can be pointed at: in a feed, a book, on paper."""
        return "; ".join(part for part in (self.doubt, self.since) if part)


class NumbersOfStory:
    """The tied numbers of a build's story, in its own unit. names: of instruments, as readers call them."""

    def __init__(self, numbers: Iterable[NumberTold], units: str, names: Mapping[str, str] | None = None):
        self._fmt, self._other = UnitFormatter(units), UnitFormatter("mm" if units == "in" else "in")
        self._names = names or {}
        self._all = tuple(numbers)
        self._numbers = {(told.instalment, told.of, told.target, told.says): told for told in self._all}

    def tied(self, instalment: str, tie: Tie) -> Tied | None:
        """What is said of a number in the text of an instalment; None where it was not worked out: then nothing is said."""
        told = self._numbers.get((instalment, tie.kind, tie.target, tie.words))
        return self.in_words(told) if told else None

    def is_doubted(self, instalment: str, tie: tuple[str, str, str]) -> bool:
        """Whether a number (what it is tied to, and its words) cannot stand alone: the records of its day did not say it, or it
        rests on what was withdrawn or found wrong since."""
        told = self._numbers.get((instalment, *tie))
        return told is not None and self.cannot_stand_alone(told)

    def cannot_stand_alone(self, told: NumberTold) -> bool:
        """The same of a number that was worked out."""
        tied = self.in_words(told)
        gone = told.of == "reading" and told.now_state in READING_NOW
        wrong = told.gone_moved_it or bool(told.found_off_since)
        return not told.is_right or bool(tied.doubt) or gone or (tied.moved and wrong)

    def counted(self, instalment: str) -> str:
        """How many of the tied numbers of an instalment are what the records said, as a sentence; empty where none is tied."""
        right = [told.is_right for told in self._all if told.instalment == instalment]
        agree, count = sum(right), len(right)
        if not count:
            return ""
        if agree == count:
            which = (
                "The number in it that is tied to the records is"
                if count == 1
                else f"{'Both' if count == 2 else f'All {count}'} numbers in it that are tied to the records are"
            )
            return f"{which} what these said on that day."
        which = f"{agree} of {count} numbers in it that are tied to the records {'is' if agree == 1 else 'are'} what these said on that day"
        return f"{which}; why {'the other is not stands beside it' if count - agree == 1 else 'the others are not stands beside them'}."

    def in_words(self, told: NumberTold) -> Tied:
        """The same of a number that was worked out."""
        moved = told.then is not None and (
            told.now is None or self._text(told, told.now) != self._text(told, told.then)
        )
        other = self._in_other_unit(told)
        return Tied(told, told.says, self._doubt(told), self._since(told, moved), self._small_print(told), moved, other)

    def _in_other_unit(self, told: NumberTold) -> str:
        if told.then is None or not told.is_right:
            return ""
        in_metric = re.search(r"[mµ]m|micro|milli|\bum\b", told.says) is not None
        return self._text(told, told.then, other=in_metric is not self._fmt.inch)

    def both(self, told: NumberTold, mm: float) -> str:
        """A number in the build's unit, with the other beside it."""
        return f"{self._text(told, mm)} ({self._text(told, mm, other=True)})"

    def _text(self, told: NumberTold, mm: float, other: bool = False) -> str:
        fmt = self._other if other else self._fmt
        if told.of in ("size", "reading"):
            return fmt.size_text(mm)
        if told.of == "fit" and mm < 0:
            return f"{fmt.clearance_text(-mm)} interference"
        return fmt.clearance_text(mm)

    def _apart(self, told: NumberTold, mm: float) -> str:
        """The same, told apart from what is written where both would look alike: 5.52 thou is not 5.50 thou, nor 5 thou -5 thou."""
        text = self._text(told, mm)
        written = re.search(r"[0-9]+(?:[.,][0-9]+)?", told.says)
        if written is None or float(written[0].replace(",", ".")) != float(text.split()[0].lstrip(MINUS)):
            return text
        if told.of in ("size", "reading"):
            finer = self._fmt.long_text(mm)
        else:
            value, unit, places = (mm / INCH * 1000, "thou", 2) if self._fmt.inch else (mm, "mm", 4)
            called = "" if told.of != "fit" else " interference" if mm < 0 else " clearance"
            text = text if mm < 0 else f"{text}{called}"
            finer = f"{number(abs(value), places)} {unit}{called}"
        return text if finer.split()[0] == f"{text.split()[0]}0" else finer

    def _doubt(self, told: NumberTold) -> str:
        if told.then is None:
            return {
                "moved": MOVED,
                "no reading counts": f"on that day no reading of {'one half' if told.of == 'fit' else 'it'} counted",
                "in part": f"on that day it had not been read {_where_lacking(told)}",
            }.get(told.unknown_then or "", "on that day nothing had been read of it")
        why = READING_NOW.get(told.unknown_then or "", MOVED) if told.overtaken else ""
        if told.verdict == "disagrees":
            return "; ".join([f"the records said {self._apart(told, told.then)} on that day", *([why] if why else [])])
        return why

    def _since(self, told: NumberTold, moved: bool) -> str:
        if told.of == "reading":
            if told.now_state == told.unknown_then:
                return ""
            gone = READING_NOW.get(told.now_state, "the reading counts again" if told.overtaken else "")
            return f"since then: {gone}" if gone else ""
        what = ["the cut was withdrawn"] if told.cut_withdrawn else []
        if told.now is not None and (moved or told.then is None):
            what.append(self._text(told, told.now))
            what += [_day(told.now_read_on)] if moved and told.now_read_on and told.now_read_on > told.day else []
        elif moved:
            lost = {"moved": MEANS["stale"], "in part": f"not read {_where_lacking(told)}"}
            what.append(f"now not known: {lost.get(told.unknown_now or '', 'no reading of it counts')}")
        if moved:
            what += [f"{self._names.get(gauge, gauge)} found wrong" for gauge in told.found_off_since]
            if told.gone_moved_it:
                what.append(f"{'readings' if len(told.gone_since) > 1 else 'a reading'} withdrawn or put right")
        if not what:
            return ""
        return ", ".join(what) if what[0].startswith("now not known") else f"since then: {', '.join(what)}"

    def _small_print(self, told: NumberTold) -> str:
        if told.then is None:
            doubt = self._doubt(told).removeprefix("on that day ")
            return f"On {_day(told.day)} {doubt}" if told.unknown_then != "moved" else f"On {_day(told.day)}: {doubt}"
        read = f", read on {_day(told.read_on)}" if told.read_on and told.read_on != told.day else ""
        gone = ", which counted no more" if told.overtaken else ""
        return f"On {_day(told.day)} the records said {self.both(told, told.then)}{read}{gone}"


def _where_lacking(told: NumberTold) -> str:
    return {"ovality": "at enough angles", "taper": "at enough stations"}.get(
        told.form or "", "at enough places" if told.station is None else "there"
    )


def _day(day: str) -> str:
    return day_in_words(datetime.date.fromisoformat(day))
