"""Findings: everything that is computed for a build, as data.

These models are what pages show, what findings.json holds and what its JSON Schema and reference page are
made from. Lengths are in mm at 20 °C unless a field says otherwise; U is expanded uncertainty, k = 2.
Positive clearance is clearance, negative interference; clearances and stock are on diameter.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

State = Literal[
    "no reading", "no limit", "metal on", "in", "reads in", "reads out", "out", "stale", "frozen", "conceded"
]
RowStatus = Literal["current", "stale", "frozen", "superseded", "held back"]


class Finding(BaseModel):
    """Base of all findings."""

    # Every field is always written, so readers of findings.json may count on it.
    model_config = ConfigDict(extra="forbid", json_schema_serialization_defaults_required=True)


class Source(Finding):
    """Where the record behind a finding stands."""

    file: str = Field(description="File, from the project's root.")
    line: int = Field(description="Line, from 1.")


class Component(Finding):
    """One line of an uncertainty budget."""

    name: str = Field(description="What the uncertainty comes from.")
    standard: float = Field(description="Standard uncertainty, mm.")


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
    mean: float = Field(description="Mean as read, mm.")
    spread: float = Field(description="Greatest less least reading, mm.")
    size: float | None = Field(description="Size, mm at 20 °C; null without both temperatures.")
    source: Source


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
    advice: list[str] = Field(description="What a careful reader would do next.")
    source: Source


class HotCase(Finding):
    """A clearance at working temperatures."""

    case: str = Field(description="Name of the case.")
    hole_temp: float = Field(description="°C.")
    shaft_temp: float = Field(description="°C.")
    now: float = Field(description="Clearance with the sizes as they are, mm.")
    at_target: float | None = Field(description="Clearance with the unmade half at the middle of its target, mm.")
    at_least_wanted: float = Field(description="Clearance if the pair had the least wanted clearance cold, mm.")
    at_most_wanted: float = Field(description="Clearance if the pair had the most wanted clearance cold, mm.")
    expanded: float = Field(description="U from sizes and coefficients, mm.")
    outside_range: list[str] = Field(
        description="Materials used beyond the temperatures that their coefficient holds for."
    )


class Formula(Finding):
    """A sum that a finding rests on."""

    what: str = Field(description="What it gives, in words.")
    source: str = Field(description='Key in the bibliography, "derived" or "common practice".')


class FitMove(Finding):
    """How a fit's clearance moved."""

    date: str
    after: str | None = Field(description="Operation.")
    rows: list[str] = Field(description="The readings that moved it.")
    clearance: float = Field(description="mm.")


class FitFinding(Finding):
    """A fit as it is."""

    id: str
    name: str
    kind: str
    hole: str | None = Field(description="The outer feature, or the keyway.")
    shaft: str | None = Field(description="The inner feature, the gap or the key.")
    state: State = "no reading"
    place: Literal["in", "reads in", "reads out", "out"] | None = Field(
        default=None, description="Where the clearance stands, whatever the state."
    )
    clearance: float | None = Field(default=None, description="At the worst place on the dangerous side, mm.")
    tightest: float | None = Field(default=None, description="Smallest hole less largest shaft, mm.")
    loosest: float | None = Field(default=None, description="Largest hole less smallest shaft, mm.")
    hole_at: Cell | None = Field(default=None, description="The cell of the outer feature that decides.")
    shaft_at: Cell | None = Field(default=None, description="The cell of the inner feature that decides.")
    expanded: float | None = Field(default=None, description="U of the clearance with the shared scale taken out, mm.")
    expanded_unshared: float | None = Field(
        default=None, description="U had the halves not shared a scale, mm; equal to expanded where they share none."
    )
    shared_scale: str | None = Field(default=None, description="The instrument whose scale error cancels.")
    budget: list[Component] = []
    want_low: float | None = Field(description="Least clearance wanted, mm.")
    want_high: float | None = Field(description="Most clearance wanted, mm.")
    want_from: str = Field(description="The rule or the words that the range comes from.")
    rule_low: float | None = Field(default=None, description="What the cited rule gives for this size, least, mm.")
    rule_high: float | None = Field(default=None, description="What the cited rule gives for this size, most, mm.")
    by_limits: tuple[float, float] | None = Field(
        default=None, description="Least and most clearance that the two halves' limits would allow, mm."
    )
    dangerous: Literal["tight", "loose"]
    chance_tight: float | None = Field(default=None, description="Chance that it is tighter than wanted, 0 to 1.")
    chance_loose: float | None = Field(default=None, description="Chance that it is looser than wanted, 0 to 1.")
    chance_inside: float | None = Field(default=None, description="Chance that it is truly inside, 0 to 1.")
    short_by: float | None = Field(
        default=None, description="How far it stands outside the wanted range, mm; 0 inside."
    )
    target: Stock | None = Field(default=None, description="For the unmade half.")
    target_of: str | None = Field(default=None, description="The unmade half.")
    hot: list[HotCase] = []
    gap_read: float | None = Field(default=None, description="Of a ring gap: as read, brought to 20 °C, mm.")
    gap_moved_by: float | None = Field(
        default=None, description="Of a ring gap: bore at the smallest place less bore where it was read, mm."
    )
    moves: list[FitMove] = Field(description="How the clearance moved, oldest first.")
    formulas: list[Formula] = Field(description="The sums that this rests on, with their sources.")
    causes: list[str] = Field(default=[], description="What decides or spoils this fit, in words.")
    advice: list[str] = []
    look: bool = Field(default=False, description="True where somebody should look.")
    source: Source


