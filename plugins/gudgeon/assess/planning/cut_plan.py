"""Stock to passes: what the next operation takes off a feature, pass by pass, and what the dial must say."""

from dataclasses import dataclass, field
from typing import Any

from gudgeon_calc.cutting import CutLaw, cut_law, cutting_speeds, cutting_time, landing_shift, pick_down, rough_passes
from gudgeon_calc.cutting import spindle_speed as spindle_for
from gudgeon_calc.cutting import surface_speed as surface_of
from gudgeon_calc.form import line_fit
from gudgeon_calc.tapers import tailstock_move
from gudgeon_calc.units import GRAIN, quantity

from gudgeon.assess.findings import CutPlan, FeatureFinding, Note, Pass, Stock, TakeAt
from gudgeon.assess.findings.work import PassKind
from gudgeon.assess.measuring.forms import section_mean, sections
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.steps import picked_rows, unnoted
from gudgeon.records.build_file import Machine
from gudgeon.records.cutting import Cutting
from gudgeon.records.operations import Operation
from gudgeon.records.parts import DIAMETERS

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
        return next((value for each in self.layers if (value := getattr(each, name)) is not None), None)

    def taken(self, name: str) -> Any:
        """A setting as written, as a number where it is a quantity, else the trade's, which is noted."""
        value = self.said(name)
        if value is not None:
            return float(value) if hasattr(value, "kind") else value
        number, note = USUAL[name]
        self.usual.append(note)
        return number


def cut_plans(context: MeasuredBuild, features: dict[str, FeatureFinding]) -> list[CutPlan]:
    """A plan for every feature with metal on whose next cut is named by an operation."""
    plans, steps = [], context.steps
    for ref, spec in unnoted(context.build.features).items():
        with steps.step(f"plan of/{ref}", spec):
            plan = _plan_of(context, ref, features[ref])
        if plan is not None:
            plans.append(plan)
            with steps.step(plan_address(plan)):
                steps.read(f"plan of/{ref}")
    return plans


def plan_address(plan: CutPlan) -> str:
    """The step that a plan is the result of."""
    return f"cut/{plan.operation} {plan.feature}"


def _plan_of(context: MeasuredBuild, ref: str, feature: FeatureFinding) -> CutPlan | None:
    build, still = context.build, context.order.open_cuts(ref)
    if not feature.stock or not still or feature.stock.to_last_limit <= 0:
        return None
    op = build.operations[still[0]]
    if build.features[ref].kind not in DIAMETERS or feature.stock.on_diameter <= GRAIN:
        return None
    is_planned = op.cutting or op.cutting_of or op.machine
    return _plan(context, still[0], op, ref, feature, feature.stock) if is_planned else None


def cutting_minutes(plans: list[CutPlan]) -> dict[str, float]:
    """Minutes that tools are in the cut, by operation."""
    found: dict[str, float] = {}
    for plan in plans:
        found[plan.operation] = found.get(plan.operation, 0.0) + (plan.cut_minutes or 0.0)
    return found


