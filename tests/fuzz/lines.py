"""A target that draws lines of quick entry by their grammar: each is refused in words, or a row that a readings file takes."""

import datetime
import json
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace

from fuzz.meaning import of_exception
from fuzz.whole_builds import Folder, base
from gudgeon.entry.line import NotClear, place_words, read_line
from gudgeon.records.edits import problems_of
from gudgeon.records.model import Build
from gudgeon.records.problems import Problems
from gudgeon.records.readings import Row
from gudgeon.records.validation import validate
from gudgeon.records.yaml_text import read_yaml
from gudgeon.records.yaml_writing import flow
from gudgeon_calc.units import NotAQuantity, read_readings
from small_build import shelf

DAY = datetime.date(2025, 4, 20)
SMALL = ("small", "at-work")
BUILDS = (*SMALL, "harrow-pond", "sundlia")
TEMPERATURES = ("20c/20c", "24c/16c", "68f/20c", "-2.5C/50F", "20c", "999c/999c", "20/20", "20c/20c/20c")
PLACES = (
    "0",
    "10",
    "90",
    "3.5",
    "1/2in",
    "-",
    "--",
    "-1",
    "1e3",
    "999999",
    "180",
    "359.99",
    "360",
    "0deg",
    "45°",
    "5-1/2in",
    "10mm",
)
SAID = (
    "on 2025-04-06",
    "on 2199-01-01",
    "on",
    "at 9:15",
    "at 24:00",
    "by nobody",
    "lobes 3",
    "lobes 0",
    "thermometer t",
    "# a note",
    "# \u00a0'=1+1",
    "held 12c",
    "#",
)
ODD = (
    "0",
    "-1",
    "+6",
    "tenths",
    "from",
    "1/0",
    "1/64",
    "9" * 9,
    "9" * 30,
    "1e400",
    "nan",
    "inf",
    "0x1F",
    "1,5",
    "1.2.3",
    "°",
    "½",
    "٣",
    "１",
    "\u200b",
    ".",
    "..",
    "/",
    "mm",
    "cut",
    "a b",
)


@dataclass(frozen=True)
class LineCase:
    """A line for a build. after: a line before it in the same session, or an empty text."""

    build: str
    line: str
    after: str

    def as_json(self, says: str) -> str:
        """As it is kept."""
        return json.dumps({"found": says, **asdict(self)}, ensure_ascii=False, indent=1) + "\n"


class Lines:
    """Draws lines for four builds."""

    def __init__(self) -> None:
        self.counts: Counter[str] = Counter()
        self._builds: dict[str, Build] = {}

    def _build(self, name: str) -> Build:
        if name not in self._builds:
            self._builds[name] = Folder().load(base(name))
            assert not self._builds[name].problems
        return self._builds[name]

    def draw(self, seed: int) -> LineCase:
        """The input of a seed."""
        dice = random.Random(seed)
        name = dice.choice(BUILDS)
        build = self._build(name)
        return LineCase(name, _line(build, dice), _line(build, dice) if dice.random() < 0.2 else "")

    def read(self, kept: str) -> LineCase:
        """As it was kept."""
        case = json.loads(kept)
        return LineCase(case["build"], case["line"], case["after"])

    def smallest(self, case: LineCase, fault: str) -> LineCase:
        """The line with as few words as still show the fault."""
        for word in range(len(case.line.split()) - 1, -1, -1):
            words = case.line.split()
            fewer = replace(case, line=" ".join(words[:word] + words[word + 1 :]))
            if fault in self.faults(fewer):
                case = fewer
        return case

    def faults(self, case: LineCase) -> list[str]:
        """What does not hold of an input."""
        self.counts["inputs"] += 1
        try:
            return list(self._faults(case))
        except Exception as error:
            return [of_exception(error)]

    def _faults(self, case: LineCase) -> Iterator[str]:
        build = self._build(case.build)
        by = next(iter(build.sound_head.people))
        try:
            last = read_line(build, case.after, DAY, by) if case.after else None
            entered = read_line(build, case.line, DAY, by, last)
        except NotClear as refused:
            self.counts["refused"] += 1
            if not str(refused).strip() or len(str(refused)) > 1500 or "\n" in str(refused) or "\x1b" in str(refused):
                yield f"refused in no words, or in endless ones: {str(refused)[:80]}"
            return
        self.counts["taken"] += 1
        if "\n" in entered.words.strip() and len(entered.words) > 3000 or "\x1b" in entered.words:
            yield "read back in endless words"
        problems = Problems()
        text = flow(entered.row)
        document = read_yaml(text, "x.yaml", problems)
        if document is None:
            if "#" not in case.line:
                yield f"a row that is no YAML: {problems.in_order()[0].text[:80]}"
            return
        if document.data != entered.row and "\u00a0" not in case.line:
            yield "a row that reads back as another"
        row = validate(Row, document, problems)
        if row is None:  # told as it is written, at its place
            self.counts["refused as they are written"] += 1
            return
        for read in row.reads:
            if read.text not in entered.words:
                yield "a reading that is not read back"
        # All checks of a big build cost more than all else here: of those, one row in ten.
        looked_at = case.build in SMALL or len(case.line) % 10 == 0
        if looked_at and problems_of(replace(build, rows=[*build.rows, row]), shelf()):
            self.counts["refused as they are written"] += 1
        try:
            read_readings(str(entered.row["reads"])) if isinstance(entered.row["reads"], str) else None
        except NotAQuantity:
            yield "readings that no file takes"


