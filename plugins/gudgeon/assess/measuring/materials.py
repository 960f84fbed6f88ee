"""Which material figures hold for a part: the build's own first, then the club's."""

from dataclasses import dataclass, replace
from typing import Any

from gudgeon_calc.uncertainty import standard_from_limits
from uncertainties import ufloat
from uncertainties.core import Variable

from gudgeon.assess.steps import Steps
from gudgeon.records.model import Build, Knowledge


@dataclass(frozen=True)
class Figures:
    """A material's figures in use. cte: /K; cte_within: ± /K or None; valid: °C or None; density: kg/m³, stiffness: MPa,
    poisson: each or None; club: the club's material that it is, or its own id."""

    id: str
    name: str
    cte: float
    cte_within: float | None
    valid: tuple[float, float] | None
    density: float | None
    governed_by: str | None
    stiffness: float | None
    stiffness_within: float | None
    poisson: float | None
    club: str


class Materials:
    """Resolves materials and hands out one expansion variable a material, so that a shared error stays shared."""

    def __init__(self, build: Build, shelf: Knowledge, steps: Steps):
        self._build, self._shelf, self._steps = build, shelf, steps
        self._figures: dict[str, Figures] = {}
        self._cte: dict[str, Variable | float] = {}

    def figures(self, material: str) -> Figures:
        """The figures of a material by its id; a lining takes the growth of its shell."""
        return self._steps.once(self._figures, material, f"material/{material}", lambda: self._resolve(material))

    def cte(self, material: str) -> Variable | float:
        """Expansion per kelvin, carrying its uncertainty where one is stated."""
        figures = self.figures(material)
        if figures.governed_by:
            return self.cte(figures.governed_by)
        if material not in self._cte:
            within = figures.cte_within
            self._cte[material] = (
                ufloat(figures.cte, standard_from_limits(within), tag=f"expansion of {figures.name}")
                if within
                else figures.cte
            )
        return self._cte[material]

    def printed(self, material: str) -> list[float]:
        """All coefficients that count for a material, /K: the one in use and what the club's sources print for the like."""
        figures = self.figures(material)
        if figures.governed_by:
            return self.printed(figures.governed_by)
        shelf = self._shelf.materials.get(figures.club)
        coefficients = [shelf.cte, *(other.cte for other in shelf.others if other.of is None)] if shelf else []
        return list(dict.fromkeys([figures.cte, *coefficients]))

    def of_part(self, ref: str) -> str:
        """The material id of the part that a part.feature belongs to."""
        return self._build.parts[ref.partition(".")[0]].material

    def _resolve(self, material: str) -> Figures:
        own = self._build.materials.get(material)
        base = self._shelf.materials.get(self._build.club_material(material))

        def first(name: str) -> Any:
            return next(
                (
                    getattr(record, name)
                    for record in (own, base)
                    if record is not None and getattr(record, name) is not None
                ),
                None,
            )

        shell = own.shell if own else None
        if shell:
            body = self.figures(shell)
            return replace(body, id=material, name=first("name"), governed_by=shell, club=material)
        # A coefficient of the build's own does not borrow the spread of another's.
        within = own.cte_within if own and own.cte is not None else first("cte_within")
        valid = first("valid")
        return Figures(
            material,
            first("name"),
            first("cte"),
            within,
            (float(valid[0]), float(valid[1])) if valid else None,
            float(first("density")) if first("density") is not None else None,
            None,
            float(first("stiffness")) if first("stiffness") is not None else None,
            float(first("stiffness_within")) if first("stiffness_within") is not None else None,
            first("poisson"),
            self._build.club_material(material),
        )
