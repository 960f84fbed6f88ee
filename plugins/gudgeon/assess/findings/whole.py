"""Findings of the build as a whole."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import (
    STATE,
    Choice,
    Count,
    Day,
    Days,
    Density,
    Expansion,
    Finding,
    Flag,
    Length,
    Minutes,
    Name,
    Names,
    Note,
    Share,
    Source,
    Table,
    Temperature,
    Words,
)
from gudgeon.assess.findings.calculations import (
    ApplyingCautions,
    Calculation,
    DangerFinding,
    PatternSize,
    TimingMark,
    TimingSetting,
)
from gudgeon.assess.findings.due import DueFinding, RunningFinding
from gudgeon.assess.findings.fits import FitFinding, RingFinding, RuleFinding
from gudgeon.assess.findings.outcomes import OutcomeFinding
from gudgeon.assess.findings.set_ups import SetUpFinding
from gudgeon.assess.findings.sizes import FeatureFinding, RowFinding
from gudgeon.assess.findings.work import CutFinding, CutPlan, Forecast


class SuspectedMistake(Finding):
    """A probable mistake in a record, with its likely cause."""

    key = ("kind", "about", "row", "operation")

    kind: Choice = Field(description="Short name of the kind of slip.")
    cause: Note = Field(description="The likely cause.")
    about: Name = Field(description="Feature, fit or operation.")
    row: Name | None = Field(default=None, description="Id of the reading, or of the first of them.")
    rows: Names = Field(default=(), description="All readings that it touches, where there are several.")
    operation: Name | None = Field(default=None, description="Id of the operation.")
    fits: Names = Field(default=(), description="Fits that it touches.")
    source: Source


class Recall(Finding):
    """An instrument found off after it was used: what it touched."""

    key = ("instrument", "found")

    instrument: Name
    reads_high: Length = Field(description="How much it read too high, mm; negative is too low.")
    found: Day = Field(description="The day of the check that showed it.")
    rows: Names = Field(description="Readings taken with it or through it meanwhile.")
    stale_rows: Names = Field(description="Those of them that no longer count anyway.")
    features: Names = Field(description="Features whose size moves.")
    moves: Names = Field(description="Fits that move.")
    cancels: Names = Field(description="Fits whose halves were both read with it, so that the error cancels.")


class OperationFinding(Finding):
    """An operation as it stands."""

    id: Name
    part: Name
    does: Words
    state: Annotated[Literal["done", "can start", "waiting", "blocked"], STATE]
    waits_for: Names = Field(description="Operations that must be done first.")
    why: Note = Field(description="Why it stands so.")
    expected_minutes: Minutes | None = Field(description="(least + 4·likely + most)/6.")
    holding: Name | None = Field(default=None, description="The holding that it belongs to.")
    wait_days: Days = Field(default=0.0, description="Days that pass after it with nobody at work.")
    makes_stale: Names = Field(default=(), description="Features with a fresh reading that it will make stale.")
    breaks: Name | None = Field(default=None, description="A holding on the same part that it would break.")
    hold_point: tuple[Note, ...] = Field(
        default=(), description="What has to be read or settled before it: it is a hold point."
    )
    frees_minutes: Minutes = Field(description="Expected minutes of everything that waits behind it.")
    advice: tuple[Note, ...]
    set_up: SetUpFinding | None = Field(default=None, description="How its work is held, and how true it runs.")
    source: Source


class GaugeFinding(Finding):
    """An instrument as it stands."""

    scale_of: Name = Field(description="The instrument whose scale it reads with: itself, or the one it is set in.")
    scale: Length = Field(description="U of that scale, mm.")
    rows: Count = Field(description="How many rows were read with it, withdrawn ones left out.")
    overdue: Flag = Field(description="Whether its check was due before the build's newest day.")


class MetalFinding(Finding):
    """A material as the sums use it."""

    cte: Expansion = Field(description="Mean linear expansion in use, per K.")
    cte_within: Expansion | None = Field(description="Plus or minus, per K; null where nothing is stated.")
    valid: tuple[Temperature, Temperature] | None = Field(
        description="Temperatures that the coefficient holds for, °C."
    )
    density: Density | None = Field(description="kg/m³.")
    governed_by: Name | None = Field(description="Of a lining: the shell whose growth governs.")


class ProgressDay(Finding):
    """How far the build was on the evening of a day on which something was finished."""

    key = ("day",)

    day: Day
    finished: Count = Field(description="Operations finished on it.")
    expected_done: Minutes = Field(description="Expected minutes of all operations finished by then.")


class WorkedWeek(Finding):
    """What was worked at operations that were finished in one week."""

    key = ("monday",)

    monday: Day = Field(description="Its first day.")
    worked: Minutes = Field(
        description="What the operations finished in it took, over however many weeks that was worked."
    )
    finished: Count = Field(description="Operations finished in it.")
    untimed: Count = Field(description="Those of them of which nobody wrote what they took.")


class Progress(Finding):
    """How far the build is."""

    done: Count = Field(description="Operations done.")
    open: Count = Field(description="Operations not done.")
    expected_done: Minutes = Field(description="Expected minutes of the operations done.")
    expected_open: Minutes = Field(description="Expected minutes of the operations still to do.")
    share: Share | None = Field(description="Expected minutes done over all expected minutes, 0 to 1.")
    days: tuple[ProgressDay, ...] = Field(default=(), description="By day, the first day first.")
    weeks: tuple[WorkedWeek, ...] = Field(
        default=(), description="By week, the first first; weeks in which nothing was finished are left out."
    )
    under_way: Minutes = Field(
        default=0.0, description="Worked at operations that are not finished: it has no day yet."
    )


class BuildFindings(Finding):
    """All findings of one build."""

    format: Annotated[Literal["gudgeon-findings-2"], STATE] = "gudgeon-findings-2"
    build: Name
    name: Words
    units: Annotated[Literal["in", "mm"], STATE] = Field(
        description="The unit that the drawings use. Numbers here are in mm all the same."
    )
    as_of: Day | None = Field(description="The newest day in the records: the build's today.")
    features: Table[str, FeatureFinding]
    fits: Table[str, FitFinding]
    rows: Table[str, RowFinding]
    mistakes: tuple[SuspectedMistake, ...]
    operations: Table[str, OperationFinding]
    next_jobs: Names = Field(description="Operations that can start, in the order of the forecast.")
    rules: tuple[RuleFinding, ...]
    rings: tuple[RingFinding, ...]
    gauges: Table[str, GaugeFinding]
    recalls: tuple[Recall, ...] = Field(description="Instruments found off after use, and what moves with them.")
    metals: Table[str, MetalFinding]
    calculations: tuple[Calculation, ...] = Field(
        description="Sums for the parts and the whole engine, worked out or not yet."
    )
    dangers: tuple[DangerFinding, ...] = Field(description="Computed figures that cautions watch, with their margins.")
    cautions: ApplyingCautions
    timing_marks: tuple[TimingMark, ...] = Field(description="Printed valve settings along this rim.")
    timing_settings: tuple[TimingSetting, ...] = Field(
        default=(), description="When valves and spark work by the build's own records."
    )
    patterns: tuple[PatternSize, ...] = Field(description="Pattern sizes by each source's contraction.")
    progress: Progress
    cuts: tuple[CutFinding, ...] = Field(description="Cuts that were made, and what each took off.")
    cut_plans: tuple[CutPlan, ...] = Field(description="How to cut what has metal on, operation by operation.")
    forecast: Forecast
    running: RunningFinding
    outcomes: tuple[OutcomeFinding, ...] = Field(
        default=(), description="What became of fits that ran, and of parts, the oldest first."
    )
    due: tuple[DueFinding, ...] = Field(description="What is due as of the newest day in the records, the worst first.")
