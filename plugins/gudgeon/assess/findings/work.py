"""Findings of work to go: passes of a cut, taper, and how long the rest takes."""

from typing import Literal

from pydantic import Field

from gudgeon.assess.findings.base import Finding, Source


class Pass(Finding):
    """One pass of the tool."""

    kind: Literal["skin", "rough", "finish", "spring", "file, emery, hone or lap"]
    size_after: float = Field(description="Expected size after it, mm at 20 °C.")
    on_diameter: float = Field(description="What comes off, mm on diameter.")
    speed: float | None = Field(description="Spindle speed from the ladder, rpm.")
    feed: float | None = Field(description="Per revolution, mm.")
    minutes: float | None = Field(description="Tool in the cut.")


class TakeAt(Finding):
    """What to take at one station to take a taper out by hand."""

    station: float = Field(description="mm.")
    take: float = Field(description="On diameter, mm.")


class CutPlan(Finding):
    """How to cut one feature in one operation."""

    operation: str
    feature: str
    machine: str | None
    stock: float | None = Field(description="To the middle of the target, on diameter, mm.")
    per_side: float | None = Field(description="Half of it, mm.")
    expanded: float | None = Field(description="U of it, mm.")
    to_take: float | None = Field(
        description="What the plan takes, on diameter, mm: to the middle, but short of the scrap limit by the chosen risk."
    )
    scrap_after: float | None = Field(description="Past this much on diameter some place is beyond its last limit, mm.")
    held_back: float | None = Field(description="How far the last cut stays short of the scrap limit for the risk, mm.")
    risk: float
    passes: list[Pass]
    cut_minutes: float | None = Field(description="All passes, tool in the cut.")
    surface_speed: float | None = Field(description="At the chosen spindle speed, m/min.")
    speed_from: str = Field(description="Where the surface speed comes from.")
    law: str | None = Field(description="Got = slope × asked + offset, in words; null where too few cuts are logged.")
    law_slope: float | None
    law_offset: float | None = Field(description="mm on diameter.")
    law_scatter: float | None = Field(description="Standard deviation of one cut, mm on diameter.")
    next_cut: float | None = Field(description="The next pass, mm on diameter.")
    next_ask: float | None = Field(description="What to ask of the dial for it, mm on diameter.")
    next_divisions: float | None = Field(description="The same in divisions of this dial.")
    taper: list[TakeAt] = Field(description="Station by station, where a taper is to be taken out by hand.")
    taper_left: float | None = Field(description="Greatest departure from straight once it is out, mm on diameter.")
    tailstock: float | None = Field(description="Tailstock move, mm; positive toward the tool.")
    usual: list[str] = Field(description="Figures of the trade that were taken because nothing else was said.")
    missing: list[str] = Field(description="What is still to be written, and where.")
    warnings: list[str]
    source: Source


class Forecast(Finding):
    """How long the rest of the build takes."""

    factor: float = Field(description="Took over the likely time of this builder's finished jobs, geometric mean.")
    factor_shrunk: float = Field(description="The same, drawn toward 1 where jobs are few; it corrects the estimates.")
    history: int = Field(description="Finished jobs with both an estimate and a time.")
    mean_minutes: float = Field(description="Three-point means of all open jobs, as estimated.")
    sd_minutes: float = Field(description="Their standard deviation, jobs counted as independent.")
    corrected_minutes: float = Field(description="The mean corrected by this builder's history.")
    minutes: tuple[float, float] = Field(description="At 50 and 80 percent, corrected.")
    evenings: tuple[float, float] | None = Field(description="The same in evenings.")
    days: tuple[float, float] | None = Field(description="Calendar days with waits, at 50 and 80 percent.")
    chain: list[str] = Field(description="Operations that decide the date.")
    unestimated: list[str] = Field(description="Open operations without an estimate: they count for nothing here.")
    usual: list[str] = Field(description="Figures of the trade that were taken because nothing else was said.")
    fell: str | None = Field(description="Why progress fell, where rework made it fall.")
    tonight: dict[int, list[str]] = Field(description="Minutes of an evening -> operations that fit it, best first.")
