"""Sums for a whole engine. A new one is an entry in the module of its topic; a new topic is a module and a line here."""

from gudgeon.assess.calculations import design, engine, head, key, motion, piston, running, wheel
from gudgeon.assess.calculations.model import Calculation

REGISTRY: tuple[Calculation, ...] = tuple(
    calculation
    for topic in (engine, piston, head, wheel, key, running, motion, design)
    for calculation in topic.CALCULATIONS
)
