"""A line as it is said, or as a phone's dictation writes it, in figures: "four point two four five six" is 4.2456.

Texts to texts, with nothing known of any build but the names that are no numbers. Where one number ends and the next begins is
never guessed: that is refused, with the way to say it.
"""

import re
from collections.abc import Collection

from gudgeon.entry.sizes import NotClear

DIGITS = {
    word: str(number)
    for number, words in enumerate(
        (
            "zero nought oh",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
        )
    )
    for word in words.split()
}
TEENS = {
    word: number
    for number, word in enumerate(
        ["ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"],
        start=10,
    )
}
TENS = {
    word: 10 * number
    for number, word in enumerate(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], 2)
}
PARTS = {
    "half": 2,
    "halves": 2,
    "quarter": 4,
    "quarters": 4,
    "eighth": 8,
    "eighths": 8,
    "sixteenth": 16,
    "sixteenths": 16,
}
LONG_PARTS = {("thirty", "second"): 32, ("thirty", "seconds"): 32, ("sixty", "fourth"): 64, ("sixty", "fourths"): 64}
_FIGURES = re.compile(r"[0-9]{1,8}")
UNITS = {"thousandths": "thou", "thousandth": "thou", "thous": "thou", "slash": "/", "dash": "-", "over": "/"}


def in_figures(words: list[str], names: Collection[str] = ()) -> list[str]:
    """The words with numbers in figures where any is said; names: words that are names here, and no numbers. Raises NotClear."""
    words = [part for word in words for part in _apart(word)]
    if not any(_is_number(word) for word in words if word.lower() not in names):
        return words
    return _Said(words, names).in_figures()


def _apart(word: str) -> list[str]:
    """ "thirty-two," as two words and a comma; any other as it is."""
    bare = word.rstrip(",;")
    parts = bare.split("-")
    if not all(_is_number(part) for part in parts):
        return [word]
    return parts if bare == word else [*parts, ","]


def _is_number(word: str) -> bool:
    word = word.lower()
    return word in DIGITS or word in TEENS or word in TENS or word in PARTS or word == "double"


