"""Bends whole builds and holds what becomes of them to what must hold whatever is written.

An input is a build and some edits; everything runs in this process: load, assess, ledger, pages, export and review.
"""

import json
import math
import random
import re
import signal
import sys
import time
import traceback
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from fuzz.fields import Leaf, leaves
from fuzz.mutations import Edit, apply, draw
from fuzz.whole_builds import Files, Folder, base, draw_base, written
from gudgeon.assess.build import assess, assess_with_inputs
from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.told import numbers_told
from gudgeon.export.package import files as data_files
from gudgeon.ledger.causes import prove
from gudgeon.ledger.comparison import Comparison, Pair
from gudgeon.ledger.difference import differences
from gudgeon.ledger.values import Ledger, ledger_of
from gudgeon.pages.citations import Bibliography
from gudgeon.pages.page import Renderer
from gudgeon.pages.site import OF_A_BUILD
from gudgeon.pages.view import View
from gudgeon.project.two_revisions import trial_of
from gudgeon.records.edits import edits_of_build
from gudgeon.records.instalment_head import Instalment as Head
from gudgeon.records.model import Build, Instalment
from gudgeon.review.as_markdown import slip_markdown
from gudgeon.review.as_sarif import slip_sarif
from gudgeon.review.as_text import details_text, slip_text
from gudgeon.review.compare import slip_of
from small_build import shelf

FOUND = Path(__file__).parent / "found" / "meaning"
SLOW = 1.0  # seconds of this process for one build without its pages; a whole demonstration build takes half of that
HANG = 30  # seconds of the clock, after which it is stopped
NOT_A_NUMBER = re.compile(r"(?<![\w.:/#-])[-+−]?(?:nan|inf|infinity)(?![\w-])", re.IGNORECASE)
ENDLESS = re.compile(r"(?<![\w.#/-])[-−]?\d{11,}(?:\.\d+)?(?![\w-])")


@dataclass(frozen=True)
class Case:
    """A build, or a piece of one, and the edits that bend it."""

    name: str
    parts: tuple[str, ...]
    edits: tuple[Edit, ...]

    def as_json(self, says: str) -> str:
        """As it is kept. says: what it was found for."""
        edits = [[edit.file, list(edit.path), edit.value, edit.absurd] for edit in self.edits]
        kept = {"found": says, "build": self.name, "parts": list(self.parts), "edits": edits}
        return json.dumps(kept, ensure_ascii=False, indent=1) + "\n"

    @classmethod
    def from_json(cls, text: str) -> "Case":
        """As `as_json` wrote it."""
        kept = json.loads(text)
        edits = tuple(Edit(file, tuple(path), value, absurd) for file, path, value, absurd in kept["edits"])
        return cls(kept["build"], tuple(kept["parts"]), edits)


@dataclass
class Sound:
    """A build as it stands before it is bent, worked out once."""

    files: Files
    build: Build
    findings: BuildFindings
    ledger: Ledger


