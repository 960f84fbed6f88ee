"""Stock to passes: what the next operation takes off a feature, pass by pass, and what the dial must say."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from gudgeon_calc.cutting import cutting_speeds, cutting_time, landing_shift, pick_speed, rough_passes
from gudgeon_calc.cutting import spindle_speed as spindle_for
from gudgeon_calc.cutting import surface_speed as surface_of
from gudgeon_calc.units import GRAIN, quantity

from gudgeon.assess.findings import CutFinding, CutPlan, FeatureFinding, Note, Pass, Stock
from gudgeon.assess.findings.work import PassKind
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.planning.as_shown import as_shown
from gudgeon.assess.planning.dial import Dial, HowCut, Made, dial_of
from gudgeon.assess.planning.straighten import straighten
from gudgeon.assess.steps import unnoted
from gudgeon.records.build_file import Machine
from gudgeon.records.cutting import Cutting
from gudgeon.records.operations import Operation
from gudgeon.records.parts import DIAMETERS

LOBES = ("vee-wanted", "lobes-work-larger", "lobes-work-smaller")  # what the lathe has to hear of lobes before a cut

# Figures of the trade for what nobody said (common practice, no source): mm, counts, a chance, and what is told of them.
USUAL: dict[str, tuple[Any, Note]] = {
    "depth": (0.635, Note(code="usual-depth", lengths={"depth": 0.635})),
    "leave": (0.1016, Note(code="usual-leave", lengths={"leave": 0.1016})),
    "finish_passes": (2, Note(code="usual-finish-passes", counts={"passes": 2})),
    "spring_passes": (1, Note(code="usual-spring-passes", counts={"passes": 1})),
    "risk": (0.05, Note(code="usual-risk", chances={"risk": 0.05})),
    "tool_of": ("high-speed steel", Note(code="usual-tool", names={"tool": ("high-speed steel",)})),
}


@dataclass
class _Settings:
    """What holds for one cut, the nearest word first, and what is to be told about it on the way."""

    layers: list[Cutting]
    usual: list[Note] = field(default_factory=list)
    missing: list[Note] = field(default_factory=list)
    warnings: list[Note] = field(default_factory=list)

    def said(self, name: str) -> Any:
        """A setting as written in the nearest place, or None."""
        return next((value for layer in self.layers if (value := getattr(layer, name)) is not None), None)

    def taken(self, name: str) -> Any:
        """A setting as written, as a number where it is a quantity, else the trade's, which is noted."""
        value = self.said(name)
        if value is not None:
            return float(value) if hasattr(value, "kind") else value
        number, note = USUAL[name]
        self.usual.append(note)
        return number


def cut_plans(context: MeasuredBuild, features: dict[str, FeatureFinding], cuts: Sequence[CutFinding]) -> list[CutPlan]:
    """A plan for every feature with metal on whose next cut is named by an operation. cuts: those made, which teach the dial."""
    plans, steps = [], context.steps
    made = {(cut.source.file, cut.source.line): cut for cut in cuts}
    for ref, spec in unnoted(context.build.features).items():
        with steps.step(f"plan of/{ref}", spec):
            plan = _plan_of(context, ref, features[ref], made)
        if plan is not None:
            plans.append(plan)
            with steps.step(plan_address(plan)):
                steps.read(f"plan of/{ref}")
    return plans


def plan_address(plan: CutPlan) -> str:
    """The step that a plan is the result of."""
    return f"cut/{plan.operation} {plan.feature}"


def _plan_of(context: MeasuredBuild, ref: str, feature: FeatureFinding, made: Made) -> CutPlan | None:
    build, still = context.build, context.order.open_cuts(ref)
    if not feature.stock or not still or feature.stock.to_last_limit <= 0:
        return None
    op = build.operations[still[0]]
    if build.features[ref].kind not in DIAMETERS or feature.stock.on_diameter <= GRAIN:
        return None
    is_planned = op.cutting or op.cutting_of or op.machine
    return _plan(context, still[0], op, ref, feature, feature.stock, made) if is_planned else None