class _Said:
    """Words taken from the front."""

    def __init__(self, words: list[str], names: Collection[str]):
        self.words, self.names, self.at = words, names, 0
        self.out: list[str] = []

    def next(self, ahead: int = 0) -> str:
        place = self.at + ahead
        word = self.words[place].lower() if place < len(self.words) else ""
        return "" if word in self.names else word

    def in_figures(self) -> list[str]:
        out = self.out
        while self.at < len(self.words):
            number = self.number()
            if number is not None:
                out += number
                continue
            word = self.words[self.at]
            self.at += 1
            if word.lower() == "and" and out:
                continue  # between two readings
            out.append(UNITS.get(word.lower(), word))
        return _joined(out)

    def number(self) -> list[str] | None:
        """The number that begins here, as the words of a line; None where none does."""
        fraction = self.fraction()
        if fraction:
            return [fraction]
        digits = self.digits_run()
        if digits is not None:
            whole, said_oh, count = digits
            if self.next() == "point":
                if count > 1 and not said_oh:
                    self.refuse(whole)
                return [f"{whole}.{self.decimals()}"]
            if count > 1:
                self.refuse(whole)
        elif self.next() == "point" and (self.next(1) in DIGITS or _FIGURES.fullmatch(self.next(1))):
            return [f".{self.decimals()}"]
        else:
            tens = self.under_hundred()
            if tens is None:
                return None
            whole = str(tens)
        if self.next() == "hundred":
            self.at += 1
            hundreds = int(whole) * 100
            if self.next() == "and":
                self.at += 1
            rest = self.under_hundred()
            if rest is None and self.next() in DIGITS:
                rest = int(DIGITS[self.next()])
                self.at += 1
            whole = str(hundreds + (rest or 0))
        if self.next() == "point":
            return [f"{whole}.{self.decimals()}"]
        here = self.at
        if self.next() == "and":
            self.at += 1
            part = self.fraction()
            if part:
                return [whole, part]
            self.at = here
        return [whole]

    def fraction(self) -> str | None:
        """ "three quarters", "a half", "thirteen thirty seconds"."""
        start = self.at
        if self.next() in ("a", "an"):
            self.at += 1
            over: int | None = 1
        elif self.next() in ("half", "quarter"):
            over = 1
        elif self.next() in DIGITS:
            over = int(DIGITS[self.next()])
            self.at += 1
        else:
            over = self.under_hundred(before_a_part=True)
        if over:
            under = PARTS.get(self.next())
            if under:
                self.at += 1
                return f"{over}/{under}"
            under = LONG_PARTS.get((self.next(), self.next(1)))
            if under:
                self.at += 2
                return f"{over}/{under}"
        self.at = start
        return None

    def under_hundred(self, before_a_part: bool = False) -> int | None:
        """ "twelve", "ninety", "twenty four". before_a_part: the tens may belong to the part, as in "nine thirty seconds"."""
        word = self.next()
        if word in TEENS:
            self.at += 1
            return TEENS[word]
        if word not in TENS or (before_a_part and (word, self.next(1)) in LONG_PARTS):
            return None
        self.at += 1
        unit = self.next()
        if unit in DIGITS and DIGITS[unit] != "0" and self.next(1) not in ("point", *PARTS):
            self.at += 1
            return TENS[word] + int(DIGITS[unit])
        if unit in DIGITS and DIGITS[unit] != "0" and self.next(1) == "point":
            if not self.out or not self.out[-1][-1].isdigit():
                self.at += 1
                return TENS[word] + int(DIGITS[unit])
            raise NotClear(
                f'"{word} {unit} point": is {word} a number of its own? Say "{word} degrees", or write the line in figures.'
            )
        return TENS[word]

    def digits_run(self) -> tuple[str, bool, int] | None:
        """Figures said one by one, whether one was "oh" or "double", how many; None where none is said."""
        run, odd = "", False
        while True:
            if self.next() == "double" and self.next(1) in DIGITS:
                run, odd = run + 2 * DIGITS[self.next(1)], True
                self.at += 2
            elif self.next() in DIGITS and not self.part_follows():
                odd = odd or (self.next() == "oh" and bool(run))
                run += DIGITS[self.next()]
                self.at += 1
            else:
                return (run, odd, len(run)) if run else None

    def part_follows(self) -> bool:
        """Whether the figure here counts quarters or the like."""
        return self.next(1) in PARTS or (self.next(1), self.next(2)) in LONG_PARTS

    def decimals(self) -> str:
        """What stands behind "point", to where it surely ends."""
        self.at += 1
        if _FIGURES.fullmatch(self.next()):  # dictation has written them already
            self.at += 1
            return self.words[self.at - 1]
        run = self.digits_run()
        if run is None:
            tens = self.under_hundred()
            if tens is None:
                raise NotClear('"point" with no figure behind it. Say it like: four point two four five six.')
            return str(tens)
        if self.next() in ("degree", "degrees"):
            raise NotClear(f'"point {" ".join(run[0])} degrees": where does the angle begin? Say "angle" before it.')
        if self.next() == "point":
            raise NotClear('where does one reading end? Say "and" between two readings.')
        return run[0]

    def refuse(self, run: str) -> None:
        spelled = " ".join(word for word in self.words[max(0, self.at - len(run)) : self.at])
        raise NotClear(
            f'"{spelled}" could be one number or several. Say the point of a size (four point two five), and "degrees" behind '
            "an angle, or write the line in figures."
        )


def _joined(words: list[str]) -> list[str]:
    """24 / 16 as one word, and a comma at the word before it."""
    out: list[str] = []
    for word in words:
        if out and (word in ("/", ",") or out[-1].endswith("/")):
            out[-1] += word
        else:
            out.append(word)
    return out