@dataclass
class Bench:
    """Runs inputs one after the other. counts: how many were refused, worked out and shown."""

    pages: bool = True
    folders: dict[str, Folder] = field(default_factory=lambda: defaultdict(Folder))
    counts: Counter[str] = field(default_factory=Counter)
    _sound: dict[Any, Sound | None] = field(default_factory=dict)

    def sound(self, name: str, parts: tuple[str, ...]) -> Sound | None:
        """What an input begins from; None where a piece does not stand by itself."""
        if (name, parts) not in self._sound:
            if len(self._sound) > 40:
                self._sound.clear()
            files = base(name, parts)
            build = self.folders[name].load(files)
            findings = None if build.problems else assess(build, shelf())
            self._sound[name, parts] = Sound(files, build, findings, ledger_of(findings)) if findings else None
        return self._sound[name, parts]

    def draw(self, seed: int) -> Case | None:
        """The input of a seed."""
        dice = random.Random(seed)
        name, parts = self.base(dice)
        sound = self.sound(name, parts)
        if sound is None:
            return None
        edits: list[Edit] = []
        for _ in range(dice.choice((1, 1, 1, 2, 3, 6))):
            edits += draw(apply(sound.files, edits), dice)
        return Case(name, parts, tuple(edits))

    def base(self, dice: random.Random) -> tuple[str, tuple[str, ...]]:
        """What an input bends."""
        return draw_base(dice)

    def read(self, kept: str) -> Case:
        """A case as it was kept."""
        return Case.from_json(kept)

    def smallest(self, case: Case, fault: str) -> Case:
        """The case with as few edits as still show the fault."""
        edits = list(case.edits)
        for edit in case.edits:
            fewer = [other for other in edits if other is not edit]
            if len(edits) > 1 and fault in self.faults(Case(case.name, case.parts, tuple(fewer))):
                edits = fewer
        return Case(case.name, case.parts, tuple(edits))

    def faults(self, case: Case) -> list[str]:
        """What does not hold of an input, in words that are the same for the same fault."""
        sound = self.sound(case.name, case.parts)
        assert sound is not None, f"{case.name} {case.parts} does not stand by itself"
        files = apply(sound.files, case.edits)
        self.counts["inputs"] += 1
        try:
            with stopped_after(HANG):
                return list(self._faults(case, sound, files))
        except Exception as error:
            return [of_exception(error)]

    def _faults(self, case: Case, sound: Sound, files: Files) -> Iterator[str]:
        began = time.process_time()
        build = self.folders[case.name].load(files)
        yield from of_problems(build)
        if build.problems:
            self.counts["refused"] += 1
            if len(case.edits) == 1 and case.edits[0].absurd:
                yield from of_place(build, files, case.edits[0])
            if time.process_time() - began > SLOW:
                yield "slow to refuse"
            return
        self.counts["worked out"] += 1
        yield from of_absurd(case, files)
        findings, inputs = assess_with_inputs(build, shelf())
        ledger = ledger_of(findings)
        yield from of_ledger(ledger)
        for name, content in data_files(build, findings).items():
            if name.endswith(".json"):
                json.loads(content, parse_constant=no_constant)
        yield from self._of_review(sound, build, findings, ledger)
        # What the whole costs without its pages, in step with what it cost before it was bent.
        if time.process_time() - began > SLOW * (3 if case.name != "small" and not case.parts else 1):
            yield "slow to work out"
        yield from self._of_removed_reading(build, findings)
        yield from self._of_what_must_not_matter(case, files, ledger)
        if self.pages:
            self.counts["shown"] += 1
            build = with_a_story(build)
            renderer = Renderer(Bibliography(shelf().sources), "folders")
            told = numbers_told(build, shelf(), findings)
            view = View(build, findings, shelf(), renderer, None, inputs=inputs, numbers=told)
            for kind, _ in OF_A_BUILD:
                for page in kind.pages(view):
                    yield from of_page(page.text, files)
            for failure in view.failures:
                yield f"page failed: {failure.says} in {failure.code}"

    def _of_review(self, sound: Sound, build: Build, findings: BuildFindings, ledger: Ledger) -> Iterator[str]:
        pair = Pair(build.id, sound.build, build, sound.findings, findings)
        pair.edits = edits_of_build(sound.build, build)
        moved = differences(sound.ledger, ledger)
        pair.proof = prove(pair.edits, moved, sound.ledger, ledger, trial_of(build, shelf()), 2)
        slip = slip_of(Comparison("before", "after", shelf(), shelf(), [lambda: pair], files=1))
        said = slip_text(slip) + details_text(slip)
        slip_markdown(slip, "https://forge.example/")
        slip_sarif(slip)
        numbers = sum(not move.is_text for move in moved.values())
        if slip.moved != numbers or (numbers and "No number moves" in said):
            yield "the slip is wrong on how many numbers move"

    def _of_what_must_not_matter(self, case: Case, files: Files, ledger: Ledger) -> Iterator[str]:
        """What files of readings are called moves no value."""
        names = [name for name in files if name.startswith("readings/")]
        told = {name: data for name, data in files.items() if name not in names}
        told |= {f"readings/2000-01-01-{number}.yaml": files[name] for number, name in enumerate(reversed(names))}
        build = self.folders[case.name].load(told)
        if build.problems:
            yield f"told in another way it is refused: {build.problems[0].text[:120]}"
            return
        for move in differences(ledger, ledger_of(assess(build, shelf()))).values():
            if not move.is_text:
                yield f"moved by a file's name: {move.address[0]}.{'.'.join(move.address[2:])}"
                return

    def _of_removed_reading(self, build: Build, findings: BuildFindings) -> Iterator[str]:
        """Without the readings that decide a fit, the fit is another."""
        fits = [fit for fit in findings.fits.values() if fit.clearance is not None and fit.hole_at and fit.hole_at.rows]
        if not fits:
            return
        fit = fits[0]
        assert fit.hole_at
        gone = set(fit.hole_at.rows)
        without = _without_rows(build, gone)
        if without is None:
            return
        if assess(without, shelf()).fits[fit.id] == fit:
            yield "a deciding reading was removed and nothing of its fit changed"


