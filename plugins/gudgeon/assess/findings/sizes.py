"""Findings of rows and features: sizes, form, stock."""

from typing import Literal

from pydantic import Field

from gudgeon.assess.findings.base import Component, Conformity, Finding, RowStatus, Source, State


class Cell(Finding):
    """The size at one station and angle."""

    station: float | None = Field(description="Distance along the axis, mm.")
    angle: float | None = Field(description="Angle round the axis, degrees.")
    size: float = Field(description="Size, mm at 20 °C.")
    expanded: float = Field(description="U of the size, mm.")
    rows: list[str] = Field(description="Ids of the readings behind it.")


class SectionForm(Finding):
    """Form of one section across the axis."""

    station: float | None = Field(description="Distance along the axis, mm.")
    mean: float = Field(description="Mean size, mm at 20 °C.")
    angles: int = Field(description="How many angles were read.")
    ovality: float | None = Field(
        description="Greatest less least diameter, mm; from four angles, or the difference of 0° and 90° where only those were read."
    )
    direction: float | None = Field(description="Angle of the greatest diameter, degrees; only from four angles.")
    closure: float | None = Field(description="(D0 + D90) − (D45 + D135), mm: far from nought means a misreading.")


class Form(Finding):
    """Form of a feature."""

    mean: float = Field(description="Mean of the section means, mm at 20 °C.")
    least: Cell = Field(description="The smallest cell.")
    greatest: Cell = Field(description="The largest cell.")
    sections: list[SectionForm] = Field(description="Section by section, by station.")
    taper_fit: float | None = Field(
        description="Change over the measured length by least squares, mm; positive grows with the station."
    )
    taper_ends: float | None = Field(description="Last section mean less the first, mm.")
    taper_length: float | None = Field(description="Measured length, mm.")
    shape: str | None = Field(
        description="barrel, waisted, bell-mouthed or none of these, in words, from three sections on."
    )


class Stock(Finding):
    """Metal between the size now and what is wanted."""

    side: Literal["external", "internal"] = Field(description="The metal side.")
    target_low: float = Field(description="Least size wanted, mm.")
    target_mid: float = Field(description="Middle of the wanted sizes, mm.")
    target_high: float = Field(description="Most size wanted, mm.")
    on_diameter: float = Field(
        description="To come off to the middle of the wanted range, on diameter, mm; negative means too much has gone."
    )
    per_side: float = Field(description="Half of that, mm.")
    to_first_limit: float = Field(description="To come off until the first limit is met, on diameter, mm.")
    to_last_limit: float = Field(
        description="To come off until the last limit is passed: beyond lies scrap, on diameter, mm."
    )
    expanded: float = Field(description="U of these, mm.")
    target_from: str = Field(description='"limits", or the id of the fit whose finished half gives the target.')
    provisional: bool = Field(description="True while the mate that gives the target is not final.")


class Generation(Finding):
    """The size of a feature after one operation: how it moved."""

    after: str | None = Field(description="Operation.")
    date: str = Field(description="Day of the last row.")
    mean: float = Field(description="mm at 20 °C.")
    least: float = Field(description="mm at 20 °C.")
    greatest: float = Field(description="mm at 20 °C.")
    rows: list[str] = Field(description="Readings.")


class RowFinding(Finding):
    """What became of one row of readings."""

    id: str = Field(description="Id of the row.")
    of: str = Field(description="part.feature.")
    status: RowStatus = Field(
        description="current: in use; stale: a later operation changed the feature; frozen: last size before a press; superseded: put right by a later row; held back: a slip."
    )
    why: str | None = Field(description="Why it is not in use.")
    suspect: str | None = Field(
        default=None, description="The instrument found off that it was read with or through, if any."
    )
    mean: float = Field(description="Mean as read, mm.")
    spread: float = Field(description="Greatest less least reading, mm.")
    size: float | None = Field(description="Size, mm at 20 °C; null without both temperatures.")
    source: Source


class Comparison(Finding):
    """One section read in two ways: across diameters, and with a three-point head."""

    station: float | None = Field(description="Distance along the axis, mm.")
    after: str | None = Field(description="The operation after which it was read.")
    diameters: list[str] = Field(description="Rows read across diameters.")
    three_point: list[str] = Field(description="Rows read with the three-point head.")
    mean_of_diameters: float = Field(description="mm at 20 °C.")
    mean_of_three_point: float = Field(description="mm at 20 °C.")
    difference: float = Field(description="Diameters less three-point, mm.")
    expanded: float = Field(description="U of the difference, mm.")
    agree: bool = Field(description="Whether the difference lies within U.")
    difference_corrected: float | None = Field(
        description="The difference with the known errors of instruments found off taken out, mm; null where none are."
    )
    ovality: float | None = Field(
        description="Greatest less least diameter, which the three-point head cannot see, mm."
    )
    spread_three_point: float = Field(description="Greatest less least of the three-point readings, mm.")


class Corrected(Finding):
    """A result with the known errors of instruments that were found off taken out."""

    instruments: list[str] = Field(description="The instruments found off that it was read with or through.")
    by: float = Field(description="What is to be added to it, mm; nought where the error cancels.")
    value: float = Field(description="The result corrected, mm.")
    conformity: Conformity | None = Field(default=None, description="Where it then stands.")


class FeatureFinding(Finding):
    """A feature as it is."""

    ref: str = Field(description="part.feature.")
    name: str
    kind: str
    state: State = "no reading"
    why: str = Field(default="", description="Why this state, in words.")
    size: float | None = Field(
        description="The size that decides: the largest of an external, the smallest of an internal feature, mm at 20 °C."
    )
    expanded: float | None = Field(description="U of that size, mm.")
    budget: list[Component] = Field(description="Uncertainty of that size, line by line.")
    cells: list[Cell] = Field(description="Size by station and angle.")
    missing_cells: list[tuple[float | None, float | None]] = Field(
        description="Planned stations (mm) and angles (degrees) without a reading."
    )
    form: Form | None
    stock: Stock | None = None
    limits: tuple[float, float] | None = Field(description="Limits of the spec, mm.")
    chance_below: float | None = Field(
        default=None, description="Chance that the true size is below the least wanted, 0 to 1."
    )
    chance_above: float | None = Field(default=None, description="Chance that it is above the most wanted, 0 to 1.")
    history: list[Generation] = Field(description="How the size moved, oldest first.")
    limits_from: str | None = Field(default=None, description="Where the limits come from, in words.")
    limits_sources: list[str] = Field(default=[], description="Keys in the bibliography behind the limits.")
    limits_basis: str | None = Field(default=None, description="On what ground the limits stand.")
    corrected: Corrected | None = Field(
        default=None, description="With the known errors of instruments found off taken out."
    )
    comparisons: list[Comparison] = Field(
        default=[], description="Sections read both across diameters and at three points, all operations."
    )
    advice: list[str] = Field(description="What a careful reader would do next.")
    source: Source
