"""What a shop sheet holds for its kind of work, beside cuts and boxes: keys, fits to check, what to read again, marks, sums."""

import re
from dataclasses import dataclass, field

from markupsafe import Markup

from gudgeon.assess.findings import Calculation, FeatureFinding, FitFinding, PatternSize, Recall, TimingMark
from gudgeon.pages.drawn.timing import circles
from gudgeon.pages.view import View
from gudgeon.records.figures import Figure
from gudgeon.records.operations import Operation
from gudgeon.records.parts import Feature
from gudgeon.records.running import Upkeep
from gudgeon.records.work_kinds import KIND_WORDS, kinds_of_work

KEY_FITS = ("key_taper",)
# The states of fits in the order in which somebody who assembles has to hear of them.
WORST_FIRST = (
    "out",
    "reads out",
    "metal on",
    "no reading",
    "stale",
    "conceded",
    "reads in",
    "no limit",
    "in",
    "frozen",
)
# Figures that whoever tightens a head needs, as they are said on the sheet.
STUDS = {"stud_count": "number", "stud_size": "size", "stud_torque": "torque", "torque_factor": "friction factor K"}
STUD_SUMS = ("stud-torque-wanted", "stud-clamp-ratio")
TIMING_SUMS = ("dead-centre-mark", "rim-mark-degree", "spark-mark-start", "spark-mark-run")
SPEED_SUMS = ("runaway-speed", "rim-speed", "rim-speed-runaway")
CASTING_SUMS = ("melt-weight",)
TEST_SUMS = ("jacket-test-pressure",)
# Families whose settings whoever starts the engine needs.
RUNNING_FAMILIES = ("governor", "ignition", "oiler", "cooling")
MOST_SUMS, LOG_LINES = 8, 3
CIRCLE_ROWS = 6  # of a table, as much paper as a row of timing circles takes


@dataclass(frozen=True)
class Again:
    """A feature to read again: where, with what, and what stood there."""

    ref: str
    stations: list[float]
    angles: list[float]
    gauges: list[str]
    rows: int
    least: float | None
    greatest: float | None
    state: str


@dataclass(frozen=True)
class KeyWork:
    """A taper key and its keyway. steeper: whether the key's taper is the steeper, None where they agree or one is not said."""

    fit: FitFinding
    keyway: Feature
    key: Feature
    steeper: bool | None
    length: FeatureFinding | None
    length_written: str | None


@dataclass(frozen=True)
class Make:
    """A feature to make to a size, because what it goes into is read and its fit does not stand."""

    ref: str
    low: float
    high: float
    fit: FitFinding
    mate: str


@dataclass
class Work:
    """What is shown. over: how many more there are of what was cut off to keep to one side of paper."""

    kinds: tuple[str, ...] = ()
    unknown: bool = False  # nothing tells the kind
    makes: list[Make] = field(default_factory=list)
    keys: list[KeyWork] = field(default_factory=list)
    again: list[Again] = field(default_factory=list)
    frozen: list[str] = field(default_factory=list)  # what would have to be read again and never can be
    recalls: list[Recall] = field(default_factory=list)
    fits: list[FitFinding] = field(default_factory=list)
    studs: list[tuple[str, Figure]] = field(default_factory=list)
    no_torque: bool = False
    marks: list[TimingMark] = field(default_factory=list)
    no_marks: bool = False
    circles: list[tuple[TimingMark | None, Markup]] = field(default_factory=list)
    spec: list[tuple[str, Feature, FeatureFinding]] = field(default_factory=list)
    sums: list[Calculation] = field(default_factory=list)
    patterns: list[PatternSize] = field(default_factory=list)
    no_patterns: bool = False
    upkeep: list[Upkeep] = field(default_factory=list)
    log_lines: int = 0
    over: dict[str, int] = field(default_factory=dict)

    @property
    def empty(self) -> bool:
        """Whether nothing stands on it."""
        lists = (
            self.makes,
            self.keys,
            self.again,
            self.fits,
            self.studs,
            self.marks,
            self.spec,
            self.sums,
            self.patterns,
        )
        return not any(lists) and not self.log_lines


def known_kinds() -> str:
    """The kinds that an operation may be, in words."""
    return ", ".join(KIND_WORDS)


def refs_to_read(view: View, operation: Operation | None) -> list[str] | None:
    """The features that a job of re-measuring is about: those that a gauge found off touched; None where it is no such job."""
    if operation is None or operation.changes or "measuring" not in kinds_of_work(operation):
        return None
    if "running" in kinds_of_work(operation):
        return None
    rows = {row for recall in _spoken_of(view, operation) for row in recall.rows if row not in recall.stale_rows}
    refs = {view.findings.rows[row].of for row in rows if row in view.findings.rows}
    of_part = [ref for ref in view.features_of_part.get(operation.part, {}) if view.build.features[ref].is_length]
    return [ref for ref in view.findings.features if ref in refs] or of_part


