"""judgement.yaml: the thresholds of judgement, from which on the tool says "look at it", "read it again" or "this is a slip".

No standard prints them. Each stands here once with its meaning and its ground, is listed among what is to be verified, and
a club that judges otherwise writes its own value into docs/knowledge/judgement.yaml: the others stay as they are.
"""

from functools import lru_cache
from typing import Any, ClassVar

from gudgeon_calc.units import read_quantity
from pydantic import Field, field_validator

from gudgeon.records.base import Record
from gudgeon.records.build_file import Basis
from gudgeon.records.fields import Line
from gudgeon.records.refs import SourceRef


@lru_cache(maxsize=256)
def _number(text: str, kind: str) -> float:
    return float(read_quantity(text, kind))


class Threshold(Record):
    """One threshold, and the ground on which it stands."""

    kind: ClassVar[str] = "number"
    most: ClassVar[float] = float("inf")

    value: Line = Field(alias="is", description="The quantity with its unit; a share or a chance is a plain number.")
    means: Line = Field(description="What happens from there on.")
    basis: Basis
    source: SourceRef | None = Field(default=None, description="Key in the bibliography, where somebody prints it.")
    where_in_source: Line | None = None

    @field_validator("value")
    @classmethod
    def _of_its_kind(cls, value: str) -> str:
        number = _number(value, cls.kind)
        if not 0 < number <= cls.most:
            bounds = "over 0" if cls.most == float("inf") else f"over 0 and at most {cls.most:g}"
            raise ValueError(f'this must be {bounds}. Found "{value}".')
        return value

    @property
    def ground(self) -> str:
        """What it stands on, as one says it beside the value."""
        return f"{self.basis}, no source" if self.source is None and self.basis == "common practice" else self.basis

    @property
    def words(self) -> str:
        """As one says it of a whole: a quarter, 30 %."""
        share = float(self)
        return {0.1: "a tenth", 0.25: "a quarter", 0.5: "half"}.get(share, f"{100 * share:g} %")

    def __float__(self) -> float:
        """The threshold in the unit of its kind: mm, K, °C, minutes, or a plain number."""
        return _number(self.value, self.kind)


class Count(Threshold):
    """How many."""

    @field_validator("value")
    @classmethod
    def _is_whole(cls, value: str) -> str:
        if _number(value, cls.kind) % 1:
            raise ValueError(f'expected a whole number. Found "{value}".')
        return value


class Share(Threshold):
    """Of a whole."""

    most = 1.0


class Chance(Threshold):
    """Of going wrong."""

    most = 0.5


class Length(Threshold):
    """A length."""

    kind = "length"


class Apart(Threshold):
    """A temperature difference."""

    kind = "temperature difference"


class Warmth(Threshold):
    """A temperature."""

    kind = "temperature"


class Angle(Threshold):
    """An angle."""

    kind = "angle"


class Minutes(Threshold):
    """A time."""

    kind = "time"


def _usual(model: type[Threshold], value: str, means: str) -> Any:
    """What holds where a club says nothing: made anew each time, because a record knows where it stands."""
    return Field(
        default_factory=lambda: model.model_validate({"is": value, "means": means, "basis": "common practice"}),
        description=f"{means[:1].upper()}{means[1:]}. Where it is not written: {value}.",
    )