def cutting_minutes(plans: list[CutPlan]) -> dict[str, float]:
    """Minutes that tools are in the cut, by operation."""
    minutes: dict[str, float] = {}
    for plan in plans:
        minutes[plan.operation] = minutes.get(plan.operation, 0.0) + (plan.cut_minutes or 0.0)
    return minutes


def _plan(
    context: MeasuredBuild, op_id: str, op: Operation, ref: str, feature: FeatureFinding, stock: Stock, made: Made
) -> CutPlan:
    build = context.build
    assert feature.expanded is not None, "what has metal on has been read"
    name = op.machine or (next(iter(build.machines)) if len(build.machines) == 1 else None)
    machine = build.machines.get(name) if name else None
    layers = [
        layer
        for layer in (
            op.cutting_of.get(ref),
            op.cutting,
            machine.cutting if machine else None,
            build.sound_head.cutting,
            context.shelf.cutting,
        )
        if layer
    ]
    settings = _Settings(layers)
    if machine is None:
        settings.missing.append(Note(code="no-machine", subject=op_id))
    elif not machine.speeds:
        settings.missing.append(Note(code="no-spindle-speeds", subject=name))
    feed = settings.said("feed")
    if feed is None and machine and machine.feeds:
        feed = min(machine.feeds, key=float)
        settings.usual.append(Note(code="finest-feed", lengths={"feed": float(feed)}))
    feed = float(feed) if feed is not None else None
    dial = dial_of(context, ref, HowCut(op_id, name, settings.said("tool"), feed, op.holding), made)
    settings.usual += dial.usual
    risk = settings.taken("risk")
    depths = _depths(settings, context, machine, dial)
    scrap_after = stock.to_last_limit
    left_on = _left_on(settings, context, op_id, ref)
    wanted = stock.on_diameter - left_on
    cuts, held_back = _short_of_scrap(depths, dial, risk, wanted, scrap_after, stock.expanded / 2)
    to_take = sum(take for _, take in cuts)
    _warn(settings, stock, feature)
    straight = straighten(context, ref, stock.side, settings.said("centres"))
    work = _Work()
    if cuts:
        work = _work(settings, context, op_id, ref, machine, feature, cuts, feed)
    elif wanted <= GRAIN:
        settings.warnings.append(Note(code="down-to-what-is-left-on", lengths={"left": left_on}))
    else:
        settings.warnings.append(Note(code="no-cut-within-risk"))
    next_cut = next_ask = next_divisions = None
    if work.passes and machine:
        next_cut = work.passes[0].on_diameter
        next_ask = dial.law.ask(next_cut) if dial.law else next_cut
        asked = next_ask / 2 if machine.dial_reads == "radius" else next_ask
        next_divisions = asked / float(machine.dial_division)
        settings.missing += dial.missing
    law = dial.law
    return CutPlan(
        operation=op_id,
        feature=ref,
        machine=name,
        stock=stock.on_diameter,
        per_side=stock.per_side,
        expanded=feature.expanded,
        to_take=to_take,
        left_on=left_on,
        scrap_after=scrap_after,
        held_back=held_back,
        risk=risk,
        risk_worked_out=law is not None,
        passes=tuple(work.passes),
        cut_minutes=work.minutes or None,
        surface_speed=work.surface_speed,
        speed_from=work.speed_from,
        law=dial.said,
        law_slope=law.slope if law else None,
        law_offset=law.offset if law else None,
        law_scatter=law.scatter if law else None,
        shown=as_shown(context, ref, work.passes[-1].size_after) if work.passes else None,
        next_cut=next_cut,
        next_ask=next_ask,
        next_divisions=next_divisions,
        taper=straight.by_hand,
        taper_left=straight.left,
        tailstock=straight.tailstock,
        usual=tuple(settings.usual),
        missing=tuple(settings.missing),
        warnings=tuple(settings.warnings),
        source=source(op.where()),
    )