class Slip(Finding):
    """A probable mistake in a record, with its likely cause."""

    kind: str = Field(description="Short name of the kind of slip.")
    cause: str = Field(description="The likely cause, in words.")
    about: str = Field(description="Feature, fit or operation.")
    row: str | None = Field(default=None, description="Id of the reading.")
    operation: str | None = Field(default=None, description="Id of the operation.")
    fits: list[str] = Field(default=[], description="Fits that it touches.")
    source: Source


class OperationFinding(Finding):
    """An operation as it stands."""

    id: str
    part: str
    does: str
    state: Literal["done", "can start", "blocked"]
    waits_for: list[str] = Field(description="Operations that must be done first.")
    why: str = Field(description="In words.")
    expected_minutes: float | None = Field(description="(least + 4·likely + most)/6.")
    frees_minutes: float = Field(description="Expected minutes of everything that waits behind it.")
    advice: list[str]
    source: Source


class RuleFinding(Finding):
    """A rule of thumb worked out for this engine."""

    rule: str
    case: str | None
    says: str
    kind: str
    size: float | None = Field(description="The size it was worked out for, mm.")
    low: float = Field(description="mm.")
    high: float = Field(description="mm.")
    implied_low: float | None = Field(
        description="Temperature difference that the per-length part stands for, K; null where the pair is of unlike materials."
    )
    implied_high: float | None = Field(description="The same for the upper figure, K.")
    within: bool | None = Field(
        description="Whether the size and speed lie within what the rule is good for; null where it does not say."
    )
    why_outside: str | None
    cited_by: list[str] = Field(description="Fits that cite it.")


class RingFinding(Finding):
    """A ring in its own groove, with its own readings."""

    ring: str
    groove: str | None
    side_clearance: float | None = Field(description="Groove width less this ring's width, mm.")
    side_expanded: float | None = Field(description="U, mm.")
    back_clearance: float | None = Field(description="Room behind the ring, per side, mm.")
    back_expanded: float | None = Field(description="U, mm.")
    missing: list[str] = Field(description="Features without a reading.")


class EngineFinding(Finding):
    """Leading figures of the engine."""

    swept_volume: float = Field(description="mm³.")
    clearance_volume: float | None = Field(default=None, description="For the compression ratio of the spec, mm³.")
    mean_piston_speed: float = Field(description="m/s.")
    rim_speed: float | None = Field(default=None, description="At the mean radius of the rim, m/s, at governed speed.")
    rim_hoop: float | None = Field(default=None, description="Hoop stress ρv², MPa.")
    rim_stress: float | None = Field(default=None, description="With bending between spokes, MPa.")
    rim_stress_double_speed: float | None = Field(
        default=None, description="The same at twice the governed speed, MPa."
    )
    rim_mark_per_degree: float | None = Field(
        default=None, description="Length along the rim for one degree of crank, mm."
    )
    rim_from: str | None = Field(default=None, description="The flywheel, and whether its sizes are specs or readings.")


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

    format: Literal["gudgeon-findings-1"] = "gudgeon-findings-1"
    build: str
    name: str
    units: Literal["in", "mm"] = Field(
        description="The unit that the drawings use. Numbers here are in mm all the same."
    )
    as_of: str | None = Field(description="The newest day in the records: the build's today.")
    features: dict[str, FeatureFinding]
    fits: dict[str, FitFinding]
    rows: dict[str, RowFinding]
    slips: list[Slip]
    operations: dict[str, OperationFinding]
    next_jobs: list[str] = Field(description="Operations that can start, the one that frees most first.")
    rules: list[RuleFinding]
    rings: list[RingFinding]
    gauges: dict[str, GaugeFinding]
    metals: dict[str, MetalFinding]
    engine: EngineFinding
    progress: Progress
