"""How the outer half was held when it was read: a bore with a cap has its size only with the cap at its working torque."""

import re

from gudgeon.assess.findings import Note
from gudgeon.assess.fitting.pairings import Pair
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.records.fits import Fit

AT_TORQUE = re.compile(r"torque|tighten|tight\b|\bN\W?m\b|\bft\W?lbf?\b|\blbf?\W?(ft|in)\b|bolted", re.IGNORECASE)
NO_CAP = re.compile(r"\b(solid|no cap|bush|pressed)", re.IGNORECASE)
NOT_SO = re.compile(r"\b(not|un|before|without)\W?(at|tight|torque)", re.IGNORECASE)


def doubts_of_holding(context: MeasuredBuild, fit: Fit, pair: Pair) -> tuple[list[Note], list[Note]]:
    """Of a bearing: (causes to look, advice). A row that says it was held otherwise is a cause; one that says nothing, advice."""
    if not fit.of_kind.torqued or pair.hole is None:
        return [], []
    otherwise, silent = [], []
    for name in pair.hole.rows:
        held = context.rows[name].as_held
        if held is None:
            silent.append(name)
        elif NOT_SO.search(held) or not (AT_TORQUE.search(held) or NO_CAP.search(held)):
            otherwise.append(Note(code="held-otherwise", subject=name, words={"held": held}))
    return otherwise, [Note(code="holding-unsaid", names={"rows": tuple(silent)})] if silent else []
