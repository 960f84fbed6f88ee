"""The sentences of what findings have to tell, each once, in the unit of the build that they are told of."""

from collections.abc import Callable
from string import Formatter
from typing import Any

from gudgeon.assess.findings import Note
from gudgeon.wording import MINUS, UnitFormatter

# What may stand after the colon in a sentence -> where the value is kept in a note, and how it is said.
SAID: dict[str, tuple[str, Callable[[UnitFormatter, Any], str]]] = {
    "length": ("lengths", lambda fmt, mm: fmt.clearance_text(mm)),
    "plus or minus": ("lengths", lambda fmt, mm: f"{MINUS if mm <= 0 else '+'} {fmt.clearance_text(abs(mm))}"),
    "ratio": ("ratios", lambda fmt, ratio: f"{ratio:.3f}"),
    "kelvins": ("kelvins", lambda fmt, kelvins: f"{kelvins:g} K"),
    "chance": ("chances", lambda fmt, share: f"{share * 100:g} %"),
    "minutes": ("minutes", lambda fmt, minutes: f"{minutes:.0f}"),
    "count": ("counts", lambda fmt, count: f"{count}"),
    "names": ("names", lambda fmt, names: ", ".join(names)),
    "words": ("words", lambda fmt, words: words),
}
UNSOURCED = " (common practice, no source)"

# Code -> sentence, without its first capital and its full stop. {subject} is what the note is about.
SENTENCES = {
    # Features and their readings.
    "places-unread": "{unread:count} of {planned:count} planned places have not been read, and are not known to be good",
    "not-soaked": (
        "part and instrument were up to {apart:kelvins} apart: let them soak overnight and read again before the last cut"
    ),
    "wide-spread": "{subject}: its readings spread more than these hands usually do; read again",
    "no-ovality-seen": (
        "{instruments:names} bears at three points: it sees no ovality; read it with a two-point gauge too"
    ),
    "coarse-for-limits": "the uncertainty is over {share:words} of the limits: a better instrument would tell more",
    # How to cut.
    "dial-on-feature": "got = {slope:ratio} × asked {offset:plus or minus}, from {cuts:count} cuts on {subject}",
    "dial-of-lathe": "got = {slope:ratio} × asked {offset:plus or minus}, from {cuts:count} cuts on this lathe",
    "usual-depth": "rough passes of {depth:length} a side" + UNSOURCED,
    "usual-leave": "{leave:length} left on diameter for finishing" + UNSOURCED,
    "usual-finish-passes": "{passes:count} finishing passes" + UNSOURCED,
    "usual-spring-passes": "{passes:count} pass without infeed" + UNSOURCED,
    "usual-risk": "a chance of {risk:chance} of passing the scrap limit" + UNSOURCED,
    "usual-tool": "a tool of {tool:names}" + UNSOURCED,
    "depth-over-gap": "depth capped over a gap, {depth:length} a side" + UNSOURCED,
    "finest-feed": "the lathe's finest feed, {feed:length}" + UNSOURCED,
    "no-machine": 'operations.yaml, {subject}: the line "machine: …", one of machines.yaml',
    "no-spindle-speeds": 'machines.yaml, {subject}: its spindle speeds, "speeds"',
    "no-length": 'operations.yaml, {subject}, under "cutting": the line "length: …"',
    "no-surface-speed": 'under "cutting": the line "surface_speed: …"; none is held for {metal:names} with {tool:names}',
    "few-cuts": "cuts.yaml: three cuts or more on {subject}, or on this lathe; until then the dial is believed",
    "no-cut-within-risk": "no cut keeps to the accepted risk: read it better first, then file, emery, hone or lap",
    "mate-not-final": "its mate is not final: rough it, and leave the finishing until the mate has been read",
    "coarse-for-target": "the uncertainty is over half of the target: read it again before the last cut",
    "will-not-clean-up": "it will not clean up: at one place less than the skin of {skin:length} a side is left",
    "slowest-too-fast": "the slowest speed of {machine:words} is too fast here",
    # Operations and how long they take.
    "holding-broken": "holding {holding:names} was broken by {by:names}: re-true the work before cutting",
    "estimate-under-cutting": (
        "its estimate of {estimate:minutes} minutes is under the {cut:minutes} that the tool is in the cut"
    ),
    "usual-evenings": (
        "evenings of {evening:minutes} minutes, {a_week:count} a week"
        + UNSOURCED
        + '; write "evenings: {{length: 120 min, a_week: 2}}" into build.yaml'
    ),
    "rework": "rework counts as work: {operations:names} put expected minutes back on",
}


def in_words(note: Note, fmt: UnitFormatter) -> str:
    """A note as a sentence, without its first capital and its full stop."""
    return "".join(
        text + (_value(note, name, said or "", fmt) if name else "")
        for text, name, said, _ in Formatter().parse(SENTENCES[note.code])
    )


def _value(note: Note, name: str, said: str, fmt: UnitFormatter) -> str:
    if name == "subject":
        return note.subject or ""
    kept_in, words = SAID[said]
    return words(fmt, getattr(note, kept_in)[name])