def _warn(settings: _Settings, stock: Stock, feature: FeatureFinding) -> None:
    settings.warnings += [note for note in feature.advice if note.code in LOBES]
    if stock.provisional:
        settings.warnings.append(Note(code="mate-not-final"))
    if stock.expanded > abs(stock.to_last_limit - stock.to_first_limit) / 2 + GRAIN:
        settings.warnings.append(Note(code="coarse-for-target"))
    skin = settings.said("skin")
    if skin is not None:
        sign = 1 if stock.side == "external" else -1
        least = min(sign * (cell.size - stock.target_mid) for cell in feature.cells) / 2
        if least < float(skin):
            settings.warnings.append(Note(code="will-not-clean-up", lengths={"skin": float(skin)}))


@dataclass
class _Work:
    """The passes of one cut, how long the tool is in it, and at what speed."""

    passes: list[Pass] = field(default_factory=list)
    minutes: float = 0.0
    surface_speed: float | None = None
    speed_from: str = ""


@dataclass(frozen=True)
class _Depths:
    """How metal is shared out among passes; lengths on diameter, but the depth of a rough pass, which is per side."""

    depth: float
    leave: float
    finish_passes: int
    spring_passes: int
    spring_take: float
    skin: float
    least: float  # the smallest clean cut; below it the tool rubs and the rest is done by hand

    def cuts(self, to_take: float) -> list[tuple[PassKind, float]]:
        """The passes that take so much: through the skin, rough, finish, without infeed."""
        if to_take <= GRAIN:
            return []
        springs = self.spring_passes
        while springs and springs * self.spring_take > to_take:
            springs -= 1
        left = to_take - springs * self.spring_take
        cuts: list[tuple[PassKind, float]] = []
        if 0 < self.skin < left:
            cuts.append(("skin", self.skin))
            left -= self.skin
        leave = min(self.leave, left)
        rough = rough_passes(left, leave, self.depth)
        cuts.extend(("rough", (left - leave) / rough) for _ in range(rough))
        cuts += self._finish(leave)
        cuts.extend(("spring", self.spring_take) for _ in range(springs))
        return cuts

    def _finish(self, leave: float) -> list[tuple[PassKind, float]]:
        if leave <= GRAIN:
            return []
        if leave < self.least - GRAIN:
            return [("file, emery, hone or lap", leave)]
        count = self.finish_passes
        while count > 1 and leave / count < self.least - GRAIN:
            count -= 1
        return [("finish", leave / count)] * count


def _depths(settings: _Settings, context: MeasuredBuild, machine: Machine | None, dial: Dial) -> _Depths:
    """The depths as said; only the trade's own depth is held to the trade's depth over a gap, never a builder's."""
    said, depth = settings.said("depth"), settings.taken("depth")
    gap_depth = float(context.shelf.judgement["gap_depth"])
    if settings.said("interrupted") and depth > gap_depth:
        if said is None:
            depth = gap_depth
            settings.usual.append(Note(code="depth-over-gap", lengths={"depth": gap_depth}))
        else:
            settings.usual.append(Note(code="deeper-than-usual-over-gap", lengths={"usual": gap_depth}))
    springs = settings.taken("spring_passes")
    if springs and dial.spring_take is None:
        settings.missing.append(Note(code="spring-not-known"))
    return _Depths(
        depth=depth,
        leave=settings.taken("leave"),
        finish_passes=settings.taken("finish_passes"),
        spring_passes=springs,
        spring_take=dial.spring_take or 0.0,
        skin=2 * float(settings.said("skin") or 0.0),
        least=float(machine.clean_cut.least_cut) if machine and machine.clean_cut else 0.0,
    )


def _left_on(settings: _Settings, context: MeasuredBuild, op_id: str, ref: str) -> float:
    """What the operation leaves on for those after it that cut the same; asked for where there are such and nobody said."""
    said = settings.said("leave_on")
    later = [other for other in context.order.open_cuts(ref) if other != op_id]
    if said is None and later:
        settings.missing.append(Note(code="no-leave-on", subject=op_id, names={"later": tuple(later)}))
    return float(said or 0.0)


