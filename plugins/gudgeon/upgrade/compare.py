"""The values of two versions of the tool over one club, as a review slip: what moved, and what could not be compared."""

from collections.abc import Callable
from typing import Any, get_origin

from gudgeon.assess.findings import Source
from gudgeon.ledger.difference import Move, differences
from gudgeon.ledger.values import Ledger, below_subject
from gudgeon.records.problems import Problem
from gudgeon.review.slip import (
    Blocker,
    Cause,
    FitChange,
    FitSnapshot,
    LimitingPoint,
    MovedValue,
    ReviewSlip,
    SubjectChange,
    Units,
)
from gudgeon.review.subjects import (
    ENDS,
    FROM_THE_FIGURE,
    LABELS,
    ORDER,
    QUIET,
    SHOWN_OF_A_FIT,
    SIZES,
    TOLD,
    TOLD_OF_A_FIT,
    alarm_of,
    fit_alarm,
    says_something,
    telling_order,
)
from gudgeon.upgrade.values import BuildValues, Head

CausesOf = Callable[[str, list[Move]], tuple[list[Cause], bool]]
CALLED = ("name", "gives", "does")  # values that say what a subject is called


def empty_slip(was: Head, now: Head, said: str) -> ReviewSlip:
    """A slip of two versions, with what neither can say of any build. said: how a person named the later one."""
    told: dict[str, Any] = {
        name: [] for name, field in ReviewSlip.model_fields.items() if get_origin(field.annotation) is list
    }
    slip = ReviewSlip(
        base=f"version {was.name} of the tool, which is installed",
        head=f"version {now.name} of the tool, {said}",
        files=0,
        moved=0,
        **told,
    )
    slip.blockers += [_blocker(None, told.problem) for told in now.problems]
    if not now.builds:
        slip.notes.append("there is no build in this club: nothing was compared")
    return slip


def add_build(slip: ReviewSlip, was: BuildValues, now: BuildValues, path: str, causes_of: CausesOf) -> None:
    """Add what moved in one build, or that it was not worked out. path: its folder, for the places of what moved."""
    if not now.worked_out:
        slip.not_worked_out.append(now.build)
        slip.blockers += [_blocker(now.build, told.problem, now.failed) for told in now.problems]
        return
    if not was.worked_out:
        slip.not_worked_out.append(now.build)
        slip.notes.append(
            f"{now.build} could not be worked out by {slip.base}: nothing can be said of what moved in it"
        )
        return
    slip.assessed.append(now.build)
    before, after = was.ledger(), now.ledger()
    moves = {address: move for address, move in differences(before, after).items() if not move.is_text}
    slip.moved += len(moves)
    by_subject: dict[tuple[str, str], list[Move]] = {}
    for move in moves.values():
        by_subject.setdefault(move.subject, []).append(move)

    def rank(subject: tuple[str, str]) -> tuple:
        return (ORDER.index(subject[0]) if subject[0] in ORDER else len(ORDER), subject)

    units: Units = now.units or "mm"
    for subject in sorted(by_subject, key=rank):
        of_subject = by_subject[subject]
        causes, unproved = causes_of(now.build, of_subject)
        both = _Both(before, after, subject, of_subject, now.build, units)
        fit = both.fit(f"{path}/fits.yaml", causes, unproved) if subject[0] == "fit" else None
        if fit is not None:
            slip.fits.append(fit)
        else:
            slip.subjects.append(both.change(causes, unproved))


def moved_addresses(was: BuildValues, now: BuildValues) -> set[tuple[str, ...]] | None:
    """The values that differ between two sides; None where one of them was not worked out."""
    if not (was.worked_out and now.worked_out):
        return None
    return {address for address, move in differences(was.ledger(), now.ledger()).items() if not move.is_text}


def _blocker(build: str | None, problem: Problem, failed: bool = False) -> Blocker:
    text = f"{problem.about}: {problem.text}" if problem.about else problem.text
    return Blocker.at("tool" if failed else "record", build, text, problem.where)