def _plan(
    context: MeasuredBuild, op_id: str, op: Operation, ref: str, feature: FeatureFinding, stock: Stock
) -> CutPlan:
    build = context.build
    assert feature.expanded is not None, "what has metal on has been read"
    name = op.machine or (next(iter(build.machines)) if len(build.machines) == 1 else None)
    machine = build.machines.get(name) if name else None
    layers = [
        each
        for each in (
            op.cutting_of.get(ref),
            op.cutting,
            machine.cutting if machine else None,
            build.sound_head.cutting,
            context.shelf.cutting,
        )
        if each
    ]
    settings = _Settings(layers)
    if machine is None:
        settings.missing.append(Note(code="no-machine", subject=op_id))
    elif not machine.speeds:
        settings.missing.append(Note(code="no-spindle-speeds", subject=name))
    cuts, of = _cuts(context, ref, name)
    law = _law(cuts)
    risk = settings.taken("risk")
    last = stock.target_low if stock.side == "external" else stock.target_high
    worst = (min if stock.side == "external" else max)(cell.size for cell in feature.cells)
    scrap_after = (worst - last) * (1 if stock.side == "external" else -1)
    held_back = landing_shift(risk, law.scatter if law else 0.0, feature.expanded / 2)
    to_take = min(stock.on_diameter, scrap_after - held_back)
    _warn(settings, stock, feature)
    straight = _straighten(settings, context, ref, stock.side)
    work = _Work()
    if to_take > GRAIN:
        work = _work(settings, context, op_id, ref, machine, feature, to_take, _spring_take(cuts))
    else:
        settings.warnings.append(Note(code="no-cut-within-risk"))
    next_cut = next_ask = next_divisions = None
    if work.passes and machine:
        next_cut = work.passes[0].on_diameter
        next_ask = law.ask(next_cut) if law else next_cut
        asked = next_ask / 2 if machine.dial_reads == "radius" else next_ask
        next_divisions = asked / float(machine.dial_division)
        if law is None:
            settings.missing.append(Note(code="few-cuts", subject=ref))
    return CutPlan(
        operation=op_id,
        feature=ref,
        machine=name,
        stock=stock.on_diameter,
        per_side=stock.per_side,
        expanded=feature.expanded,
        to_take=max(to_take, 0.0),
        scrap_after=scrap_after,
        held_back=held_back,
        risk=risk,
        passes=tuple(work.passes),
        cut_minutes=work.minutes or None,
        surface_speed=work.surface_speed,
        speed_from=work.speed_from,
        law=_said_law(law, of) if law else None,
        law_slope=law.slope if law else None,
        law_offset=law.offset if law else None,
        law_scatter=law.scatter if law else None,
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


def _work(
    settings: _Settings,
    context: MeasuredBuild,
    op_id: str,
    ref: str,
    machine: Machine | None,
    feature: FeatureFinding,
    to_take: float,
    spring_take: float,
) -> _Work:
    """The passes: through the skin, rough, finish, spring; with speed and time where lathe, feed and length are known."""
    interrupted = bool(settings.said("interrupted"))
    depth = settings.taken("depth")
    gap_depth = float(context.shelf.judgement["gap_depth"])
    if interrupted and depth > gap_depth:
        depth = gap_depth
        settings.usual.append(Note(code="depth-over-gap", lengths={"depth": gap_depth}))
    springs = settings.taken("spring_passes")
    while springs and springs * spring_take > to_take:
        springs -= 1
    left = to_take - springs * spring_take
    cuts: list[tuple[PassKind, float, float]] = []  # kind, on diameter, share of the speed
    skin = settings.said("skin")
    if skin is not None and 0 < 2 * float(skin) < left:
        cuts.append(("skin", 2 * float(skin), float(context.shelf.judgement["skin_speed"])))
        left -= 2 * float(skin)
    leave = min(settings.taken("leave"), left)
    rough = rough_passes(left, leave, depth)
    if rough:
        cuts.extend(("rough", (left - leave) / rough, 1.0) for _ in range(rough))
    cuts += _finish(leave, settings.taken("finish_passes"), machine)
    cuts += [("spring", spring_take, 1.0)] * springs
    feed, length = settings.said("feed"), settings.said("length")
    if feed is None and machine and machine.feeds:
        feed = min(machine.feeds, key=float)
        settings.usual.append(Note(code="finest-feed", lengths={"feed": float(feed)}))
    if length is None:
        settings.missing.append(Note(code="no-length", subject=op_id))
    speed, speed_from = _speed(settings, context, ref)
    work = _Work(speed_from=speed_from)
    assert feature.size is not None and feature.stock is not None, "what has metal on has been read"
    size = feature.size
    outside = feature.stock.side == "external"
    for kind, take, share in cuts:
        rpm = time = None
        by_hand = kind.startswith("file")
        if machine and machine.speeds and speed and not by_hand:
            wanted = spindle_for(
                quantity(
                    speed * share * (float(context.shelf.judgement["gap_speed"]) if interrupted else 1), "m/minute"
                ),
                quantity(size, "mm"),
            )
            rpm = pick_down(wanted.m, [float(each) for each in machine.speeds])
            if rpm is None:
                settings.warnings.append(Note(code="slowest-too-fast", words={"machine": machine.name}))
        if rpm and feed and length:
            time = cutting_time(
                quantity(float(length), "mm"), quantity(float(feed), "mm"), quantity(rpm, "revolution/minute")
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
                feed=float(feed) if feed and not by_hand else None,
                minutes=time,
            )
        )
    return work