def _short_of_scrap(
    depths: _Depths, dial: Dial, risk: float, wanted: float, scrap_after: float, reading: float
) -> tuple[list[tuple[PassKind, float]], float]:
    """The passes, and how far the last one stays short of the scrap limit.

    How well the last cut is known depends on how deep it is, and how deep it may be on how well it is known: the shift is
    taken again for the last cut that it leaves, and only grows, until it stays.
    """
    cuts, held_back = depths.cuts(wanted), 0.0
    for _ in range(50):
        last = next((take for kind, take in reversed(cuts) if kind != "spring"), 0.0)
        again = max(held_back, landing_shift(risk, dial.law, dial.law.ask(last) if dial.law else last, reading))
        if not cuts or again <= held_back + GRAIN:
            break
        held_back = again
        cuts = depths.cuts(min(wanted, scrap_after - held_back))
    return cuts, held_back


def _work(
    settings: _Settings,
    context: MeasuredBuild,
    op_id: str,
    ref: str,
    machine: Machine | None,
    feature: FeatureFinding,
    cuts: list[tuple[PassKind, float]],
    feed: float | None,
) -> _Work:
    """The passes with speed and time where lathe, feed and length are known."""
    length = settings.said("length")
    if length is None:
        settings.missing.append(Note(code="no-length", subject=op_id))
    judgement = context.shelf.judgement
    over_gap = float(judgement["gap_speed"]) if settings.said("interrupted") else 1.0
    speed, speed_from = _speed(settings, context, ref)
    work = _Work(speed_from=speed_from)
    assert feature.size is not None and feature.stock is not None, "what has metal on has been read"
    size = feature.size
    outside = feature.stock.side == "external"
    for kind, take in cuts:
        rpm = time = None
        by_hand = kind.startswith("file")
        if machine and machine.speeds and speed and not by_hand:
            share = over_gap * (float(judgement["skin_speed"]) if kind == "skin" else 1.0)
            wanted = spindle_for(quantity(speed * share, "m/minute"), quantity(size, "mm"))
            rpm = pick_speed(wanted.m, [float(rung) for rung in machine.speeds], float(judgement["speed_over"]))
            if rpm is None:
                settings.warnings.append(Note(code="slowest-too-fast", words={"machine": machine.name}))
        if rpm and feed and length:
            time = cutting_time(
                quantity(float(length), "mm"), quantity(feed, "mm"), quantity(rpm, "revolution/minute")
            ).m
            work.minutes += time
        if work.surface_speed is None and rpm:
            work.surface_speed = surface_of(quantity(rpm, "revolution/minute"), quantity(size, "mm")).m
        size += -take if outside else take
        work.passes.append(
            Pass(
                kind=kind,
                size_after=size,
                on_diameter=take,
                speed=rpm,
                feed=feed if not by_hand else None,
                minutes=time,
            )
        )
    return work


def _speed(settings: _Settings, context: MeasuredBuild, ref: str) -> tuple[float | None, str]:
    """Surface speed in m/min and where it comes from."""
    said = settings.said("surface_speed")
    if said is not None:
        return float(said) * 60, f"{said}, as said for this cut"
    metal, tool = context.materials.figures(context.materials.of_part(ref)).club, settings.taken("tool_of")
    printed = cutting_speeds(metal, tool)
    if not printed:
        settings.missing.append(Note(code="no-surface-speed", names={"metal": (metal,), "tool": (tool,)}))
        return None, ""
    _, high, key, where, basis = min(printed, key=lambda printed_range: printed_range[1])
    words = f"{high:g} ft/min for {metal} with {tool}: {key or 'no source'}{', ' + where if where else ''} ({basis})"
    others = [f"{printed_range[0]:g} to {printed_range[1]:g}" for printed_range in printed if printed_range[2] != key]
    return high * 0.3048, words + (f"; others print {', '.join(others)}" if others else "")
