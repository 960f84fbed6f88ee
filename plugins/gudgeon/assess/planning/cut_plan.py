"""Stock to passes: what the next operation takes off a feature, pass by pass, and what the dial must say."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from gudgeon_calc.at_the_lathe import divisions, landing_shift
from gudgeon_calc.cutting import cutting_speeds, cutting_time, pick_speed
from gudgeon_calc.cutting import spindle_speed as spindle_for
from gudgeon_calc.cutting import surface_speed as surface_of
from gudgeon_calc.units import GRAIN, between, quantity

from gudgeon.assess.findings import CutFinding, CutPlan, FeatureFinding, Note, Pass, Stock, TakeAt
from gudgeon.assess.findings.work import PassKind
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.metal_states import standing
from gudgeon.assess.measuring.mistakes import source
from gudgeon.assess.planning.as_shown import as_shown, shown_at
from gudgeon.assess.planning.cut_effects import effects_of
from gudgeon.assess.planning.depths import Depths, depths_of, left_on, over_gap, skin_on
from gudgeon.assess.planning.dial import Dial, HowCut, Made, dial_of
from gudgeon.assess.planning.settings import Settings
from gudgeon.assess.planning.straighten import straighten
from gudgeon.assess.steps import picked_rows, unnoted
from gudgeon.records.build_file import Machine
from gudgeon.records.operations import Operation
from gudgeon.records.parts import DIAMETERS

# What the lathe has to hear of a feature before a cut: lobes, and that its newest reading does not count.
BEFORE_A_CUT = ("newest-held-back", "vee-wanted", "lobes-work-larger", "lobes-work-smaller")


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
    here = [layer for layer in (op.cutting_of.get(ref), op.cutting) if layer]
    wider = {
        "the lathe": machine.cutting if machine else None,
        "the build": build.sound_head.cutting,
        "the club": context.shelf.cutting,
    }
    settings = Settings([*here, *(layer for layer in wider.values() if layer)], context.shelf.judgement, here)
    if machine is None:
        settings.missing.append(Note(code="no-machine", subject=op_id))
    elif not machine.speeds:
        settings.missing.append(Note(code="no-spindle-speeds", subject=name))
    left = left_on(settings, context, op_id, op, ref)
    context.steps.read(f"cuts/{ref}")
    skin = skin_on(settings, context, op_id, ref, sum(cut.got or 0.0 for cut in made.values() if cut.feature == ref))
    feeds = _Feeds.of(settings, context, machine)
    # The dial is learnt for the last cut, which is the one that has to land.
    ends_rough = left > 0 and not (settings.said_here("leave") or settings.said_here("finish_passes"))
    landing = feeds.rough if ends_rough else feeds.finish
    dial = dial_of(context, ref, HowCut(op_id, name, settings.said("tool"), landing, op.holding), made)
    settings.usual += dial.usual
    risk = settings.taken("risk")
    says_risk = [who for who, layer in wider.items() if layer and layer.risk is not None]
    risk_by = "the operation" if settings.said_here("risk") is not None else next(iter(says_risk), None)
    depths = depths_of(settings, context, machine, dial, skin, finishes=not left)
    scrap_after = stock.to_last_limit
    wanted = stock.on_diameter - left
    if left and wanted <= max(depths.least, GRAIN):
        wanted = min(wanted, 0.0)  # nobody files a roughed size down to what is left on
    cuts, held_back = _short_of_scrap(depths, dial, risk, wanted, scrap_after, stock.expanded / 2)
    to_take = sum(take for _, take in cuts)
    settings.usual += feeds.taken([kind for kind, _ in cuts])
    if not left:
        _warn_of_size(settings, stock)
    _warn(settings, stock, feature, skin)
    if begun := _begun_after(context, op_id, ref):
        settings.warnings.append(Note(code="begun-before-done", subject=op_id, names={"later": begun}))
    straight = straighten(context, ref, stock.side, settings.said("centres"))
    work = _Work()
    if cuts:
        work = _work(settings, context, op_id, ref, machine, feature, cuts, feeds)
    elif left and stock.on_diameter < left - max(stock.expanded, GRAIN):
        lengths = {"left": left, "now": stock.on_diameter}
        settings.warnings.append(Note(code="past-what-is-left-on", subject=op_id, lengths=lengths))
    elif wanted <= GRAIN:
        settings.warnings.append(Note(code="down-to-what-is-left-on", lengths={"left": left}))
    else:
        settings.warnings.append(Note(code="no-cut-within-risk"))
    next_cut = next_ask = next_divisions = None
    if work.passes and machine:
        next_cut = work.passes[0].on_diameter
        learnt = dial.law is not None and work.passes[0].feed == landing
        next_ask = dial.law.ask(next_cut) if dial.law and learnt else next_cut
        next_divisions = divisions(next_ask, float(machine.dial_division), machine.dial_reads)
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
        left_on=left,
        for_operation=stock.on_diameter - left,
        scrap_after=scrap_after,
        held_back=held_back,
        risk=risk,
        risk_by=risk_by,
        risk_worked_out=law is not None,
        passes=tuple(work.passes),
        cut_minutes=work.minutes or None,
        surface_speed=work.surface_speed,
        speed_from=work.speed_from,
        law=dial.said,
        law_slope=law.slope if law else None,
        law_offset=law.offset if law else None,
        law_scatter=law.scatter if law else None,
        law_cuts=law.cuts if law else None,
        law_middle=law.middle if law else None,
        law_reach=law.spread**0.5 if law else None,
        shown=as_shown(context, ref, work.passes[-1].size_after) if work.passes else None,
        shown_at=shown_at(context, ref, work.passes[-1].size_after) if work.passes else (),
        next_cut=next_cut,
        next_ask=next_ask,
        next_divisions=next_divisions,
        taper=tuple(_in_divisions(station, machine) for station in straight.by_hand),
        taper_left=straight.left,
        tailstock=straight.tailstock,
        usual=tuple(settings.usual),
        effects=effects_of(context, settings, ref, feature, work.passes),
        missing=tuple(settings.missing),
        warnings=tuple(settings.warnings),
        source=source(op.where()),
    )


def _in_divisions(station: TakeAt, machine: Machine | None) -> TakeAt:
    """What to take at a station, with the divisions of the lathe's dial that it is."""
    if machine is None:
        return station
    count = divisions(station.take, float(machine.dial_division), machine.dial_reads)
    return station.model_copy(update={"divisions": count})