def _spoken_of(view: View, operation: Operation) -> list[Recall]:
    return [recall for recall in view.findings.recalls if _speaks_of(view, operation.does, recall.instrument)]


def _speaks_of(view: View, does: str, instrument: str) -> bool:
    """Whether words name an instrument: by its id, or by a word with figures of its name, such as 75-100."""
    words = set(re.findall(r"[\w./-]+", does.lower()))
    name = re.findall(r"[\w./-]*\d[\w./-]*", view.instrument_name(instrument).lower())
    return instrument.lower() in words or bool(words & set(name))


def work_of(view: View, operation: Operation | None, part: str, refs: list[str], planned: set[str], room: int) -> Work:
    """What the sheet of an operation, or of a part where it is None, holds beside cuts and boxes.

    refs: features that it changes or reads; planned: those of them with a plan of cuts. room: rows of tables that there is
    paper for.
    """
    kinds = kinds_of_work(operation) if operation else ()
    work = Work(kinds=kinds, unknown=operation is not None and not kinds)
    taken = _Room(room, work)
    is_ = set(kinds).__contains__
    work.makes = taken.some("makes", _makes(view, refs, planned))
    if is_("key") or view.build.parts[part].family == "key":
        work.keys = taken.some("keys", _keys(view, part, everywhere=is_("running")), rows=2)
    if operation is not None and refs_to_read(view, operation) is not None:
        work.frozen = [ref for ref in refs if is_frozen(view, ref)]
        work.again = taken.some("again", [_again(view, ref) for ref in refs if not is_frozen(view, ref)], head=2)
        work.recalls = _spoken_of(view, operation)
    if is_("timing"):
        drawn = circles(view.findings, view.fmt)
        work.circles = drawn[:1] if view.findings.timing_settings else drawn[:2]
        taken.left -= CIRCLE_ROWS if work.circles else 0
        work.marks = taken.some("marks", list(view.findings.timing_marks), head=2)
        work.no_marks = not view.findings.timing_marks
    if is_("casting"):
        work.patterns = taken.some(
            "patterns", [size for size in view.findings.patterns if size.of.partition(".")[0] == part], head=2
        )
        work.no_patterns = not work.patterns
    if is_("assembly") or is_("running"):
        work.studs = [(said, view.build.figures[name]) for name, said in STUDS.items() if name in view.build.figures]
        work.no_torque = "stud_torque" not in view.build.figures
    if is_("running"):
        work.log_lines = LOG_LINES
        work.upkeep = list(view.build.sound_head.upkeep.values())
        taken.left -= LOG_LINES + 2
    work.sums = taken.some("sums", _sums(view, kinds, part, refs), head=2)
    settings = _spec(view, kinds, part, refs)
    if is_("running"):  # what has to be set comes before what has been fitted
        work.spec = taken.some("spec", settings, head=2)
    work.fits = taken.some("fits", _fits(view, kinds, part, refs, planned), head=2)
    if not is_("running"):
        work.spec = taken.some("spec", settings, head=2)
    return work


