"""Findings of rows and features: sizes, form, stock."""

from typing import Annotated, Literal

from pydantic import Field

from gudgeon.assess.findings.base import (
    STATE,
    Angle,
    Chance,
    Choice,
    Component,
    Conformity,
    Count,
    Day,
    Finding,
    Flag,
    Length,
    Name,
    Names,
    Note,
    Places,
    Ratio,
    RowStatus,
    Source,
    State,
    Words,
)


class Cell(Finding):
    """The size at one station and angle."""

    key = ("station", "angle")

    station: Length | None = Field(description="Distance along the axis, mm.")
    angle: Angle | None = Field(description="Angle round the axis, degrees.")
    size: Length = Field(description="Size, mm at 20 °C.")
    expanded: Length = Field(description="U of the size, mm.")
    rows: Names = Field(description="Ids of the readings behind it; of a surface, those of the place nearest to it.")
    fitted: Count | None = Field(
        default=None,
        description="How many places the surface was fitted to that says this size; null where it is as read.",
    )


class SectionForm(Finding):
    """Form of one section across the axis."""

    key = ("station",)

    station: Length | None = Field(description="Distance along the axis, mm.")
    mean: Length = Field(description="Mean size, mm at 20 °C.")
    angles: Count = Field(description="How many angles were read.")
    ovality: Length | None = Field(
        description="Greatest less least diameter, mm; from four angles, or the difference of two angles square to each other where only those were read."
    )
    direction: Angle | None = Field(description="Angle of the greatest diameter, degrees; only from four angles.")
    closure: Length | None = Field(description="(D0 + D90) − (D45 + D135), mm: far from nought means a misreading.")


class Form(Finding):
    """Form of a feature."""

    mean: Length = Field(description="Mean of the section means, mm at 20 °C.")
    least: Cell = Field(description="The smallest cell.")
    greatest: Cell = Field(description="The largest cell.")
    sections: tuple[SectionForm, ...] = Field(description="Section by section, by station.")
    taper_fit: Length | None = Field(
        description="Change over the measured length by least squares, mm; positive grows with the station."
    )
    taper_ends: Length | None = Field(description="Last section mean less the first, mm.")
    taper_length: Length | None = Field(description="Measured length, mm.")
    shape: tuple[Note, ...] = Field(
        default=(), description="Barrel, waisted, bell-mouthed or none of these, from three sections on."
    )


class FormVerdict(Finding):
    """Ovality or taper of a feature held against the most allowed."""

    key = ("what",)

    what: Choice = Field(description="ovality or taper.")
    value: Length | None = Field(
        description="As the readings together say it, mm; null where the places read cannot show it. A taper grows with the station."
    )
    expanded: Length | None = Field(description="U of that, mm.")
    most: Length = Field(description="The most allowed, mm.")
    verdict: Annotated[Literal["in", "reads in", "reads out", "out", "not tested"], STATE] = Field(
        description="As of a size; not tested: the angles or stations read cannot show it."
    )


class Stock(Finding):
    """Metal between the size now and what is wanted."""

    side: Annotated[Literal["external", "internal"], STATE] = Field(description="The metal side.")
    target_low: Length = Field(description="Least size wanted, mm.")
    target_mid: Length = Field(description="Middle of the wanted sizes, mm.")
    target_high: Length = Field(description="Most size wanted, mm.")
    on_diameter: Length = Field(
        description="To come off to the middle of the wanted range, or short of it where a taper would make scrap, on diameter, mm; negative means too much has gone."
    )
    turn_to: Length = Field(
        description="What the place with the most metal then measures, mm: the middle of the wanted sizes, or more metal where a taper would make scrap."
    )
    per_side: Length = Field(description="Half of that, mm.")
    stops_short: Flag = Field(
        description="True where it stops short of the middle, because a taper would make scrap of the place with the least metal."
    )
    to_first_limit: Length = Field(description="To come off until the first limit is met, on diameter, mm.")
    to_last_limit: Length = Field(
        description="To come off until the place with the least metal passes the last limit: beyond lies scrap, on diameter, mm."
    )
    expanded: Length = Field(description="U of these, mm.")
    target_from: Name = Field(description='"limits", or the id of the fit whose finished half gives the target.')
    provisional: Flag = Field(description="True while the mate that gives the target is not final.")


class Generation(Finding):
    """The size of a feature after one operation: how it moved."""

    key = ("after", "date", "state")

    state: Count = Field(description="Which state of the metal, from 1, first to last.")
    after: Name | None = Field(description="Operation.")
    cut: Name | None = Field(description="The recorded cut that this state of the metal began with.")
    date: Day = Field(description="Day of the last row.")
    mean: Length = Field(description="mm at 20 °C.")
    least: Length = Field(description="mm at 20 °C.")
    greatest: Length = Field(description="mm at 20 °C.")
    decides: Length = Field(
        description="The one that decides: the greatest of an external, the least of an internal feature."
    )
    expanded: Length | None = Field(default=None, description="U of the one that decides, mm.")
    rows: Names = Field(description="Readings.")


class RowFinding(Finding):
    """What became of one row of readings."""

    id: Name = Field(description="Id of the row.")
    of: Name = Field(description="part.feature.")
    status: RowStatus = Field(
        description="current: in use; past: read before a later cut; stale: a later operation changed the feature; frozen: last size before a press; superseded: put right by a later row; withdrawn: entered by mistake; held back: a slip."
    )
    why: Note | None = Field(description="Why it is not in use.")
    suspect: Name | None = Field(
        default=None, description="The instrument found off that it was read with or through, if any."
    )
    mean: Length = Field(description="Mean as read, mm.")
    spread: Length = Field(description="Greatest less least reading, mm.")
    size: Length | None = Field(
        description="Size, mm at 20 °C, the known error of an instrument found off taken out; null without both temperatures."
    )
    error: Length | None = Field(default=None, description="That known error, mm: what it read too high.")
    source: Source


