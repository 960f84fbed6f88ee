"""Findings of the build as a whole."""

from typing import Literal

from pydantic import Field

from gudgeon.assess.findings.base import Finding, Source
from gudgeon.assess.findings.calculations import Calculation, DangerFinding, PatternSize, TimingMark
from gudgeon.assess.findings.fits import FitFinding, RingFinding, RuleFinding
from gudgeon.assess.findings.sizes import FeatureFinding, RowFinding
from gudgeon.assess.findings.work import CutPlan, Forecast


class SuspectedMistake(Finding):
    """A probable mistake in a record, with its likely cause."""

    kind: str = Field(description="Short name of the kind of slip.")
    cause: str = Field(description="The likely cause, in words.")
    about: str = Field(description="Feature, fit or operation.")
    row: str | None = Field(default=None, description="Id of the reading, or of the first of them.")
    rows: list[str] = Field(default=[], description="All readings that it touches, where there are several.")
    operation: str | None = Field(default=None, description="Id of the operation.")
    fits: list[str] = Field(default=[], description="Fits that it touches.")
    source: Source


class Recall(Finding):
    """An instrument found off after it was used: what it touched."""

    instrument: str
    reads_high: float = Field(description="How much it read too high, mm; negative is too low.")
    found: str = Field(description="The day of the check that showed it.")
    rows: list[str] = Field(description="Readings taken with it or through it meanwhile.")
    stale_rows: list[str] = Field(description="Those of them that no longer count anyway.")
    features: list[str] = Field(description="Features whose size moves.")
    moves: list[str] = Field(description="Fits that move.")
    cancels: list[str] = Field(description="Fits whose halves were both read with it, so that the error cancels.")


class OperationFinding(Finding):
    """An operation as it stands."""

    id: str
    part: str
    does: str
    state: Literal["done", "can start", "waiting", "blocked"]
    waits_for: list[str] = Field(description="Operations that must be done first.")
    why: str = Field(description="In words.")
    expected_minutes: float | None = Field(description="(least + 4·likely + most)/6.")
    holding: str | None = Field(default=None, description="The holding that it belongs to.")
    wait_days: float = Field(default=0.0, description="Days that pass after it with nobody at work.")
    makes_stale: list[str] = Field(default=[], description="Features with a fresh reading that it will make stale.")
    breaks: str | None = Field(default=None, description="A holding on the same part that it would break.")
    hold_point: list[str] = Field(
        default=[], description="What has to be read or settled before it: it is a hold point."
    )
    frees_minutes: float = Field(description="Expected minutes of everything that waits behind it.")
    advice: list[str]
    source: Source


class GaugeFinding(Finding):
    """An instrument as it stands."""

    scale_of: str = Field(description="The instrument whose scale it reads with: itself, or the one it is set in.")
    scale: float = Field(description="U of that scale, mm.")
    rows: int = Field(description="How many rows were read with it.")
    overdue: bool = Field(description="Whether its check was due before the build's newest day.")


class MetalFinding(Finding):
    """A material as the sums use it."""

    cte: float = Field(description="Mean linear expansion in use, per K.")
    cte_within: float | None = Field(description="Plus or minus, per K; null where nothing is stated.")
    valid: tuple[float, float] | None = Field(description="Temperatures that the coefficient holds for, °C.")
    density: float | None = Field(description="kg/m³.")
    governed_by: str | None = Field(description="Of a lining: the shell whose growth governs.")


class Progress(Finding):
    """How far the build is."""

    done: int = Field(description="Operations done.")
    open: int = Field(description="Operations not done.")
    expected_done: float = Field(description="Expected minutes of the operations done.")
    expected_open: float = Field(description="Expected minutes of the operations still to do.")
    share: float | None = Field(description="Expected minutes done over all expected minutes, 0 to 1.")


class BuildFindings(Finding):
    """All findings of one build."""

    format: Literal["gudgeon-findings-2"] = "gudgeon-findings-2"
    build: str
    name: str
    units: Literal["in", "mm"] = Field(
        description="The unit that the drawings use. Numbers here are in mm all the same."
    )
    as_of: str | None = Field(description="The newest day in the records: the build's today.")
    features: dict[str, FeatureFinding]
    fits: dict[str, FitFinding]
    rows: dict[str, RowFinding]
    mistakes: list[SuspectedMistake]
    operations: dict[str, OperationFinding]
    next_jobs: list[str] = Field(description="Operations that can start, the one that frees most first.")
    rules: list[RuleFinding]
    rings: list[RingFinding]
    gauges: dict[str, GaugeFinding]
    recalls: list[Recall] = Field(description="Instruments found off after use, and what moves with them.")
    metals: dict[str, MetalFinding]
    calculations: list[Calculation] = Field(
        description="Sums for the parts and the whole engine, worked out or not yet."
    )
    dangers: list[DangerFinding] = Field(description="Computed figures that cautions watch, with their margins.")
    timing_marks: list[TimingMark] = Field(description="Printed valve settings along this rim.")
    patterns: list[PatternSize] = Field(description="Pattern sizes by each source's contraction.")
    progress: Progress
    cut_plans: list[CutPlan] = Field(description="How to cut what has metal on, operation by operation.")
    forecast: Forecast