def _finish(leave: float, count: int, machine: Machine | None) -> list[tuple[PassKind, float, float]]:
    """Finishing passes, none below the smallest clean cut; below it the tool rubs and the rest is done by hand."""
    if leave <= GRAIN:
        return []
    least = float(machine.clean_cut.least_cut) if machine and machine.clean_cut else 0.0
    if leave < least - GRAIN:
        return [("file, emery, hone or lap", leave, 0.0)]
    while count > 1 and leave / count < least - GRAIN:
        count -= 1
    return [("finish", leave / count, 1.0)] * count


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
    _, high, key, where, basis = min(printed, key=lambda each: each[1])
    words = f"{high:g} ft/min for {metal} with {tool}: {key or 'no source'}{', ' + where if where else ''} ({basis})"
    others = [f"{each[0]:g} to {each[1]:g}" for each in printed if each[2] != key]
    return high * 0.3048, words + (f"; others print {', '.join(others)}" if others else "")


def _cuts(context: MeasuredBuild, ref: str, machine: str | None) -> tuple[list, str | None]:
    """Logged cuts that teach the dial: those on this feature, or where they are few all of this lathe; with the feature, or None."""
    own = picked_rows(context.build.cuts, lambda cut: cut.of == ref and cut.got is not None)
    if len([cut for cut in own if cut.asked.value > 0]) >= float(context.shelf.judgement["few_cuts"]):
        return own, ref
    return picked_rows(context.build.cuts, lambda cut: cut.machine == machine and cut.got is not None), None


def _said_law(law: CutLaw, of: str | None) -> Note:
    """What the dial gives, from the cuts on one feature or on all of the lathe."""
    ratios, lengths, counts = {"slope": law.slope}, {"offset": law.offset}, {"cuts": law.cuts}
    if of is None:
        return Note(code="dial-of-lathe", ratios=ratios, lengths=lengths, counts=counts)
    return Note(code="dial-on-feature", subject=of, ratios=ratios, lengths=lengths, counts=counts)


def _law(cuts: list) -> CutLaw | None:
    """What this dial gives for what is asked; passes without infeed are not cuts."""
    asked = [cut for cut in cuts if cut.asked.value > 0]
    try:
        return cut_law([float(cut.asked) for cut in asked], [float(cut.got) for cut in asked])
    except ValueError:
        return None


def _spring_take(cuts: list) -> float:
    """What a pass without infeed took, on the mean; it still removes metal."""
    taken = [float(cut.got) for cut in cuts if cut.asked.value == 0]
    return max(0.0, sum(taken) / len(taken)) if taken else 0.0


@dataclass(frozen=True)
class _Straight:
    """How a taper is taken out."""

    by_hand: tuple[TakeAt, ...] = ()
    left: float | None = None
    tailstock: float | None = None


def _straighten(settings: _Settings, context: MeasuredBuild, ref: str, side: str) -> _Straight:
    """A taper to take out: by hand station by station, and between centres with the tailstock."""
    along = [
        (station, section_mean(each).nominal_value)
        for station, each in sections(context.local_sizes(ref)).items()
        if station is not None
    ]
    if len(along) < 2:
        return _Straight()
    line = line_fit([station for station, _ in along], [mean for _, mean in along])
    length = along[-1][0] - along[0][0]
    taper = line.slope * length
    if abs(taper) < float(context.shelf.judgement["least_taper"]):
        return _Straight()
    fitted = [(station, line.intercept + line.slope * station) for station, _ in along]
    goal = (min if side == "external" else max)(size for _, size in fitted)
    by_hand = tuple(TakeAt(station=station, take=abs(size - goal)) for station, size in fitted)
    left = max(abs(mean - size) for (_, mean), (_, size) in zip(along, fitted, strict=True))
    centres, tailstock = settings.said("centres"), None
    if centres is not None:
        tailstock = tailstock_move(quantity(taper, "mm"), quantity(float(centres), "mm"), quantity(length, "mm")).m
    return _Straight(by_hand, left, tailstock)