def _begun_after(context: MeasuredBuild, op_id: str, ref: str) -> tuple[str, ...]:
    """Later operations on the same feature that are done, or have cuts or readings, though this one is not done."""
    build = context.build
    behind = [other for other in context.order.cut_by(ref) if op_id in context.order.before(other)]
    begun = {cut.operation for cut in standing(build, picked_rows(build.cuts, lambda cut: cut.of == ref))}
    begun |= {row.after for row in picked_rows(build.rows, lambda row: row.of == ref)}
    return tuple(other for other in behind if build.operations[other].done or other in begun)


def _warn_of_size(settings: Settings, stock: Stock) -> None:
    """What matters only to an operation that brings the feature to size."""
    if stock.provisional:
        settings.warnings.append(Note(code="mate-not-final"))
    if stock.expanded > abs(stock.to_last_limit - stock.to_first_limit) / 2 + GRAIN:
        settings.warnings.append(Note(code="coarse-for-target"))


def _warn(settings: Settings, stock: Stock, feature: FeatureFinding, skin: float) -> None:
    """skin: still to get below, on diameter."""
    settings.warnings += [note for note in feature.advice if note.code in BEFORE_A_CUT]
    if skin:
        sign = 1 if stock.side == "external" else -1
        least = min(sign * (cell.size - stock.target_mid) for cell in feature.cells)
        if least < skin:
            settings.warnings.append(Note(code="will-not-clean-up", lengths={"skin": skin / 2}))


@dataclass(frozen=True)
class _Feeds:
    """Feed per revolution of rough and of finishing passes, mm, and what is told where nobody said it."""

    rough: float | None
    finish: float | None
    usual: dict[str, Note]

    @classmethod
    def of(cls, settings: Settings, context: MeasuredBuild, machine: Machine | None) -> "_Feeds":
        """As said in the nearest place; else from the lathe's ladder: the usual rough feed or the next finer, the finest."""
        feeds: dict[str, float | None] = {}
        usual: dict[str, Note] = {}
        ladder = sorted(float(rung) for rung in machine.feeds) if machine else []
        usual_feed = context.shelf.judgement["rough_feed"]
        at_most = float(usual_feed)
        for kind in ("rough", "finish"):
            said = settings.nearest(f"{kind}_feed", "feed")
            feeds[kind] = float(said) if said is not None else None
            if said is None and ladder:
                rung = max((rung for rung in ladder if rung <= at_most + GRAIN), default=ladder[0])
                taken = feeds[kind] = rung if kind == "rough" else ladder[0]
                lengths = {"feed": taken}
                usual[kind] = (
                    Note(code="usual-rough-feed", lengths=lengths, words={"ground": usual_feed.ground})
                    if kind == "rough"
                    else Note(code="finest-feed", lengths=lengths)
                )
        return cls(feeds["rough"], feeds["finish"], usual)

    def for_pass(self, kind: PassKind) -> float | None:
        """The feed of one pass; none where it is done by hand."""
        if kind in ("skin", "rough"):
            return self.rough
        return self.finish if kind in ("finish", "spring") else None

    def taken(self, kinds: Sequence[PassKind]) -> list[Note]:
        """What is told of the feeds that passes of these kinds take."""
        used = {"rough" for kind in kinds if kind in ("skin", "rough")}
        used |= {"finish" for kind in kinds if kind in ("finish", "spring")}
        return [note for kind, note in self.usual.items() if kind in used]


