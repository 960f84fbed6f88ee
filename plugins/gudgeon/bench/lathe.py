"""The lathe that the next cut is made on, as the bench data tells of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gudgeon_calc.at_the_lathe import DialLaw, divisions


@dataclass(frozen=True)
class Lathe:
    """The lathe that the next cut is made on, and what is known of its dial. missing: why there is no setting for it."""

    name: str | None = None
    division: float = 0.0
    reads: Any = "diameter"
    law: DialLaw | None = None
    missing: str = ""

    @classmethod
    def of(cls, data: Mapping[str, Any], feature: Mapping[str, Any], machine: str | None) -> "Lathe":
        plan, machines = feature["plan"], data["machines"]
        name = machine or (plan["machine"] if plan else None) or (next(iter(machines)) if len(machines) == 1 else None)
        if name is None:
            return cls(
                missing="no lathe is named, so no divisions"
                if machines
                else "no lathe is written down, so no divisions"
            )
        law = plan["law"] if plan and plan["machine"] == name else None
        dial = machines[name]
        return cls(name, dial["division"], dial["reads"], DialLaw(**law) if law else None)

    def ask(self, on_diameter: float) -> float:
        """What to set so that so much comes off, mm on diameter."""
        return self.law.ask(on_diameter) if self.law else on_diameter

    def divisions(self, on_diameter: float) -> float:
        return divisions(on_diameter, self.division, self.reads)