class Comparison(Finding):
    """One section read in two ways: across diameters, and with a three-point head."""

    key = ("station", "after")

    station: Length | None = Field(description="Distance along the axis, mm.")
    after: Name | None = Field(description="The operation after which it was read.")
    diameters: Names = Field(description="Rows read across diameters.")
    three_point: Names = Field(description="Rows read with the three-point head.")
    mean_of_diameters: Length = Field(description="mm at 20 °C.")
    mean_of_three_point: Length = Field(description="mm at 20 °C.")
    difference: Length = Field(description="Diameters less three-point, mm.")
    expanded: Length = Field(description="U of the difference, mm.")
    agree: Flag = Field(description="Whether the difference lies within U.")
    difference_as_read: Length | None = Field(
        description="The difference with the known errors of instruments found off left in, mm; null where none are."
    )
    ovality: Length | None = Field(
        description="Greatest less least diameter, which the three-point head cannot see, mm."
    )
    spread_three_point: Length = Field(description="Greatest less least of the three-point readings, mm.")


class CrossReading(Finding):
    """One place and state of the metal, read by two gauges or two people."""

    key = ("station", "angle", "first", "second")

    station: Length | None = Field(description="Distance along the axis, mm.")
    angle: Angle | None = Field(description="Angle round the axis, degrees.")
    first: Names = Field(description="Rows of the one.")
    first_gauge: Name
    first_by: Name
    second: Names = Field(description="Rows of the other.")
    second_gauge: Name
    second_by: Name
    as_read: Length = Field(description="The first less the second as they were read, mm.")
    part_corrected: Length = Field(
        description="The same with the part alone brought to 20 °C, mm: it can hide a gauge's error."
    )
    difference: Length = Field(description="The same with part and gauge brought to 20 °C, mm: the one that counts.")
    expanded: Length = Field(description="U of that, mm, with what both share taken out.")
    error: Ratio = Field(description="Normalised error: the difference over its U.")
    limit: Ratio = Field(
        description="The normalised error over which both cannot be right: 1 for one place, more for many places of a feature."
    )
    agree: Flag = Field(description="Whether both can be right: the normalised error is not over the limit.")
    suspect: Name | None = Field(description="The gauge that is rather to be doubted.")
    suspect_because: Choice | None = Field(description="Why.")


class AsRead(Finding):
    """A result as it was read, before the known errors of instruments that were found off were taken out of it."""

    instruments: Names = Field(description="The instruments found off that it was read with or through.")
    by: Length = Field(description="What their known error adds to it, mm; nought where the error cancels.")
    value: Length = Field(description="The result as it was read, mm.")
    conformity: Conformity | None = Field(default=None, description="Where it would stand.")


class LobingFinding(Finding):
    """Lobes of a feature as a vee block shows them."""

    out_of_round: Length = Field(description="Greatest less least radius, mm: the movement over the vee's factor.")
    expanded: Length = Field(description="U of that, mm.")
    lobes: Count = Field(description="How many it was read for.")
    vee: Angle = Field(description="Angle of the vee, degrees.")
    rows: Names = Field(description="Readings.")
    works: Flag = Field(
        description="Whether two points do not see them: a shaft then works larger in a fit, a bore smaller, by as much."
    )


class FeatureFinding(Finding):
    """A feature as it is."""

    ref: Name = Field(description="part.feature.")
    name: Words
    kind: Choice
    state: State = "no reading"
    why: Note = Field(description="Why this state.")
    size: Length | None = Field(
        description="The size that decides: the largest of an external, the smallest of an internal feature, mm at 20 °C."
    )
    expanded: Length | None = Field(description="U of that size, mm.")
    budget: tuple[Component, ...] = Field(description="Uncertainty of that size, line by line.")
    cells: tuple[Cell, ...] = Field(description="Size by station and angle.")
    missing_cells: Places = Field(description="Planned stations (mm) and angles (degrees) without a reading.")
    mapped: Flag = Field(description="Whether it was read at several stations and at several angles.")
    form: Form | None
    lobing: LobingFinding | None = Field(default=None, description="What a vee block shows, where one was used.")
    forms: tuple[FormVerdict, ...] = Field(default=(), description="What of its form has a limit, and where it stands.")
    stock: Stock | None = None
    limits: tuple[Length, Length] | None = Field(description="Limits of the spec, mm.")
    chance_below: Chance | None = Field(
        default=None, description="Chance that the true size is below the least wanted, 0 to 1."
    )
    chance_above: Chance | None = Field(default=None, description="Chance that it is above the most wanted, 0 to 1.")
    history: tuple[Generation, ...] = Field(description="How the size moved, oldest first.")
    limits_from: Note | None = Field(default=None, description="Where the limits come from.")
    limits_sources: Names = Field(default=(), description="Keys in the bibliography behind the limits.")
    limits_basis: Choice | None = Field(default=None, description="On what ground the limits stand.")
    as_read: AsRead | None = Field(
        default=None,
        description="As it was read, where an instrument found off was in it; its known error is taken out of the size.",
    )
    cross_readings: tuple[CrossReading, ...] = Field(
        default=(), description="Places that several gauges or people read in the state that counts, two by two."
    )
    comparisons: tuple[Comparison, ...] = Field(
        default=(), description="Sections read both across diameters and at three points, all operations."
    )
    advice: tuple[Note, ...] = Field(description="What a careful reader would do next.")
    source: Source