class Judgement(Record):
    """judgement.yaml"""

    look_at_chance: Chance = _usual(
        Chance, "0.05", "chance of being out at either end above which somebody should look at a fit"
    )
    closing_chance: Chance = _usual(Chance, "0.05", "chance of closing up hot above which a case is called failed")
    coarse_share: Share = _usual(
        Share, "0.25", "share of what is allowed above which an uncertainty asks for a better instrument"
    )
    spread_of_use: Threshold = _usual(
        Threshold, "2.5", "times the uncertainty of use above which a spread of readings asks for reading again"
    )
    soak_part: Apart = _usual(Apart, "15 K", "how far from 20 °C a part may be before it is asked to soak overnight")
    soak_gap: Apart = _usual(Apart, "5 K", "how far apart part and instrument may be before they are asked to soak")
    hot_shop: Warmth = _usual(Warmth, "40 °C", "a temperature from which on Celsius is more likely Fahrenheit")
    thermometer: Apart = _usual(
        Apart, "1 K", "how far off a thermometer may read, where nobody says how well it is known"
    )
    uneven_part: Share = _usual(
        Share,
        "0.25",
        "share of the difference between part and instrument by which the part may be off the temperature read on it",
    )
    case_share: Share = _usual(
        Share, "0.15", "share of its distance from 20 °C by which a temperature of a case may be off, where none says"
    )
    alike_share: Share = _usual(
        Share, "0.1", "share by which coefficients of expansion may differ and count as one material's"
    )
    odd_rule: Threshold = _usual(
        Threshold, "4", "times off most rules of its kind from which on a rule of thumb is looked at for a slip"
    )
    skin_speed: Share = _usual(Share, "0.6", "share of the surface speed that is left for cutting through the skin")
    gap_speed: Share = _usual(Share, "0.5", "share of the surface speed that is left for a cut over a gap")
    gap_depth: Length = _usual(Length, "0.25 mm", "deepest pass over a gap, per side")
    few_cuts: Count = _usual(
        Count, "3", "logged cuts of one lathe, tool, feed and holding below which they teach no law of the dial"
    )
    coarser_gauge: Threshold = _usual(
        Threshold,
        "1.25",
        "times the uncertainty of another gauge above which the coarser of two that disagree is doubted",
    )
    few_places: Count = _usual(
        Count, "4", "places read from which on the surface through them decides, and no longer the worst reading"
    )
    speed_over: Share = _usual(Share, "0.05", "share by which a spindle speed may be over the one wanted")
    rough_feed: Length = _usual(Length, "0.25 mm", "feed of a rough pass per revolution at most, where nobody says one")
    least_taper: Length = _usual(Length, "0.0025 mm", "a taper below this is not worth a correction")
    few_told: Count = _usual(Count, "20", "engines told of a rule below which they are too few to conclude from")
    enough_run: Minutes = _usual(Minutes, "600 min", "running free for a shorter time proves nothing yet of a rule")
    swapped_apart: Threshold = _usual(
        Threshold,
        "4",
        "standard uncertainties that hole and shaft must differ by at least, before they are told as swapped",
    )
    few_jobs: Count = _usual(
        Count, "4", "finished jobs of one kind of work from which on its estimates are corrected by that kind"
    )
    evening: Minutes = _usual(Minutes, "120 min", "length of an evening at work, where a build does not say")
    evenings_a_week: Count = _usual(Count, "2", "evenings at work in a week, where a build does not say")

    usual_depth: Length = _usual(Length, "0.025 in", "depth of a rough pass per side, where nobody says one")
    usual_leave: Length = _usual(
        Length, "0.004 in", "metal left on diameter for the finishing passes, where nobody says how much"
    )
    usual_finish_passes: Count = _usual(Count, "2", "finishing passes, where nobody says how many")
    usual_spring_passes: Count = _usual(Count, "1", "passes without infeed, where nobody says how many")
    usual_risk: Chance = _usual(
        Chance, "0.05", "chance of passing the scrap limit that a cut may run, where nobody says one"
    )
    across_least: Share = _usual(
        Share, "0.3", "share of the main cutting force that presses tool and work apart, at least"
    )
    across_most: Share = _usual(
        Share, "0.5", "share of the main cutting force that presses tool and work apart, at most"
    )
    rougher_least: Threshold = _usual(
        Threshold, "1.5", "times that a real cut is rougher than the ridges of feed and nose, at least"
    )
    rougher_most: Threshold = _usual(
        Threshold, "2", "times that a real cut is rougher than the ridges of feed and nose, at most"
    )
    life_apart: Threshold = _usual(
        Threshold,
        "10",
        "times longer or shorter than the life known of a tool from which on its life at another speed is not said",
    )
    done_to_estimate: Count = _usual(
        Count, "5", "jobs done exactly to estimate that are added to a history, so that a few do not rule"
    )
    stop_angle: Angle = _usual(
        Angle, "15 deg", "how far from dead centre a stop is set at least that finds it from both sides"
    )

    def thresholds(self) -> dict[str, Threshold]:
        """All of them by name."""
        return {name: getattr(self, name) for name in type(self).model_fields}

    def said(self) -> dict[str, Threshold]:
        """Those that its file says."""
        return {name: threshold for name, threshold in self.thresholds().items() if name in self.model_fields_set}
