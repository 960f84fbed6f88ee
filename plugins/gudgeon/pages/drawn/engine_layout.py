"""Where the parts of an engine stand to one another, from the nominal sizes of its records, in mm.

The engine is cut along its cylinder, across its crankshaft. u runs from the middle of the crankshaft towards the head, v
square to it. What the records do not say is taken in usual proportion (common practice, no source) and named in `guessed`.
"""

import math
import re
from dataclasses import dataclass, field

from gudgeon.records.model import Build
from gudgeon.records.parts import Part

PAST_TOP = 60.0  # degrees of the crank past top dead centre: rod and throw are then both seen
MOST_RINGS = 6

# What stands where in an engine -> the family of its parts.
FAMILY_OF = {
    "flywheel": "flywheel",
    "base": "base",
    "crank": "crankshaft",
    "head": "head",
    "piston": "piston",
    "ring": "ring",
    "rod": "rod",
}


@dataclass(frozen=True)
class Layout:
    """The engine in numbers, mm. roles: what stands where -> parts of the build. guessed: sizes that no record says."""

    upright: bool
    bore: float
    stroke: float
    rod: float
    sizes: dict[str, float]
    guessed: frozenset[str]
    roles: dict[str, list[str]]
    cooling: str | None
    spokes: int | None
    how_it_stands: bool  # whether the records say that
    past_top: float = field(default=PAST_TOP)

    def __getitem__(self, name: str) -> float:
        return self.sizes[name]

    @property
    def throw(self) -> float:
        """Half the stroke."""
        return self.stroke / 2

    @property
    def crankpin(self) -> tuple[float, float]:
        """(u, v) of the middle of the crankpin."""
        turned = math.radians(self.past_top)
        return self.throw * math.cos(turned), self.throw * math.sin(turned)

    @property
    def pin(self) -> float:
        """u of the middle of the gudgeon pin: the rod reaches from the crankpin to the cylinder's axis."""
        along, across = self.crankpin
        return along + math.sqrt(self.rod**2 - across**2)

    @property
    def face(self) -> float:
        """u of the face on which the head lies: the crown at top dead centre, and a little."""
        return self.throw + self.rod + self["pin to crown"] + self["over the crown"]

    @property
    def outside(self) -> float:
        """v of the outside of the cylinder."""
        return self.bore / 2 + self["wall"] + self["liner"]

    @property
    def top(self) -> float:
        """u of the farthest end."""
        end = self.face + self["head"]
        return end + self["stem"] if self.roles["valve"] else end

    @property
    def radius(self) -> float:
        """Of what turns about the crankshaft, with the flywheel where there is one."""
        return max(self["flywheel"] / 2, self.throw + self["big end"] / 2)

    def shown(self) -> list[str]:
        """The parts that the picture shows, from the head to the flywheel."""
        order = (
            "head",
            "valve",
            "cylinder",
            "liner",
            "ring",
            "piston",
            "pin",
            "bush",
            "rod",
            "bearing",
            "crank",
            "main",
            "flywheel",
            "base",
        )
        return [part for role in order for part in self.roles[role]]