def with_a_story(build: Build) -> Build:
    """The build with an instalment of a day in the middle of it that ties a number to each fit and each length."""
    days = sorted(day for day, _ in build.dated())
    people = list(build.sound_head.people)
    if not days or not people or build.instalments:
        return build
    lengths = [ref for ref, feature in build.features.items() if feature.is_length]
    ties = [*(f"[1 thou](fit:{fit})" for fit in build.fits), *(f"[50 mm](size:{ref})" for ref in lengths)]
    head = Head.model_validate({"number": 1, "title": "x", "date": days[len(days) // 2].isoformat(), "by": people[0]})
    return replace(build, instalments=[Instalment(head, " ".join(ties), f"{build.path}/log/01-x.md", "01-x")])


def _without_rows(build: Build, gone: set[str]) -> Build | None:
    from dataclasses import replace

    from gudgeon.records.edits import problems_of

    rows = [row for row in build.rows if row.id not in gone]
    without = replace(build, rows=rows)
    return None if problems_of(without, shelf()) else without


def of_ledger(ledger: Ledger) -> Iterator[str]:
    """What no value of a ledger may be."""
    for value in ledger.values():
        number, name = value.value, value.address[-1]
        if isinstance(number, bool) or not isinstance(number, (int, float)):
            continue
        at = f"{value.address[0]}.{'.'.join(part for part in value.address[2:] if not part.isdigit())}"
        if not math.isfinite(number):
            yield f"{number} in the ledger: {at}"
        elif value.kind.name in ("chance", "share") and not -1e-9 <= number <= 1 + 1e-9:
            yield f"a {value.kind.name} outside 0 to 1: {at}"
        elif name in ("expanded", "expanded_unshared") and number <= 0 and not _as_stated(ledger, value.address):
            yield f"an uncertainty that is not over nought: {at}"
        elif abs(number) > 1e12:
            yield f"an endless number: {at}"


def _as_stated(ledger: Ledger, address: tuple[str, ...]) -> bool:
    """Two tapers are held as they are stated: nothing says how well they are known, and the page says so."""
    kind = ledger.get((*address[:2], "kind"))
    return address[0] == "fit" and kind is not None and kind.value == "key_taper"


def of_page(text: str, files: Files) -> Iterator[str]:
    """What no page may say, unless it repeats what somebody wrote."""
    for pattern, what in ((NOT_A_NUMBER, "not a number"), (ENDLESS, "an endless number")):
        for match in pattern.finditer(text):
            if match[0].strip("-−+") not in str(files):
                yield f"{what} on a page: {text[max(0, match.start() - 60) : match.end() + 20]!r}"
                break


def of_problems(build: Build) -> Iterator[str]:
    for problem in build.problems:
        if "\n" in str(problem) or len(str(problem)) > 2000:
            yield f"an endless message: {str(problem)[:200]}"
        if NOT_A_NUMBER.search(problem.text.partition("Found")[0]):
            yield f"not a number in a message: {problem}"


def of_place(build: Build, files: Files, edit: Edit) -> Iterator[str]:
    """An absurd figure is told in its file, at its line or in its record."""
    path = edit.path[1:] if edit.file.startswith("log/") else edit.path
    data = files[edit.file]["head"] if edit.file.startswith("log/") else files[edit.file]
    line = written(data).line_of.get(path, 0) + edit.file.startswith("log/")
    places = {(problem.where.file, problem.where.line) for problem in build.problems}
    if (f"builds/fuzz/{edit.file}", line) not in places:
        yield f"told elsewhere than at its line: {_named(edit, files)}"


def of_absurd(case: Case, files: Files) -> Iterator[str]:
    for edit in case.edits:
        still = [leaf for leaf in _leaves_of(edit.file, files) if leaf.path == edit.path]
        if edit.absurd and still and still[0].value == edit.value:
            yield f"not told: {_leaf_named(still[0])} of {still[0].kind} {edit.value}"


def _leaves_of(file: str, files: Files) -> Iterator[Leaf]:
    return leaves({file: files[file]}) if file in files else iter(())


def _named(edit: Edit, files: Files) -> str:
    leaf = next((leaf for leaf in _leaves_of(edit.file, files) if leaf.path == edit.path), None)
    return f"{_leaf_named(leaf)} {edit.value}" if leaf else f"{edit.file} {edit.path}"


def _leaf_named(leaf: Leaf) -> str:
    return f"{leaf.owner}.{leaf.field}"


def no_constant(text: str) -> None:
    raise AssertionError(f"{text} in the data")


class TooLong(Exception):
    """An input was stopped."""


@contextmanager
def stopped_after(seconds: int) -> Iterator[None]:
    def stop(*_: Any) -> None:
        raise TooLong(f"stopped after {seconds} s")

    before = signal.signal(signal.SIGALRM, stop)
    signal.alarm(seconds)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def of_exception(error: Exception) -> str:
    frames = [frame for frame in traceback.extract_tb(error.__traceback__) if "/gudgeon" in frame.filename]
    at = f"{Path(frames[-1].filename).name}:{frames[-1].name}:{frames[-1].lineno}" if frames else "outside"
    return f"{type(error).__name__} at {at}: {re.sub(r'[0-9.]+', 'N', str(error))[:120]}"