def _station(build: Build, ref: str, dice: random.Random) -> str:
    """A station that the feature has, in the unit of the drawings."""
    extent = build.features[ref].extent
    if extent is None:
        return dice.choice(("10", "0.5", "-"))
    low, high = (float(end) for end in extent)
    at = low + (high - low) * dice.choice((0.1, 0.3, 0.5, 0.9))
    return f"{at / 25.4 if build.sound_head.units == 'in' else at:.2f}"


def _line(build: Build, dice: random.Random) -> str:
    """A line as somebody types it, with a word of it bent now and then."""
    ref = dice.choice(sorted(build.features))
    part, _, feature = ref.partition(".")
    size = build.features[ref].size or 10.0
    words = dice.choice(([part, feature], [f"{part}.{feature}"], [part.upper(), feature.title()], [feature]))
    odd = dice.random() < 0.3
    words += place_words(build, ref, _station(build, ref, dice), dice.choice(("0", "90", "45", "-"))).split()
    if odd:
        words += [dice.choice(PLACES)] * dice.choice((1, 2))
    inch = build.sound_head.units == "in"
    for _ in range(dice.choice((1, 1, 2, 3))):
        near = (size / 25.4 if inch else size) * dice.choice(
            (1, 1, 1, 1, 1.0001, 0.9999, 1.01, 25.4 if odd else 1, 1 / 25.4 if odd else 1, 0.5 if odd else 1)
        )
        words.append(
            f"{near:.{dice.choice((3, 4)) if not odd else dice.choice((0, 2))}f}{dice.choice(('', 'mm', 'in', 'thou', '+', 't')) if odd else ''}"
        )
    if dice.random() < 0.1:
        words += dice.choice((["+6"], ["+6", "tenths", "from", "1.9660in"], ["5", "tenths"], ["+3.5t"], ["1", "31/32"]))
    if dice.random() < 0.95:
        words.append(dice.choice(TEMPERATURES[:3] if dice.random() < 0.8 else TEMPERATURES))
    if dice.random() < 0.95:
        words.append(dice.choice(sorted(build.instruments)))
    if dice.random() < 0.3:
        words += dice.choice(SAID).split()
    if dice.random() < 0.2 and build.operations:
        words += ["after", dice.choice(sorted(build.operations))]
    for _ in range(dice.choice((0, 0, 0, 1, 2)) if odd else 0):
        place = dice.randrange(len(words) + 1)
        way = dice.randrange(4)
        if way == 0:
            words.insert(place, dice.choice(ODD))
        elif place < len(words):
            words[place : place + 1] = ([], [dice.choice(ODD)], [words[place], words[place]])[way - 1]
    return " ".join(words)
