"""Sums for a whole engine. A new one is an entry in the module of its topic; a new topic is a module and a line here."""

from gudgeon.assess.calculations import engine_sums, head_sums, piston_sums, running_sums, wheel_sums
from gudgeon.assess.calculations.model import Calculation

REGISTRY: tuple[Calculation, ...] = tuple(
    each for topic in (engine_sums, piston_sums, head_sums, wheel_sums, running_sums) for each in topic.CALCULATIONS
)