@dataclass
class _Work:
    """The passes of one cut, how long the tool is in it, and at what speed."""

    passes: list[Pass] = field(default_factory=list)
    minutes: float = 0.0
    surface_speed: float | None = None
    speed_from: Note | None = None


def _short_of_scrap(
    depths: Depths, dial: Dial, risk: float, wanted: float, scrap_after: float, reading: float
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
    settings: Settings,
    context: MeasuredBuild,
    op_id: str,
    ref: str,
    machine: Machine | None,
    feature: FeatureFinding,
    cuts: list[tuple[PassKind, float]],
    feeds: _Feeds,
) -> _Work:
    """The passes with speed and time where lathe, feed and length are known."""
    length = settings.said("length")
    if length is None:
        settings.missing.append(Note(code="no-length", subject=op_id))
    judgement = context.shelf.judgement
    gap_speed, skin_speed = float(judgement["gap_speed"]), float(judgement["skin_speed"])
    own_speed = settings.said_here("surface_speed") is not None
    speed, speed_from = _speed(settings, context, ref)
    work = _Work(speed_from=speed_from)
    assert feature.size is not None and feature.stock is not None, "what has metal on has been read"
    size = feature.size
    outside = feature.stock.side == "external"
    for kind, take in cuts:
        rpm = time = None
        by_hand, feed = kind.startswith("file"), feeds.for_pass(kind)
        slower = 1.0
        if over_gap(settings, kind == "skin") and not by_hand:
            share, ground = {"share": gap_speed}, {"ground": judgement["gap_speed"].ground}
            told = (
                Note(code="own-speed-over-gap", ratios=share, words=ground)
                if own_speed
                else Note(code="speed-over-gap", ratios=share, words=ground)
            )
            settings.usual += [] if told in settings.usual else [told]
            slower = 1.0 if own_speed else gap_speed
        if kind == "skin" and speed:
            words = {"ground": judgement["skin_speed"].ground}
            settings.usual.append(Note(code="speed-through-skin", ratios={"share": skin_speed}, words=words))
        if machine and machine.speeds and speed and not by_hand:
            share = slower * (skin_speed if kind == "skin" else 1.0)
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
                feed=feed,
                minutes=time,
            )
        )
    return work


def _over_printed(settings: Settings, context: MeasuredBuild, ref: str, speed: float) -> list[Note]:
    """That a speed as written, m/min, is over all that is printed for the metal and what the tool is said to be of."""
    metal, tool = context.materials.figures(context.materials.of_part(ref)).club, settings.said("tool_of")
    printed = cutting_speeds(metal, tool) if tool else []
    metres = between("foot/minute", "m/minute")
    most = max((metres(high) for _, high, *_ in printed), default=None)
    if most is None or speed <= most * (1 + float(context.shelf.judgement["speed_over"])) * (1 + 1e-9):
        return []
    grounds = dict.fromkeys(f"{source}, {basis}" if source else basis for _, _, source, _, basis in printed)
    return [
        Note(
            code="speed-over-printed",
            speeds={"speed": speed, "most": most},
            names={"metal": (metal,), "tool": (tool,)},
            words={"sources": "; ".join(grounds)},
        )
    ]


def _speed(settings: Settings, context: MeasuredBuild, ref: str) -> tuple[float | None, Note | None]:
    """Surface speed in m/min and where it comes from."""
    said = settings.said("surface_speed")
    if said is not None:
        speed = float(said) * 60
        settings.warnings += _over_printed(settings, context, ref, speed)
        return speed, Note(code="speed-as-said", speeds={"speed": speed})
    metal, tool = context.materials.figures(context.materials.of_part(ref)).club, settings.tool_of()
    printed = cutting_speeds(metal, tool)
    if not printed:
        settings.missing.append(Note(code="no-surface-speed", names={"metal": (metal,), "tool": (tool,)}))
        return None, None
    metres = between("foot/minute", "m/minute")
    _, high, key, where, basis = min(printed, key=lambda printed_range: printed_range[1])
    ends = [metres(end) for least, most, source, *_ in printed if source != key for end in (least, most)]
    others = Note(code="others-print", speeds={"least": min(ends), "most": max(ends)}) if ends else None
    return metres(high), Note(
        code="speed-printed",
        speeds={"speed": metres(high)},
        names={"metal": (metal,), "tool": (tool,)},
        words={"source": ", ".join(word for word in (key or "no source", where) if word), "basis": basis},
        because=others,
    )
