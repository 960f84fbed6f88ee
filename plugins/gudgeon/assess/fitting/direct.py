"""A clearance read directly, with feelers or plastic strip, held against the difference of the two sizes: a closure."""

from typing import Any

from gudgeon_calc.uncertainty import COVERAGE, normalised_error
from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import DirectReading, Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import expanded
from gudgeon.records.fits import Fit


def direct_reading(context: MeasuredBuild, fit: Fit, clearance: Any) -> DirectReading | None:
    """What was read directly beside a clearance, mm, a number with uncertainty; None where nothing was."""
    if fit.direct is None or context.status(fit.direct) != "current":
        return None
    read = context.worst(fit.direct).at("least" if fit.dangerous == "tight" else "greatest")
    apart = read.size - clearance
    error = normalised_error(apart.nominal_value, COVERAGE * apart.std_dev)
    return DirectReading(
        of=fit.direct,
        rows=read.rows,
        clearance=read.mm,
        expanded=expanded(read.size),
        difference=apart.nominal_value,
        difference_expanded=expanded(apart),
        error=min(error, 1e9),
        agree=error <= 1 + GRAIN,
    )


def disagrees(direct: DirectReading | None) -> list[Note]:
    """A note where a clearance read directly and the difference of the sizes cannot both be right."""
    if direct is None or direct.agree:
        return []
    return [
        Note(
            code="direct-disagrees",
            subject=direct.of,
            names={"rows": direct.rows},
            lengths={"read": direct.clearance, "apart": direct.difference},
            ratios={"error": direct.error},
        )
    ]