def layout_of(build: Build) -> Layout | str:
    """The layout of a build's engine, or why there is none."""
    engine = build.sound_head.engine
    roles = _roles(build)
    bore = engine.bore and float(engine.bore) or _size(build, [*roles["liner"], *roles["cylinder"]], "bore")
    if bore is None or engine.stroke is None:
        lacks = " and ".join(word for word, size in (("bore", bore), ("stroke", engine.stroke)) if size is None)
        return f"the records do not say its {lacks}"
    stroke = float(engine.stroke)
    rod = engine.rod_centres and float(engine.rod_centres) or _size(build, roles["rod"], "centres")
    if rod is not None and rod <= stroke / 2:
        return "its rod is written no longer than its throw, with which it could not turn"
    guessed = set() if rod else {"rod"}
    sizes: dict[str, float] = {}

    def take(name: str, usual: float, *places: tuple[str, str]) -> None:
        said = next((size for role, ref in places if (size := _size(build, roles[role], ref))), None)
        sizes[name] = usual if said is None else said
        if said is None:
            guessed.add(name)

    take("piston", 1.3 * bore, ("piston", "length"))
    take("pin to crown", 0.6 * sizes["piston"], ("piston", "comp_h"))
    take("pin", 0.24 * bore, ("pin", "od"), ("piston", "pin_bore"), ("bush", "bore"))
    take("bush", 1.25 * sizes["pin"], ("bush", "od"), ("rod", "small_eye"))
    take("small end", 1.35 * max(sizes["pin"], sizes["bush"]), ("rod", "seat_outside"))
    take("crankpin", 0.38 * bore, ("crank", "crankpin"), ("bearing", "bore"))
    take("big end", 1.6 * sizes["crankpin"])
    take("journal", 0.42 * bore, *(("crank", ref) for ref in _journals(build, roles["crank"])), ("main", "bore"))
    take("main", 1.3 * sizes["journal"], ("main", "od"))
    take("wall", 0.09 * bore, ("cylinder", "wall"))
    if "wall" in guessed and (outside := _size(build, roles["cylinder"], "seat_outside")):
        within = _size(build, roles["cylinder"], "liner_bore") or bore
        if outside > within:
            sizes["wall"] = (outside - within) / 2
            guessed.discard("wall")
    sizes["liner"] = 0.0
    if roles["liner"]:
        take("liner outside", 1.06 * bore, ("liner", "od"), ("cylinder", "liner_bore"))
        sizes["liner"] = max((sizes["liner outside"] - bore) / 2, 0.0)
    take("barrel", stroke + 0.8 * sizes["piston"], ("liner", "length"), ("cylinder", "length"))
    take("over the crown", 0.04 * stroke)
    take("head", 0.34 * bore, ("head", "thickness"))
    take("valve", 0.42 * bore)
    take("valve stem", 0.09 * bore, ("valve", "stem"))
    take("stem", 0.6 * bore)
    take("ring", 0.045 * bore, ("ring", "width"))
    take("ring wall", 0.04 * bore, ("ring", "wall"))
    sizes["flywheel"] = 0.0
    if roles["flywheel"] or engine.flywheels:
        take("flywheel", 3.4 * stroke, ("flywheel", "rim_od"))
        take("rim", 0.1 * sizes["flywheel"], ("flywheel", "rim_depth"))
        take("hub", 2.2 * sizes["journal"], ("flywheel", "hub_od"))
        sizes["rim"] = min(sizes["rim"], sizes["flywheel"] / 2)
    said = (word for word in re.findall(r"\w+", engine.layout.lower()) if word in ("horizontal", "vertical", "upright"))
    stands = next(said, None)
    wheels = [build.parts[part] for part in roles["flywheel"]]
    return Layout(
        stands != "horizontal",
        bore,
        stroke,
        rod or 2.1 * stroke,
        sizes,
        frozenset(guessed),
        roles,
        engine.cooling,
        wheels[0].spokes if wheels else None,
        stands is not None,
    )


def _roles(build: Build) -> dict[str, list[str]]:
    """Which parts stand where: one of each, all rings and main bearings; what is more stands in no picture."""
    families: dict[str, list[str]] = {}
    for name, part in build.parts.items():
        families.setdefault(part.family, []).append(name)
    roles = {role: families.get(family, []) for role, family in FAMILY_OF.items()}
    # A gasket is of the family of heads: the head is the one with the most to say.
    for role in ("head", "piston", "rod", "crank", "base"):
        roles[role] = sorted(roles[role], key=lambda name: -len(build.parts[name].features))[:1]
    roles["ring"] = roles["ring"][:MOST_RINGS]
    roles["flywheel"] = roles["flywheel"][:2]
    roles["valve"] = families.get("valve", [])[:2]
    cylinders = families.get("cylinder", [])
    lined = [name for name in cylinders if "liner_bore" in build.parts[name].features]
    others = [name for name in cylinders if name not in lined]
    roles["cylinder"] = (lined or others)[:1]
    roles["liner"] = others[:1] if lined else []
    roles["pin"] = families.get("pin", [])[:1]
    roles["bush"] = [name for name in families.get("bush", []) if _meets(build.parts[name], roles["pin"], "")][:1]
    bearings = families.get("bearing", [])
    roles["bearing"] = [name for name in bearings if _meets(build.parts[name], roles["crank"], "pin")][:1]
    roles["main"] = [
        name
        for name in bearings
        if name not in roles["bearing"]
        and _meets(build.parts[name], roles["crank"], "")
        and not _meets(build.parts[name], roles["crank"], "pin")
    ][:4]
    return roles


def _meets(part: Part, others: list[str], named: str) -> bool:
    """Whether a feature of the part mates with one of the other parts whose name holds a word."""
    return any(
        mate.partition(".")[0] in others and named in mate.partition(".")[2]
        for feature in part.features.values()
        for mate in feature.mates
    )


def _journals(build: Build, cranks: list[str]) -> list[str]:
    return [name for crank in cranks for name in build.parts[crank].features if name.startswith("main")]


def _size(build: Build, parts: list[str], feature: str) -> float | None:
    """The nominal of a feature of the first of some parts that says it, where it is a length over nought."""
    for name in parts:
        spec = build.parts[name].features.get(feature)
        if spec is not None and spec.is_length and spec.size:
            return spec.size if spec.size > 0 else None
    return None
