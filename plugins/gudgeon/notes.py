"""The sentences of what findings have to tell, each once, in the unit of the build that they are told of."""

from collections.abc import Callable, Iterable
from string import Formatter
from typing import Any

from gudgeon.assess.findings import Note
from gudgeon.notes_of_due import OF_DUE
from gudgeon.notes_of_form import OF_FORM
from gudgeon.notes_of_heat import OF_HEAT
from gudgeon.notes_of_plans import OF_PLANS
from gudgeon.notes_of_rules import OF_RULES, SLIPS
from gudgeon.notes_of_sums import OF_SUMS
from gudgeon.wording import INCH, MINUS, UnitFormatter, probability

# What may stand after the colon in a sentence -> where the value is kept in a note, and how it is said.
SAID: dict[str, tuple[str, Callable[[UnitFormatter, Any], str]]] = {
    "size": ("lengths", lambda fmt, mm: fmt.size_text(mm)),
    "bound": ("lengths", lambda fmt, mm: _without_noughts(fmt.size_text(mm))),
    "station": ("lengths", lambda fmt, mm: fmt.station_text(mm)),
    "length": ("lengths", lambda fmt, mm: fmt.clearance_text(mm)),
    "plus or minus": ("lengths", lambda fmt, mm: f"{MINUS if mm <= 0 else '+'} {fmt.clearance_text(abs(mm))}"),
    "slip": ("ratios", lambda fmt, ratio: SLIPS.get(ratio, f"{ratio:.4g} times")),
    "figure": ("ratios", lambda fmt, ratio: f"{ratio:.4g}"),
    "ratio": ("ratios", lambda fmt, ratio: f"{ratio:.3f}"),
    "celsius": ("temperatures", lambda fmt, celsius: f"{celsius:g} °C"),
    "degrees": ("temperatures", lambda fmt, degrees: f"{degrees:g}"),
    "about": ("temperatures", lambda fmt, celsius: f"{celsius:.0f} °C"),
    "kelvins": ("kelvins", lambda fmt, kelvins: f"{kelvins:g} °C"),
    "probability": ("chances", lambda fmt, share: probability(share)),
    "chance": ("chances", lambda fmt, share: f"{share * 100:g} %"),
    "micro": ("lengths", lambda fmt, mm: f"{mm / INCH * 1e6:.2g} µin" if fmt.inch else f"{mm * 1000:.2g} µm"),
    "surface speed": (
        "speeds",
        lambda fmt, speed: f"{speed * 1000 / (12 * INCH):.3g} ft/min" if fmt.inch else f"{speed:.3g} m/min",
    ),
    "force": ("forces", lambda fmt, newtons: f"{newtons * LBF:.2g} lbf" if fmt.inch else f"{newtons:.2g} N"),
    "minutes": ("minutes", lambda fmt, minutes: f"{minutes:.0f}"),
    "count": ("counts", lambda fmt, count: f"{count}"),
    "day": ("days", lambda fmt, day: day),
    "names": ("names", lambda fmt, names: ", ".join(map(fmt.named, names))),
    "parts": ("names", lambda fmt, names: ", ".join(fmt.named(f"part {name}") for name in names)),
    "and": ("names", lambda fmt, names: " and ".join(map(fmt.named, names))),
    "or": ("names", lambda fmt, names: " or ".join(map(fmt.named, names))),
    "or the": ("names", lambda fmt, names: " or the ".join(map(fmt.named, names))),
    "metals": ("names", lambda fmt, names: " or ".join(name.replace("-", " ") for name in names)),
    "cases": ("names", lambda fmt, names: " and ".join(name.replace("_", " ") for name in names)),
    "is or are": ("names", lambda fmt, names: "is" if len(names) == 1 else "are"),
    "reading or readings": ("names", lambda fmt, names: "reading" if len(names) == 1 else "readings"),
    "words": ("words", lambda fmt, words: words),
}
# What stands in a sentence without a colon: made of the whole note.
OF_NOTE: dict[str, Callable[[UnitFormatter, Note], str]] = {
    "subject": lambda fmt, note: fmt.named(note.subject or ""),
    "case": lambda fmt, note: (note.subject or "").replace("_", " "),
    "because": lambda fmt, note: in_words(note.because, fmt) if note.because else "",
    "written for given": lambda fmt, note: " and ".join(
        f"{written} for {fmt.size_text(note.lengths[end])}" for end, written in note.words.items()
    ),
    "those and what they do": lambda fmt, note: "; ".join(f"{does} ({name})" for name, does in note.words.items()),
}

