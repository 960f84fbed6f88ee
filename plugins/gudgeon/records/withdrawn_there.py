"""What of a shelf was withdrawn where it was brought from, and which of a build's records count on it. It is told and nothing
stops for it: the club decides what it follows."""

from collections.abc import Iterable
from dataclasses import dataclass

from gudgeon.records.knowledge import WithdrawnThere
from gudgeon.records.model import Build, Knowledge


@dataclass(frozen=True)
class Withdrawn:
    """Something on the shelf that was withdrawn where it came from."""

    kind: str
    name: str
    notice: WithdrawnThere

    @property
    def says(self) -> str:
        """In a sentence without its full stop."""
        on = f" on {self.notice.on}" if self.notice.on else ""
        thing = self.kind if self.name == self.kind else f"{self.kind} {self.name}"
        because = " ".join(self.notice.because.split()).rstrip(".")
        return f"brought {thing} was withdrawn by {self.notice.by}{on}: {because}"


@dataclass(frozen=True)
class InUse:
    """The same, and the records of a build that count on it: fits and parts."""

    withdrawn: Withdrawn
    fits: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()


def withdrawn_on(shelf: Knowledge) -> list[Withdrawn]:
    """Everything on a shelf that was withdrawn where it came from."""
    withdrawn: list[Withdrawn] = []
    for key, origin in shelf.origins.items():
        kind, _, name = key.partition(" ")
        if origin.withdrawn is not None:
            withdrawn.append(Withdrawn(kind, name, origin.withdrawn))
    return withdrawn


def in_use(build: Build, shelf: Knowledge) -> list[InUse]:
    """What of it a build's fits and parts count on: rules that fits cite, those whose results these take, metals, families. Cautions
    and the like are the whole club's."""
    used: list[InUse] = []
    for one in withdrawn_on(shelf):
        fits: Iterable[str] = ()
        parts: Iterable[str] = ()
        if one.kind == "rule":
            fits = [
                name
                for name, fit in build.fits.items()
                if fit.rule and one.name in _with_what_it_takes(fit.rule, shelf)
            ]
        elif one.kind == "material":
            parts = [name for name, part in build.parts.items() if one.name in _metals(build, part.material)]
            fits = [
                name
                for name, fit in build.fits.items()
                if any(half and half.partition(".")[0] in parts for half in (fit.hole, fit.shaft))
            ]
        elif one.kind == "family":
            parts = [name for name, part in build.parts.items() if part.family == one.name]
        if fits or parts:
            used.append(InUse(one, tuple(fits), tuple(parts)))
    return used


def _with_what_it_takes(rule: str, shelf: Knowledge) -> set[str]:
    """A rule and the rules whose results it takes, as far as they go."""
    reached: set[str] = set()
    waiting = [rule]
    while waiting:
        name = waiting.pop()
        if name not in reached:
            reached.add(name)
            waiting += shelf.rules[name].rests_on if name in shelf.rules else ()
    return reached


def _metals(build: Build, material: str) -> set[str]:
    """The club's metals that a part's material is, or that governs it."""
    own = build.materials.get(material)
    governing = own.shell if own else None
    return {build.club_material(name) for name in (material, governing) if name}
