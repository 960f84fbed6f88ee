"""What a dial gives: the logged cuts that were made as the next one will be, the law fitted to them, and what is told of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from gudgeon_calc.at_the_lathe import DialLaw
from gudgeon_calc.cutting import cut_law

from gudgeon.assess.findings import CutFinding, Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.metal_states import standing
from gudgeon.assess.steps import picked_rows
from gudgeon.records.cuts import Cut
from gudgeon.records.operations import Operation

Made = Mapping[tuple[str, int], CutFinding]  # file and line where a cut was entered -> what it took


@dataclass(frozen=True)
class HowCut:
    """What has to be the same for one cut to teach another; None where it is not said."""

    operation: str
    machine: str | None
    tool: str | None
    feed: float | None
    holding: str | None


@dataclass
class Dial:
    """What the cuts of one kind teach."""

    law: DialLaw | None = None
    said: Note | None = None  # the law in words, with the features that it was learnt on
    spring_take: float | None = None  # the most that a pass without infeed took; None where none was logged
    usual: list[Note] = field(default_factory=list)  # what was taken as the same though nobody said so
    missing: list[Note] = field(default_factory=list)


def dial_of(context: MeasuredBuild, ref: str, how: HowCut, made: Made) -> Dial:
    """Learn the dial from cuts of one machine, tool, feed and holding; on any feature, because the machine does not know it.

    made: what each cut took, as it was read before and after, else as its record says.
    """
    dial = Dial()
    on_machine = standing(context.build, picked_rows(context.build.cuts, lambda cut: cut.machine == how.machine))
    for other in dict.fromkeys(cut.of for cut in on_machine):
        context.steps.read(f"cuts/{other}")
    took = {
        cut: got
        for cut in on_machine
        if (finding := made.get((cut.where().file, cut.where().line))) and (got := finding.got) is not None
    }
    on_machine = list(took)
    alike = _alike(context, on_machine, how, dial)
    _learn_spring(dial, took, alike, [cut for cut in on_machine if how.tool and _same_words(cut.tool, how.tool)])
    with_infeed = [cut for cut in alike if cut.asked.value > 0]
    if len(with_infeed) >= float(context.shelf.judgement["few_cuts"]):
        try:
            dial.law = cut_law([float(cut.asked) for cut in with_infeed], [took[cut] for cut in with_infeed])
        except ValueError:  # two cuts, all at one setting, or less cut where more was asked: no line
            dial.law = None
    if dial.law is None:
        others = sum(cut.asked.value > 0 for cut in on_machine) - len(with_infeed)
        dial.missing.append(Note(code="few-cuts", subject=ref, counts={"cuts": len(with_infeed), "others": others}))
        return dial
    dial.said = Note(
        code="dial-law",
        ratios={"slope": dial.law.slope},
        lengths={"offset": dial.law.offset},
        counts={"cuts": dial.law.cuts},
        names={"features": tuple(dict.fromkeys(cut.of for cut in with_infeed))},
    )
    return dial


def _alike(context: MeasuredBuild, on_machine: list[Cut], how: HowCut, dial: Dial) -> list[Cut]:
    """The cuts made with the same tool, feed and holding. What the operation does not say must be one thing in all of them."""
    alike = [cut for cut in on_machine if how.tool is None or _same_words(cut.tool, how.tool)]
    alike = [cut for cut in alike if how.feed is None or abs(float(cut.feed) - how.feed) <= 1e-6 * how.feed]
    held = {cut: _holding(context, cut, how) for cut in alike}
    alike = [cut for cut in alike if how.holding is None or held[cut] in (None, how.holding)]
    tools = {" ".join(cut.tool.lower().split()) for cut in alike}
    holdings = {held[cut] for cut in alike} - {None}
    if len(tools) > 1:
        dial.missing.append(Note(code="no-tool", subject=how.operation))
        return []
    if len(holdings) > 1:
        dial.missing.append(Note(code="no-holding", subject=how.operation))
        return []
    if alike and how.tool is None:
        dial.usual.append(Note(code="tool-taken", names={"tool": (alike[0].tool,)}))
    unheld = sum(held[cut] is None for cut in alike)
    if unheld or how.holding is None and holdings:
        dial.usual.append(Note(code="holding-not-known", counts={"cuts": unheld or len(alike)}))
    return alike


def _holding(context: MeasuredBuild, cut: Cut, how: HowCut) -> str | None:
    """How the work was held: by the holding of its operation; None where the record does not say."""
    if cut.operation is None:
        return None
    if cut.operation == how.operation and how.holding is None:
        return how.operation  # one operation in one holding, though it has no name
    operation: Operation = context.build.operations[cut.operation]
    return operation.holding


def _learn_spring(dial: Dial, took: dict[Cut, float], alike: list[Cut], of_tool: list[Cut]) -> None:
    """What a pass without infeed takes: the most that one took; where none was made quite so, of the same machine and tool."""
    own = [took[cut] for cut in alike if cut.asked.value == 0]
    near = [took[cut] for cut in of_tool if cut.asked.value == 0]
    if own or near:
        dial.spring_take = max(0.0, *own, *([] if own else near))
    if near and not own:
        dial.usual.append(Note(code="spring-of-other-feed", lengths={"take": dial.spring_take or 0.0}))


def _same_words(one: str, other: str) -> bool:
    return one.lower().split() == other.lower().split()
