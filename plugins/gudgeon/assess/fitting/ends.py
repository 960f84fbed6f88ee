"""The two ends of a fit, each judged at its own worst places: the least clearance at the tight one, the most at the loose one."""

from collections.abc import Iterable
from dataclasses import dataclass

from gudgeon_calc.uncertainty import WORST_FIRST, Conformity, chance_of_neither, conformity
from gudgeon_calc.units import reaches

from gudgeon.assess.findings import FitEnd, Note
from gudgeon.assess.findings.fits import EndName
from gudgeon.assess.fitting.pairings import End, Pair
from gudgeon.assess.measuring.coverage import Doubt, correlation, doubt_of
from gudgeon.assess.measuring.measured_build import MeasuredBuild


@dataclass(frozen=True)
class JudgedEnd:
    """One end of a fit with its uncertainty and what is wanted of it, mm."""

    name: EndName
    end: End
    doubt: Doubt
    low: float | None  # wanted at the tight end
    high: float | None  # wanted at the loose end

    @property
    def clearance(self) -> float:
        """The clearance alone."""
        return self.end.clearance.nominal_value

    @property
    def wanted(self) -> float | None:
        """The limit of this end."""
        return self.low if self.name == "tight" else self.high

    @property
    def stands(self) -> Conformity | None:
        """Where it stands; None where nothing is wanted of it."""
        return self.stands_at(self.clearance)

    def stands_at(self, clearance: float) -> Conformity | None:
        """Where it would stand with another clearance, mm."""
        return None if self.wanted is None else conformity(clearance, self.doubt.expanded, self.low, self.high)

    @property
    def chance(self) -> float:
        """The chance that it is truly outside."""
        return max(self.doubt.chance_outside(self.clearance, self.low, self.high))

    @property
    def over(self) -> float:
        """How far it reads outside, mm; 0 inside."""
        by = self.low - self.clearance if self.low is not None else self.clearance - (self.high or 0.0)
        return 0.0 if self.wanted is None or reaches(0.0, by) else by

    def finding(self) -> FitEnd:
        """As a finding."""
        return FitEnd(
            end=self.name,
            clearance=self.clearance,
            expanded=self.doubt.expanded,
            wanted=self.wanted,
            conformity=self.stands,
            chance=None if self.wanted is None else self.chance,
            hole_at=self.end.hole.finding() if self.end.hole else None,
            shaft_at=self.end.shaft.finding() if self.end.shaft else None,
        )

    def note(self) -> Note:
        """What this end has and wants."""
        assert self.wanted is not None, "an end of which nothing is wanted is not told"
        names = {"rows": tuple(row for place in (self.end.hole, self.end.shaft) if place for row in place.rows)}
        words = {"stands": "is out" if self.stands == "out" else self.stands or ""}
        lengths, chances = {"clearance": self.clearance, "wanted": self.wanted}, {"chance": self.chance}
        if self.name == "tight":
            return Note(code="tight-end", names=names, words=words, lengths=lengths, chances=chances)
        return Note(code="loose-end", names=names, words=words, lengths=lengths, chances=chances)


@dataclass(frozen=True)
class Ends:
    """Both ends of a fit."""

    tight: JudgedEnd
    loose: JudgedEnd
    dangerous: EndName

    @property
    def both(self) -> tuple[JudgedEnd, JudgedEnd]:
        """The tight end first."""
        return self.tight, self.loose

    @property
    def deciding(self) -> JudgedEnd:
        """The end that hurts: its clearance is what the fit is said to have."""
        return self.tight if self.dangerous == "tight" else self.loose

    @property
    def stands(self) -> Conformity | None:
        """Where the fit stands: the worse of its two ends."""
        return worse(end.stands for end in self.both)

    @property
    def not_in(self) -> tuple[JudgedEnd, ...]:
        """The ends that are out or doubtful."""
        return tuple(end for end in self.both if end.stands not in (None, "in"))

    def chances(self) -> dict[str, float]:
        """The chances of standing outside at each end and inside at both, and how far the worse one reads outside."""
        errors = correlation(self.tight.end.clearance, self.loose.end.clearance)
        return {
            "chance_tight": self.tight.chance,
            "chance_loose": self.loose.chance,
            "chance_inside": chance_of_neither(self.tight.chance, self.loose.chance, errors),
            "short_by": max(end.over for end in self.both),
        }


def ends_of(context: MeasuredBuild, pair: Pair, low: float | None, high: float | None) -> Ends:
    """Both ends of a pair held against the range that is wanted, mm."""
    return Ends(
        JudgedEnd("tight", pair.tight, doubt_of(context, pair.tight.clearance), low, None),
        JudgedEnd("loose", pair.loose, doubt_of(context, pair.loose.clearance), None, high),
        pair.dangerous,
    )


def worse(stands: Iterable[Conformity | None]) -> Conformity | None:
    """The worst of several verdicts; None where there is none."""
    judged = {one for one in stands if one is not None}
    return next((stand for stand in WORST_FIRST if stand in judged), None)
