"""Numbers, states and members' words as markup: what `wording` says, made into HTML."""

import re
from collections.abc import Callable

from markupsafe import Markup, escape

from gudgeon import wording
from gudgeon.assess.findings import EngineTold
from gudgeon.records import rule_words
from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.wording import INCH, JOB_MEANS, MARKS, MEANS, UnitFormatter, number

NONE = Markup('<span class="g-none">none</span>')
NOT_SAID = Markup('<span class="g-none">not said</span>')


class MarkupFormatter(UnitFormatter):
    """Says lengths in a build's own unit first and in the other beside it. All arguments are mm."""

    def size(self, mm: float | None) -> Markup:
        """A size in both units."""
        return NONE if mm is None else self._in_both(lambda fmt: fmt.size_text(mm))

    def limits(self, least: float | None, most: float | None) -> Markup:
        """Limits to work to in both units, in neither wider than they are."""
        first, other = (
            UnitFormatter(unit).limits_text(least, most) for unit in (("in", "mm") if self.inch else ("mm", "in"))
        )
        # Two ends in two units are wider than a phone: they break between the units.
        return Markup('<span class="g-q g-ends"><span>{}</span> <small>({})</small></span>').format(first, other)

    def tolerance(self, least: float | None, most: float | None) -> Markup:
        """How far apart limits are, as they are shown in each unit."""
        if least is None or most is None:
            return Markup(self.tolerance_text(least, most))
        return self._in_both(lambda fmt: fmt.tolerance_text(least, most))

    def clearance(self, mm: float | None, sign: bool = False) -> Markup:
        """A clearance in both units."""
        return NONE if mm is None else self._in_both(lambda fmt: fmt.clearance_text(mm, sign))

    def fine(self, mm: float | None) -> Markup:
        """An uncertainty, to a hundredth of a thou or a tenth of a micrometre."""
        if mm is None:
            return NONE
        return both(f"{number(mm / INCH * 1000, 2)} thou", f"{number(mm, 4)} mm", self.inch)

    def range(self, low: float | None, high: float | None) -> Markup:
        """A wanted range in both units."""
        return NOT_SAID if low is None else self._in_both(lambda fmt: fmt.range_text(low, high))

    def _in_both(self, text: Callable[[UnitFormatter], str]) -> Markup:
        return both(text(UnitFormatter("in")), text(UnitFormatter("mm")), self.inch)


def both(inch: str, metric: str, inch_first: bool) -> Markup:
    """One value in two units, the build's own first."""
    first, other = (inch, metric) if inch_first else (metric, inch)
    # Each is kept whole; a narrow screen breaks between them.
    return Markup('<span class="g-q"><span>{}</span> <small>({})</small></span>').format(first, other)


def state(word: str) -> Markup:
    """A state as mark and word."""
    return _state(word, f"{MARKS.get(word, '')} {word}")


def state_count(word: str, count: int) -> Markup:
    """How many stand so: mark, number, word."""
    return _state(word, wording.state_count(word, count))


def _state(word: str, said: str) -> Markup:
    # Mark and word are one text, so that a checker of contrast sees letters and not a sign alone.
    return Markup('<span class="g-state g-{}" title="{}">{}</span>').format(
        word.replace(" ", "-"), MEANS.get(word) or JOB_MEANS.get(word, ""), said
    )


def markdown(text: str) -> Markup:
    """Text for a Markdown line: no markup of any kind gets through."""
    flat = " ".join(str(text).split())
    return Markup(re.sub(r"([\\`*_{}\[\]()#+\-.!|~:<>&^=\"'$@])", lambda match: f"&#{ord(match[1])};", flat))


def unbroken(text: str) -> Markup:
    """A text of several lines for a block of code in Markdown, where an empty line would end the block."""
    return Markup("&#10;").join(line if line.strip() else "\u00a0" for line in str(text).splitlines())


def without_blank_lines(text: Markup) -> Markup:
    """Markup in one piece: an empty line would end a block of HTML in Markdown."""
    return Markup("\n").join(Markup(line) for line in text.splitlines() if line.strip())


def engine_told(told: EngineTold, fmt: MarkupFormatter) -> Markup:
    """What became of one engine that followed a rule, in a line."""
    ran = f"{told.result.replace('_', ' ')}"
    if told.minutes is not None:
        ran += f"{', ' if told.result == 'running' else ' after '}{wording.hours_run(told.minutes)}"
    said = [Markup("{}: {}").format(told.engine, ran)]
    if told.clearance is not None:
        said.append(Markup("with {}").format(fmt.clearance(told.clearance)))
    if told.size is not None:
        said.append(Markup("at {}").format(fmt.size(told.size)))
    said += [escape(text) for text in (told.load, told.day or told.year) if text is not None]
    if told.said_by is not None:
        said.append(Markup("said by {}").format(told.said_by))
    elif told.here:
        said.append(Markup("by the running log"))
    if told.note is not None:
        said.append(escape(" ".join(told.note.split())))
    return Markup(", ").join(said)


FILTERS = {
    "engine_told": engine_told,
    "evidence_of": lambda rules, evidence: [
        evidence[name]
        for name in dict.fromkeys(rule.rule for rule in rules)
        if name in evidence and evidence[name].clubs
    ],
    "without_blank_lines": without_blank_lines,
    "unbroken": unbroken,
    "state": state,
    "state_count": state_count,
    "both_degrees": lambda pair: " / ".join(number(degrees, 0) for degrees in dict.fromkeys(pair)) + " °C",
    "means": lambda word: MEANS.get(word, ""),
    "md": markdown,
    "probability": wording.probability,
    "minutes": wording.minutes,
    "about_days": wording.about_days,
    "about_hours": wording.about_hours,
    "outcomes": wording.outcomes,
    "outcomes_of_club": wording.outcomes_of_club,
    "hours_run": wording.hours_run,
    "share_that_held": wording.share_that_held,
    "held_after": wording.held_after,
    "slug": wording.slug,
    "day": wording.day_in_words,
    "upper_first": wording.upper_first,
    "lower_first": wording.lower_first,
    "best_first": wording.best_first,
    "form": lambda gives: rule_words.form(gives, aloud=True),
    "conditions": rule_words.conditions,
    "as_read": wording.as_read,
    "number": number,
    "kind": lambda name: FIT_KINDS[name].words,
}