class _Both:
    """One subject of a build on both sides."""

    def __init__(self, was: Ledger, now: Ledger, subject: tuple[str, str], moves: list[Move], build: str, units: Units):
        self.kind, self.name = subject
        self.was, self.now, self.moves, self.build = was, now, moves, build
        self.units: Units = units
        # Below ("fit", "A-F01"), ("forecast",) or, of the build as a whole, nothing.
        self.above = tuple(part for part in subject if part) if self.kind != "build" else ()

    def fit(self, file: str, causes: list[Cause], unproved: bool) -> FitChange | None:
        """The change of a fit; None where one side is no fit that this version knows the states of."""
        try:
            was, now = self.snapshot(self.was), self.snapshot(self.now)
            return FitChange(
                build=self.build,
                id=self.name,
                name=self.called,
                units=self.units,
                was=was,
                now=now,
                alarm=fit_alarm(was, now),
                moved=sorted({" ".join(below_subject(move.address)) for move in self.moves})[:200],
                values=self.values(
                    [move for move in self.moves if below_subject(move.address)[0] not in SHOWN_OF_A_FIT], TOLD_OF_A_FIT
                ),
                causes=causes,
                unproved=unproved,
                source=Source(file=file, line=1),
            )
        except ValueError:
            return None

    def change(self, causes: list[Cause], unproved: bool) -> SubjectChange:
        """The change of something that is no fit."""
        has_limits = any(
            address[:3] == (*self.above, "limits")
            for address in (*self.was, *self.now)
            if self.kind == "feature" and address[:2] == self.above
        )
        alarm = alarm_of(self.kind, self.moves, has_limits)
        telling = self.moves
        if self.kind == "danger":  # what follows from the figure, and the state that an alarm says, are not told again
            repeated = (*FROM_THE_FIGURE, "state") if alarm else FROM_THE_FIGURE
            telling = [move for move in telling if below_subject(move.address)[0] not in repeated] or telling
        values = self.values(telling, len(telling))
        is_new, is_gone = (
            bool(self.name) and all(getattr(move, side) for move in self.moves) for side in ("new", "gone")
        )
        return SubjectChange(
            build=self.build,
            subject=self.kind,
            id=self.name,
            name=self.called,
            units=self.units,
            is_new=is_new,
            is_gone=is_gone,
            alarm=alarm,
            quiet=all(below_subject(move.address)[0] in QUIET.get(self.kind, ()) for move in self.moves),
            values=values[:TOLD],
            more=max(0, len(values) - TOLD),
            causes=causes,
            unproved=unproved,
            source=None,
        )

    @property
    def called(self) -> str:
        for key in CALLED:
            name = _at(self.now, *self.above, key) or _at(self.was, *self.above, key)
            if isinstance(name, str):
                part = _at(self.now, *self.above, "part") or _at(self.was, *self.above, "part")
                return f"{name} ({part})" if part and self.kind in ("calculation", "danger") else name
        return ""

    def values(self, moves: list[Move], most: int) -> list[MovedValue]:
        """What moved, the most telling first; of a fit that has no columns what would stand in them."""

        def rank(move: Move) -> tuple:
            first = below_subject(move.address)[0]
            column = (
                SHOWN_OF_A_FIT.index(first) if self.kind == "fit" and first in SHOWN_OF_A_FIT else len(SHOWN_OF_A_FIT)
            )
            return (column, *telling_order(self.kind, move))

        told = sorted((move for move in moves if says_something(move)), key=rank)
        return [self.value(move) for move in told[:most]]

    def value(self, move: Move) -> MovedValue:
        """A value that moved, with what it is called."""
        parts = below_subject(move.address)
        words = [LABELS.get(part, part.replace("_", " ")) for part in parts]
        if parts[-1] in ("0", "1") and len(parts) > 1:
            words[-1] = ENDS[int(parts[-1])]
        return MovedValue(
            label=LABELS.get(" ".join(parts)) or " ".join(words),
            kind=self.kind_of(move, parts),
            was=_plain(move.was),
            now=_plain(move.now),
        )

    def kind_of(self, move: Move, parts: tuple[str, ...]) -> str:
        """The kind of a moved value; of a number the kind of quantity that stands beside it."""
        if move.kind.name == "number":
            beside = (*move.address[: len(move.address) - 1], "kind")
            quantity = _at(self.now, *beside) or _at(self.was, *beside)
            return quantity if isinstance(quantity, str) else "number"
        is_size = parts[-1] in SIZES or parts[0] == "limits"
        return "size" if is_size and move.kind.name == "length" else move.kind.name

    def snapshot(self, ledger: Ledger) -> FitSnapshot | None:
        """How the fit stands on one side; None where it is not there. Raises ValueError where it has a state that is not known here."""

        def value(*parts: str) -> Any:
            return _at(ledger, *self.above, *parts)

        if (*self.above, "state") not in ledger:
            return None
        clearance, expanded = value("clearance"), value("expanded")
        hot = sorted(
            (one.value, address[3])
            for address, one in ledger.items()
            if address[:3] == (*self.above, "hot") and address[4:] == ("now",) and isinstance(one.value, float)
        )
        inside, dangerous = value("chance_inside"), value("dangerous")
        return FitSnapshot(
            state=value("state"),
            conformity=value("conformity"),
            clearance=clearance if expanded is not None else None,
            expanded=expanded,
            want_low=value("want_low"),
            want_high=value("want_high"),
            want_from="",
            rule_low=value("rule_low"),
            rule_high=value("rule_high"),
            chance_out=None if inside is None else min(1.0, max(0.0, 1 - inside)),
            dangerous=dangerous,
            chance_dangerous=value(f"chance_{dangerous}"),
            at=[
                LimitingPoint(
                    of=value(half),
                    station=value(f"{half}_at", "station"),
                    angle=value(f"{half}_at", "angle"),
                    rows=list(rows),
                    source=None,
                )
                for half in ("hole", "shaft")
                if (rows := value(f"{half}_at", "rows")) and value(half)
            ],
            hot_least=hot[0][0] if hot else None,
            hot_case=hot[0][1] if hot else None,
            look=bool(value("look")),
        )


def _at(ledger: Ledger, *address: str) -> Any:
    entry = ledger.get(address)
    return None if entry is None else entry.value


def _plain(value: Any) -> Any:
    """A value as a slip holds it: of a list its entries as words, of a number none that is endless."""
    if isinstance(value, tuple):
        return [
            " ".join("-" if part is None else str(part) for part in entry) if isinstance(entry, tuple) else str(entry)
            for entry in value
        ]
    if isinstance(value, float) and not -1e15 <= value <= 1e15:
        return str(value)
    return value
