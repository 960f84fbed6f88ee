"""Where a fit stands, on one line: how far through its wanted band, so that fits of all sizes share one axis.

At the left what is too tight, at the right what is too loose, in the middle third the wanted band. What lies further off than
one band stands at the edge, with an arrow.
"""

from dataclasses import dataclass

from markupsafe import Markup

from gudgeon.assess.findings import FitFinding
from gudgeon.drawing import hatching
from gudgeon.drawing.canvas import Canvas
from gudgeon.records.fit_kinds.kind import FitKind
from gudgeon.wording import MARKS, UnitFormatter, slug

LEFT, RIGHT, MIDDLE = 4.0, 356.0, 15.0
BAND = 116.0, 244.0  # where the least and the most that is wanted stand
HEIGHT, TALL = 30.0, 9.0  # of the sheet, and of half the band
BEYOND = 0.85  # bands: what lies further beyond an end stands at the edge


@dataclass(frozen=True)
class Share:
    """A fit's wanted band as an axis: 0 at the least, 1 at the most. unit: mm of the whole band."""

    low: float
    unit: float

    def of(self, value: float) -> float:
        """How far through the band."""
        return (value - self.low) / self.unit

    def at(self, value: float) -> float:
        """Where that stands on the sheet; what lies further off stands at the edge."""
        share = min(max(self.of(value), -BEYOND), 1 + BEYOND)
        return round(BAND[0] + share * (BAND[1] - BAND[0]), 1)

    def off_sheet(self, value: float) -> int:
        """-1 where it lies beyond the left edge, 1 beyond the right one, else 0."""
        share = self.of(value)
        return -1 if share < -BEYOND else 1 if share > 1 + BEYOND else 0


def share_of(fit: FitFinding, kind: FitKind) -> Share | None:
    """The axis of a fit; None where it has no band of a width: nothing is wanted, no most, or one figure alone."""
    if fit.want_low is None or fit.want_high is None or kind.stated or fit.want_high <= fit.want_low:
        return None
    return Share(fit.want_low, fit.want_high - fit.want_low)


def strip(fit: FitFinding, kind: FitKind, fmt: UnitFormatter) -> Markup | None:
    """A fit on its line; None where it has no band to stand in."""
    share = share_of(fit, kind)
    if share is None or fit.want_low is None or fit.want_high is None:
        return None
    canvas = Canvas(f"strip-{slug(fit.id)}", fit.name, _described(fit, share, fmt), HEIGHT)
    danger = (LEFT, BAND[0]) if fit.dangerous == "tight" else (BAND[1], RIGHT)
    canvas.rect(
        danger[0], MIDDLE - TALL, danger[1] - danger[0], 2 * TALL, "g-danger", hatching.hatch(canvas, "danger", gap=9)
    )
    canvas.rect(BAND[0], MIDDLE - TALL, BAND[1] - BAND[0], 2 * TALL, "g-wanted")
    canvas.line(LEFT, MIDDLE, RIGHT, MIDDLE, "g-axis")
    if fit.clearance is None:
        canvas.text(
            180, MIDDLE + 4, "not measured yet" if fit.state != "stale" else "measure again", "g-tick g-over", "middle"
        )
        return canvas.markup()
    _spread(canvas, fit, share)
    if fit.state == "metal on" and fit.at_target is not None:
        canvas.line(share.at(fit.clearance), MIDDLE, share.at(fit.at_target), MIDDLE, "g-dimension", dash="3 3")
        canvas.circle(share.at(fit.at_target), MIDDLE, 5, "g-hollow")
    _mark(canvas, fit, share)
    return canvas.markup()


def _spread(canvas: Canvas, fit: FitFinding, share: Share) -> None:
    """From its tightest to its loosest, and by how much either end may be off."""
    tight, loose = fit.ends
    first, last = share.at(tight.clearance - tight.expanded), share.at(loose.clearance + loose.expanded)
    canvas.line(first, MIDDLE, last, MIDDLE, "g-whisker")
    for end in (first, last):
        canvas.line(end, MIDDLE - 5, end, MIDDLE + 5, "g-whisker")
    canvas.line(share.at(tight.clearance), MIDDLE, share.at(loose.clearance), MIDDLE, "g-reach")


def _mark(canvas: Canvas, fit: FitFinding, share: Share) -> None:
    """Where it stands, by the mark of its state; an arrow where that is off the sheet."""
    assert fit.clearance is not None, "a fit without a clearance stands nowhere"
    x, off = share.at(fit.clearance), share.off_sheet(fit.clearance)
    canvas.text(x, MIDDLE + 5.5, MARKS.get(fit.state, ""), "g-strip-mark g-over", "middle")
    if off:
        tip = LEFT if off < 0 else RIGHT
        canvas.polygon([(tip, MIDDLE), (tip - off * 7, MIDDLE - 5), (tip - off * 7, MIDDLE + 5)], "g-arrow")


def _described(fit: FitFinding, share: Share, fmt: UnitFormatter) -> str:
    """The line in words."""
    wanted = fmt.range_text(fit.want_low, fit.want_high)
    if fit.clearance is None:
        return f"Should have {wanted}; {fit.state}."
    tight, loose = fit.ends
    words = (
        f"Should have {wanted}; has {fmt.clearance_text(tight.clearance)} at its tightest and "
        f"{fmt.clearance_text(loose.clearance)} at its loosest, uncertain by {fmt.clearance_text(fit.expanded or 0.0)}; {fit.state}."
    )
    if share.off_sheet(fit.clearance):
        words += " It lies further off than the line is long."
    return words
