"""How the metal of one cut is shared out among passes, and how much of it the operation leaves on."""

from dataclasses import dataclass

from gudgeon_calc.cutting import rough_passes
from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import Note
from gudgeon.assess.findings.work import PassKind
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.planning.dial import Dial
from gudgeon.assess.planning.settings import Settings
from gudgeon.records.build_file import Machine
from gudgeon.records.operations import Operation


@dataclass(frozen=True)
class Depths:
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


def depths_of(
    settings: Settings, context: MeasuredBuild, machine: Machine | None, dial: Dial, skin: float, finishes: bool
) -> Depths:
    """The depths as said; only the trade's own depth is held to the trade's depth over a gap, never a builder's.

    skin: still to get below, on diameter. finishes: whether the feature has its finished size after it; else all passes are
    rough but for those that are written down.
    """
    said, depth = settings.said("depth"), settings.taken("depth")
    usual = context.shelf.judgement["gap_depth"]
    gap_depth, ground = float(usual), {"ground": usual.ground}
    if settings.said("interrupted") and skin > 0:
        # The pass below the skin is over the gap, the rough passes after it no longer are.
        settings.usual.append(Note(code="gap-ends-with-skin"))
    elif over_gap(settings, through_skin=False) and depth > gap_depth:
        if said is None:
            depth = gap_depth
            settings.usual.append(Note(code="depth-over-gap", lengths={"depth": gap_depth}, words=ground))
        else:
            settings.usual.append(Note(code="deeper-than-usual-over-gap", lengths={"usual": gap_depth}, words=ground))
    least = float(machine.clean_cut.least_cut) if machine and machine.clean_cut else 0.0
    if finishes:
        leave, finish_passes, springs = (settings.taken(name) for name in ("leave", "finish_passes", "spring_passes"))
    else:
        leave, finish_passes, springs = (
            float(settings.said_here(name) or 0) for name in ("leave", "finish_passes", "spring_passes")
        )
        if leave and not finish_passes:
            finish_passes = settings.taken("finish_passes")
    if springs and dial.spring_take is None:
        settings.missing.append(Note(code="spring-not-known"))
    return Depths(
        depth=depth,
        leave=leave,
        finish_passes=int(finish_passes),
        spring_passes=int(springs),
        spring_take=dial.spring_take or 0.0,
        skin=skin,
        least=least,
    )


def over_gap(settings: Settings, through_skin: bool) -> bool:
    """Whether a pass runs over a gap: where a skin is said the gap ends with it. through_skin: whether the pass is in it."""
    return bool(settings.said("interrupted")) and (through_skin or not settings.said("skin"))


def left_on(settings: Settings, context: MeasuredBuild, op_id: str, op: Operation, ref: str) -> float:
    """What the operation leaves on for those after it that cut the same; asked for where there are such and nobody said."""
    of_feature = op.cutting_of[ref].leave_on if ref in op.cutting_of else None
    said = of_feature or op.leaves or settings.said("leave_on")
    later = [other for other in context.order.open_cuts(ref) if other != op_id]
    if said is None and later:
        settings.missing.append(Note(code="no-leave-on", subject=op_id, names={"later": tuple(later)}))
    return float(said or 0.0)


def skin_on(settings: Settings, context: MeasuredBuild, op_id: str, ref: str, taken: float) -> float:
    """Skin still to get below, on diameter. taken: by the cuts that are logged of the feature, on diameter.

    A skin that is said for the operation itself is off once so much was cut; one that a lathe or a build says for all, also
    once an operation that cut the feature on a lathe is done.
    """
    said = settings.said("skin")
    if not said:
        return 0.0
    before = (context.build.operations[other] for other in context.order.cut_by(ref) if other != op_id)
    turned = any(op.done is not None and (op.machine or op.cutting or ref in op.cutting_of) for op in before)
    if taken >= 2 * float(said) - GRAIN or (turned and settings.said_here("skin") is None):
        return 0.0
    return 2 * float(said)