@dataclass
class _Room:
    """Rows that are left on the paper. What finds no room is counted."""

    left: int
    work: Work

    def some(self, what: str, things: list, head: int = 0, rows: int = 1) -> list:
        """As many as there is room for."""
        if not things:
            return []
        count = max(0, min(len(things), (self.left - head) // rows))
        if count < len(things):
            self.work.over[what] = len(things) - count
        self.left -= count * rows + head if count else 0
        return things[:count]


def _keys(view: View, part: str, everywhere: bool) -> list[KeyWork]:
    made = []
    for fit_id, fit in view.build.fits.items():
        if fit.kind not in KEY_FITS or fit.keyway is None or fit.key is None:
            continue
        if not everywhere and part not in {ref.partition(".")[0] for ref in fit.halves}:
            continue
        keyway, key = view.build.features[fit.keyway], view.build.features[fit.key]
        tapers = (key.size, keyway.size)
        differ = tapers[0] is not None and tapers[1] is not None and tapers[0] != tapers[1]
        made.append(
            KeyWork(
                view.findings.fits[fit_id],
                keyway,
                key,
                tapers[0] > tapers[1] if differ else None,  # type: ignore[operator]
                view.findings.features.get(fit.bears_over) if fit.bears_over else None,
                view.build.features[fit.bears_over].nominal if fit.bears_over else None,
            )
        )
    return made


def _again(view: View, ref: str) -> Again:
    plan, feature = view.build.features[ref].plan, view.findings.features[ref]
    rows = [row for row in view.rows_of_part.get(ref.partition(".")[0], []) if row.of == ref]
    in_use = [row for row in rows if view.findings.rows[row.id].status == "current"]
    sizes = [cell.size for cell in feature.cells]
    stations = {float(station) for station in plan.stations} if plan else set()
    angles = {float(angle) for angle in plan.angles} if plan else set()
    return Again(
        ref,
        sorted(stations or {cell.station for cell in feature.cells if cell.station is not None}),
        sorted(angles or {cell.angle for cell in feature.cells if cell.angle is not None}),
        list(dict.fromkeys(row.gauge for row in in_use or rows[-1:])),
        len(in_use),
        min(sizes, default=None),
        max(sizes, default=None),
        feature.state,
    )


def _makes(view: View, refs: list[str], planned: set[str]) -> list[Make]:
    """Of what is changed without a plan of cuts and has no target of its own yet: the size that its fit wants of it."""
    made = []
    for fit_id, fit in view.build.fits.items():
        finding = view.findings.fits[fit_id]
        own = {name for note in finding.causes if note.code == "borrows-a-size" for name in note.names.get("own", ())}
        for half, ref, mate in (("shaft", fit.shaft, fit.hole), ("hole", fit.hole, fit.shaft)):
            to_make = [name for name in refs if name == ref or half == "shaft" and name in own]
            between = finding.size_for(half)
            if not to_make or mate is None or mate in refs or between is None or finding.state == "in":
                continue
            if to_make[0] not in planned and view.findings.features[to_make[0]].stock is None:
                made.append(Make(to_make[0], *between, finding, mate))
    return made


def _fits(view: View, kinds: tuple[str, ...], part: str, refs: list[str], planned: set[str]) -> list[FitFinding]:
    """Fits to hold the work against: all of the engine where it is put together or run, else those of what is worked on."""
    whole = "assembly" in kinds or "running" in kinds
    chosen = []
    for fit_id, fit in view.build.fits.items():
        finding = view.findings.fits[fit_id]
        if fit.kind in KEY_FITS and ("key" in kinds or view.build.parts[part].family == "key"):
            continue  # its own block
        halves = {ref for ref in (*fit.halves, fit.gap) if ref}
        of_part = any(ref.partition(".")[0] == part for ref in halves)
        # Of a half that borrows the size of another the fit names its own feature in what it has to tell.
        halves |= {name for note in finding.causes for names in note.names.values() for name in names}
        touched = bool(halves & set(refs)) if refs else of_part
        if (whole or touched) and not (planned & halves and not whole):
            chosen.append(finding)
    order = {state: place for place, state in enumerate(WORST_FIRST)}
    return sorted(chosen, key=lambda finding: order.get(finding.state, 0)) if whole else chosen


def _spec(view: View, kinds: tuple[str, ...], part: str, refs: list[str]) -> list[tuple[str, Feature, FeatureFinding]]:
    """What the records say the work is to become, as far as no box for it stands on the sheet."""
    parts = dict.fromkeys(ref.partition(".")[0] for ref in refs) or {part: None}
    chosen = [ref for name in parts for ref in view.features_of_part[name] if ref not in refs]
    if refs and not {"lapping", "key", "making"} & set(kinds) or {"assembly", "running"} & set(kinds):
        chosen = []
    if "lapping" in kinds:
        chosen += [ref for ref, feature in view.build.features.items() if feature.kind == "cone"]
    if "running" in kinds:
        families = {name for name, of in view.build.parts.items() if of.family in RUNNING_FAMILIES}
        chosen += [ref for ref in view.build.features if ref.partition(".")[0] in families]
    return [
        (ref, view.build.features[ref], view.findings.features[ref])
        for ref in dict.fromkeys(chosen)
        if _says_something(view.build.features[ref])
    ]


def _says_something(feature: Feature) -> bool:
    return any((feature.nominal, feature.limits, feature.tolerance, feature.detail, feature.note, feature.flat_most))


def _sums(view: View, kinds: tuple[str, ...], part: str, refs: list[str]) -> list[Calculation]:
    """Sums that this work needs, worked out."""
    names: list[str] = []
    names += STUD_SUMS if {"assembly", "running"} & set(kinds) else ()
    names += TIMING_SUMS if "timing" in kinds else ()
    names += SPEED_SUMS if "running" in kinds or view.build.parts[part].family == "governor" else ()
    names += CASTING_SUMS if "casting" in kinds else ()
    names += TEST_SUMS if "testing" in kinds else ()
    # What is made anew, or set, is made by its sums; what is cut to a size or run is not.
    family = view.build.parts[part].family
    own = family in ("key", *RUNNING_FAMILIES) or not refs and {"making", "casting", "timing"} & set(kinds)
    own = own and not {"running", "assembly"} & set(kinds)
    chosen = [
        calculation
        for calculation in view.findings.calculations
        if calculation.value is not None and (calculation.id in names or own and calculation.part == part)
    ]
    return sorted(chosen, key=lambda calculation: calculation.id not in names)[:MOST_SUMS]


def is_frozen(view: View, ref: str) -> bool:
    """Whether a feature was joined for good and can never be read again."""
    return view.findings.features[ref].state == "frozen"