LBF = 0.224808943  # of a newton
UNSOURCED = " (common practice, no source)"

# Code -> sentence, without its first capital and its full stop.
SENTENCES = (
    OF_DUE
    | OF_FORM
    | OF_HEAT
    | OF_PLANS
    | OF_RULES
    | OF_SUMS
    | {
        # Features and their readings.
        "places-unread": "{unread:count} of {planned:count} planned places are not measured yet: nobody knows whether they are good",
        "not-soaked": (
            "part and instrument were up to {apart:kelvins} apart: let them soak overnight and read again before the last cut "
            "(asked for over {gap:kelvins} apart or over {part:kelvins} off 20 °C; {ground:words})"
        ),
        "wide-spread": (
            "{subject}: its readings spread more than these hands usually do, over {times:figure} times their uncertainty of use "
            "({ground:words}); read again"
        ),
        "held-otherwise": (
            "{subject} was read as held so: {held:words}; a bearing has its size with the cap at its working torque"
        ),
        "holding-unsaid": (
            "nothing says how the bore was held when it was read ({rows:names}): a bearing with a cap is read with the cap at its "
            "working torque; write as_held"
        ),
        "coarse-for-limits": (
            "the uncertainty is over {share:words} of the limits ({ground:words}): a better instrument would tell more"
        ),
        "cut-not-recorded": (
            "{past:names} taken as read before a cut that nobody recorded: {subject} shows less metal at the same place than both "
            "readings leave open"
        ),
        "order-assumed": "{rows:names} taken as read after {subject}: both are of one day, and nothing says which came first",
        "nothing-read": "nothing has been measured",
        "held-back": "{rows:names} held back: {because}",
        "newest-held-back": (
            "the newest reading of {subject} does not count ({rows:names}: {because}): the size shown is an older one; measure again "
            "before you go by it"
        ),
        "against-limits": "against the limits",
        "against-target": "against the target from {subject}",
        "still-to-be-cut": "{subject} has still to cut it",
        "stands-off": (
            "{rows:names} stands off what the other places say together by more than chance allows: measure it again{angle:words}; "
            "until then it decides"
        ),
        "stands-off-at": (
            "{rows:names} stands off what the other places say together by more than chance allows: measure again at "
            "{station:station}{angle:words}; until then it decides"
        ),
        "let-stand": "let stand by a person; see the reviews",
        "as-its-fit": "as fit {subject} stands: it has no limits of its own",
        "nothing-wanted": "measured, but nothing says what it should be",
        "withdrawn": "{reason:words} ({subject}, {on:day})",
        "put-right": "put right by {subject}",
        "read-before-a-press": "read before {subject} ({does:words}); it can never be measured again",
        "changed-since": "{subject} ({does:words}, {done:day}) changed it since",
        "moved-since": "{subject} ({does:words}, {done:day}) moved what it depends on since",
        "taken-before-cut": (
            "taken as read before a cut that nobody recorded: {subject} shows less metal at the same place than both leave open"
        ),
        "read-before-cut": "read before {subject}",
        "never-checked": (
            "{subject} was never checked against anything: what it shows is not known to be true, whatever scale is stated for it"
        ),
        "hands-disagree": (
            "{gauge:names} in the hand of {by:names} and {other_gauge:names} in the hand of {other_by:names} differ at "
            "{places:count} of the places that both read, at worst by {error:ratio} times what both leave open: these cannot both "
            "be right; {because}read it again"
        ),
        "suspect-gauge": "the suspect is {subject}, {why:words}; ",
        "no-suspect": "nothing tells which of them is wrong; ",
        "got-disagrees": (
            "{subject} says that {written:length} came off; {before:names} before and {after:names} after it say {read:length}"
        ),
        "readings-disagree": (
            "{earlier:names} and {subject} cannot both be right: at one place there would be more metal after than before, or metal "
            "would be gone without a cut, by more than both leave open; read it again, and withdraw the wrong one"
        ),
        # Numbers that were written down wrongly, and what they should be.
        "inch-as-mm": "the unit says mm, and {read:words} is 1/{times:count} of the {because}: inches typed as millimetres",
        "mm-as-inch": "the unit says inch, and {read:words} is {times:count} times the {because}: millimetres typed as inches",
        "a-nought-too-many": (
            "{read:words} is {times:count} times the {because}: a nought slipped, or tenths written as thou"
        ),
        "a-nought-too-few": "{read:words} is 1/{times:count} of the {because}: a nought slipped, or tenths written as thou",
        "radius-for-diameter": "{read:words} is half of the {because}: a radius written where a diameter belongs",
        "diameter-doubled": "{read:words} is twice the {because}: a diameter doubled",
        "spec-limits": "limits {least:words} to {most:words}",
        "spec-tolerance": "limits of {class:words}",
        "spec-nominal": "nominal {nominal:words}",
        "spec-plausible": "{least:words} to {most:words} in which it can lie at all",
        # Rows and operations that were written down wrongly.
        "read-overdue": "{subject} was due for a check on {due:day}; this was read on {last:day}",
        "rows-read-overdue": (
            "{subject} was due for a check on {due:day}; {rows:count} readings were taken with it after that, the last on {last:day}"
        ),
        "out-of-reach": (
            "{gauge:words} reaches from {least:words} to {most:words} and cannot reach {read:words}: "
            "the reading names the wrong gauge"
        ),
        "just-past-reach": (
            "{gauge:words} reaches from {least:words} to {most:words}, and {read:words} lies just past its end: it counts, and was "
            "perhaps read with another"
        ),
        "fraction-read": "{read:words} is a fraction, and {gauge:words} steps by {step:words}: perhaps read with a rule",
        "digits-coarse": (
            "{read:words} has fewer digits than {gauge:words} shows, which steps by {step:words}: perhaps rounded, or another gauge"
        ),
        "temperature-missing": "no temperature of the {of:or the}: the size at 20 °C cannot be worked out",
        "hotter-than-a-hand-holds": (
            "the {of:names} at {read:celsius} is hotter than a hand can hold; {read:degrees} °F would be {meant:about}"
        ),
        "after-what-is-not-done": "it says after {subject}, which is not done",
        "read-before-its-operation": "read on {read:day}, but {subject} was done on {done:day}",
        "after-an-earlier-operation": (
            "it says after {after:names}, but {subject} was done on {done:day}, before this was read on {read:day}"
        ),
        "relief-planned-after": "{subject} ({does:words}) is planned after it and will move what it finishes",
        "relief-comes-after": "{subject} ({does:words}) comes after it and will move what it finished",
        "need-not-done": "finished on {finished:day}, but {subject}, which it needs, is not done",
        "need-done-later": "finished on {finished:day}, before {subject}, which it needs and which was done on {need:day}",
        "need-done-later-than-readings": (
            "finished on {finished:day}, before {subject}, which it needs and which was done on {need:day}; "
            "its {rows:reading or readings} {rows:and} of {of:and} {rows:is or are} older than that change"
        ),
        "holding-broken-between": (
            "holding {holding:names} was broken by {subject} in between: "
            "the work was taken out and is no longer true to the earlier cuts"
        ),
        # Where two features meet.
        "reading-borrowed": "fits {fits:and} borrow the reading of {subject}",
        "reading-borrowed-for-unread": (
            "fits {fits:and} borrow the reading of {subject}; {unread:and} {unread:is or are} not measured"
        ),
        "gap-in-larger-bore": (
            "the ring lay at station {station:station}, where the bore is larger than at its smallest in ring travel: "
            "the gap reads too wide by π times the difference"
        ),
        "written-the-wrong-way-round": (
            "{hole:names} reads as {shaft:names} should, and the other way round: the two were written down the wrong way round"
        ),
        "tapers-differ": (
            "key {key:words} in a {keyway:words} keyway: the tapers do not match and the key bears at one end"
        ),
        # Fits cold.
        "not-read": "no reading of {subject}",
        "all-held-back": "all that was read of {subject} is held back ({rows:names}: {because})",
        "readings-stale": "the readings of {subject} are stale",
        "not-read-in-travel": "no reading of {subject} in the length that its mate travels",
        "taper-not-stated": "the taper of {subject} is not stated",
        "no-size": "neither a reading nor a nominal of {subject}",
        "tapers-as-stated": "keyway {keyway:words} and key {key:words}, as stated; neither taper was measured",
        "gap-not-carried": "the gap was read at no known station of the bore and cannot be carried to the smallest bore",
        "borrows-a-size": "{hole:names} mates with {own:names}, but this fit borrows the size of {subject}",
        "half-unread": (
            "{unread:count} of {planned:count} planned places of {subject} are not measured yet: nobody knows whether it fits there"
        ),
        "half-on-unrecorded-cut": (
            "the size of {subject} rests on a cut that nobody recorded: {rows:names} shows less metal than before; write the cut down, "
            "or read it again"
        ),
        "direct-disagrees": (
            "{subject} was read directly as {read:length} ({rows:names}), {apart:plus or minus} from the difference of the sizes: "
            "{error:ratio} times what both leave open; these cannot both be right"
        ),
        "error-stays": (
            "one half was read with {instruments:and}, found wrong afterwards, and the other was not: the known error does not cancel, and is taken out"
        ),
        "tight-end": (
            "{clearance:length} at its tightest ({rows:and}), least wanted {wanted:length}: it {stands:words}; the chance that it is truly "
            "tighter is {chance:probability}"
        ),
        "loose-end": (
            "{clearance:length} at its loosest ({rows:and}), most wanted {wanted:length}: it {stands:words}; the chance that it is truly "
            "looser is {chance:probability}"
        ),
        "coarse-for-want": (
            "the uncertainty is over {share:words} of the wanted range ({ground:words}): "
            "a better instrument, or both halves with one instrument, would tell more"
        ),
        "one-end-only": (
            "no size of {subject} is inside at both ends: its mate varies by more than what is wanted leaves; the target is by the "
            "tight end alone"
        ),
        "size-for-all": "the target of {subject} is what {by:and} leave it together",
        "no-size-for-all": "no size of {subject} is right for {by:and} together; the target is by the first of them",
        "want-not-of-class": "the wanted range is not what class {subject} gives: {written for given}",
        "to-be-read": "{subject}",
        "no-mate": "a {subject} that says it mates with {ring:parts}",
        # Rules of thumb.
        "figures-unknown": "{figures:and} {figures:is or are} not known here",
        "expression-fails": "{why:words}",
        "nothing-to-count-on": "the spec gives no size to count on",
        # How to cut.
        "dial-law": (
            "off comes {slope:ratio} × what is dialled, {offset:plus or minus}, from {cuts:count} cuts on {features:and} "
            "with this lathe, tool, feed and holding"
        ),
        "usual-depth": "rough passes of {depth:length} a side ({ground:words})",
        "usual-leave": "{leave:length} left on diameter for finishing ({ground:words})",
        "usual-finish-passes": "{passes:count} finishing passes ({ground:words})",
        "usual-spring-passes": "{passes:count} pass without infeed ({ground:words})",
        "usual-risk": "a chance of at most {risk:chance} of passing the scrap limit ({ground:words})",
        "usual-tool": "a tool of {tool:names}" + UNSOURCED,
        "depth-over-gap": "depth capped over a gap, {depth:length} a side ({ground:words})",
        "usual-rough-feed": "rough passes at {feed:length} a turn ({ground:words})",
        "finest-feed": "the lathe's finest feed, {feed:length}" + UNSOURCED,
        "no-machine": 'operations.yaml, {subject}: the line "machine: …", one of machines.yaml',
        "no-spindle-speeds": 'machines.yaml, {subject}: its spindle speeds, "speeds"',
        "no-length": 'operations.yaml, {subject}, under "cutting": the line "length: …"',
        "no-surface-speed": 'under "cutting": the line "surface_speed: …"; none is held for {metal:names} with {tool:names}',
        "speed-as-said": "{speed:surface speed}, as said for this cut",
        "speed-printed": (
            "{speed:surface speed} for {metal:names} with {tool:names}: {source:words} ({basis:words}){because}"
        ),
        "others-print": "; others print {least:surface speed} to {most:surface speed}",
        "stop-shows": (
            "with the part at {part:celsius} and {instrument:words} at {gauge:celsius}, as last read, {stop:size} shows as {shows:size}"
        ),
        "few-cuts": (
            "three cuts at two settings or more, made with this lathe, tool, feed and holding, written in cuts.yaml ({cuts:count} logged, "
            "{others:count} made otherwise on this lathe, which teach nothing here); until then the dial is believed, only the "
            "reading is allowed for, and the risk of passing the scrap limit is not worked out"
        ),
        "no-tool": (
            'operations.yaml, {subject}, under "cutting": the line "tool: …"; the cuts logged were made with more than one tool'
        ),
        "no-holding": (
            'operations.yaml, {subject}: the line "holding: …"; the cuts logged were made in more than one holding'
        ),
        "no-leave-on": (
            'operations.yaml, {subject}: the line "leaves: …", how much is left on for {later:and}; '
            "until then it is planned down to size"
        ),
        "spring-not-known": (
            "a spring cut with this lathe and tool, written in cuts.yaml (asked: 0); what one takes is not known and counts as "
            "nothing: read after each"
        ),
        "tool-taken": "the tool of the cuts logged, {tool:names}: the operation names none",
        "holding-not-known": "{cuts:count} of the cuts logged do not say how the work was held: they are taken as of this holding",
        "spring-of-other-feed": (
            "{take:length} for a pass without infeed, as logged for this lathe and tool at another feed or in another holding"
        ),
        "deeper-than-usual-over-gap": (
            "rough passes as deep as written, over the usual {usual:length} a side over a gap ({ground:words})"
        ),
        "down-to-what-is-left-on": "nothing to cut: it is down to the {left:length} that is left on for later operations",
        "past-what-is-left-on": (
            "cut deeper than {subject} was to leave: {now:length} on diameter is on for later operations in place of {left:length}"
        ),
        "begun-before-done": "{later:and} is begun though {subject} is not marked done: mark its day, or finish it first",
        "gap-ends-with-skin": "the gap is taken to end with the skin: the passes after it go as through whole metal",
        "speed-through-skin": "{share:figure} of the surface speed through the skin ({ground:words})",
        "speed-over-gap": "{share:figure} of the surface speed over a gap ({ground:words})",
        "own-speed-over-gap": "the surface speed as written; over a gap {share:figure} of it is usual ({ground:words})",
        "no-cut-within-risk": "no cut keeps to the accepted risk: read it better first, then file, emery, hone or lap",
        "mate-not-final": "its mate is not final: rough it, and leave the finishing until the mate has been read",
        "coarse-for-target": (
            "the uncertainty is over half of the target, so that no size is in it for certain: read it again before the last cut"
        ),
        "will-not-clean-up": "it will not clean up: at one place less than the skin of {skin:length} a side is left",
        "slowest-too-fast": "the slowest speed of {machine:words} is too fast here",
    }
)


def in_words(note: Note, fmt: UnitFormatter) -> str:
    """A note as a sentence, without its first capital and its full stop."""
    return "".join(
        text + (_value(note, name, said or "", fmt) if name else "")
        for text, name, said, _ in Formatter().parse(SENTENCES[note.code])
    )


def all_in_words(notes: Iterable[Note], fmt: UnitFormatter) -> str:
    """Several notes in a line."""
    return "; ".join(in_words(note, fmt) for note in notes)


def _value(note: Note, name: str, said: str, fmt: UnitFormatter) -> str:
    if not said:
        return OF_NOTE[name](fmt, note)
    kept_in, words = SAID[said]
    return words(fmt, getattr(note, kept_in)[name])


def _without_noughts(size: str) -> str:
    """A size as somebody would write it: 50 mm for 50.000 mm."""
    number, unit = size.split()
    return f"{number.rstrip('0').rstrip('.')} {unit}"
