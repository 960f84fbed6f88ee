"""How work is cut: said for an operation, a lathe or the whole build, the nearer coming first."""

from pydantic import Field

from gudgeon.records.base import Record
from gudgeon.records.fields import DepthOfCut, Feed, Line, PositiveDepth, PositiveLength, PositiveTime, SurfaceSpeed


class Cutting(Record):
    """Depths, feeds and speeds. What an operation does not say is taken from its lathe, then from the build, then from the trade."""

    tool: Line | None = Field(
        default=None, description="Tool in words; cuts logged with the same words teach the dial."
    )
    tool_of: Line | None = Field(default=None, description="What it is of: high-speed steel, carbon steel, carbide.")
    length: PositiveLength | None = Field(default=None, description="Length of the cut with its run-in.")
    depth: PositiveDepth | None = Field(default=None, description="Depth of a rough pass, per side.")
    skin: DepthOfCut | None = Field(
        default=None, description="Depth of skin and waviness to get below at once, per side."
    )
    leave: DepthOfCut | None = Field(default=None, description="Left for finishing, on diameter.")
    leave_on: PositiveDepth | None = Field(
        default=None,
        description="Left on for later operations, on diameter, where it is not the operation's own leaves: of one feature of several.",
    )
    finish_passes: int | None = Field(default=None, ge=1, le=10)
    spring_passes: int | None = Field(default=None, ge=0, le=10, description="Passes without infeed.")
    feed: Feed | None = Field(default=None, description="Per revolution, for all passes that are not given their own.")
    rough_feed: Feed | None = Field(
        default=None, description="Per revolution, of passes through the skin and rough ones."
    )
    finish_feed: Feed | None = Field(
        default=None, description="Per revolution, of finishing passes and those without infeed."
    )
    surface_speed: SurfaceSpeed | None = None
    interrupted: bool | None = Field(
        default=None,
        description="The cut runs over a gap: slower, and shallower where no depth is said. Where a skin is said it ends with it.",
    )
    risk: float | None = Field(
        default=None, gt=0, le=0.5, description="Chance of passing the scrap limit that is accepted."
    )
    centres: PositiveLength | None = Field(
        default=None, description="Length between centres, where the work is held so."
    )
    nose: PositiveLength | None = Field(
        default=None, description="Radius of the tool's nose: with the feed it says what finish can be had."
    )
    overhang: PositiveLength | None = Field(
        default=None,
        description="From the jaws to the cut, or of the boring bar from its clamp: what bends under the cut.",
    )
    bar: PositiveLength | None = Field(default=None, description="Diameter of the boring bar.")
    tool_lasts: PositiveTime | None = Field(
        default=None, description="How long this tool has lasted in this metal, at the speed of tool_lasted_at."
    )
    tool_lasted_at: SurfaceSpeed | None = None
