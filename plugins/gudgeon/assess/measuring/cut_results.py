"""What each recorded cut took off: from the sizes before and after it, beside what its record says."""

from collections.abc import Iterator
from typing import Any

from gudgeon_calc.uncertainty import COVERAGE
from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import CutFinding, Note, SuspectedMistake
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.metal_states import Place, cuts_of
from gudgeon.assess.measuring.mistakes import mistake_address, source
from gudgeon.assess.steps import unnoted
from gudgeon.records.cuts import Cut


def cut_findings(context: MeasuredBuild) -> list[CutFinding]:
    """Every cut that counts, feature by feature, first to last."""
    cuts = []
    for ref in unnoted(context.build.features):
        with context.steps.step(f"cuts/{ref}"):
            of_feature = list(_of_feature(context, ref))
        for cut in of_feature:
            with context.steps.step(f"cut made/{ref} {cut.number}"):
                context.steps.read(f"cuts/{ref}")
        cuts += of_feature
    return cuts


def cut_mistakes(context: MeasuredBuild, cuts: list[CutFinding]) -> list[SuspectedMistake]:
    """Cuts of which the record says another figure than the sizes before and after."""
    mistakes = []
    for cut in cuts:
        if cut.agree is not False:
            continue
        assert cut.got_written is not None and cut.got_read is not None, "only what both say can disagree"
        mistake = SuspectedMistake(
            kind="what a cut took",
            cause=Note(
                code="got-disagrees",
                subject=cut.label,
                lengths={"written": cut.got_written, "read": cut.got_read},
                names={"before": cut.before, "after": cut.after},
            ),
            about=cut.feature,
            row=cut.after[0],
            rows=(*cut.before, *cut.after),
            source=cut.source,
        )
        with context.steps.step(mistake_address(mistake)):
            context.steps.read(f"cuts/{cut.feature}")
        mistakes.append(mistake)
    return mistakes


def _of_feature(context: MeasuredBuild, ref: str) -> Iterator[CutFinding]:
    moving = cuts_of(context.build, ref)
    own = [(index, cut) for index, cut in enumerate(moving) if cut.of == ref]
    if not own:
        return
    internal = context.build.features[ref].least_decides
    rows: dict[int, list[str]] = {}  # how many of the cuts came before -> the rows
    for row, count in context.metal(ref).cuts_before.items():
        rows.setdefault(count, []).append(row)
    for number, (index, cut) in enumerate(own, start=1):
        before = _sizes(context, ref, rows.get(index, []), last=True)
        after = _sizes(context, ref, rows.get(index + 1, []), last=False)
        common = [place for place in before if place in after]
        taken = [(after[place][0] - before[place][0]) * (1 if internal else -1) for place in common]
        got: Any = sum(taken[1:], start=taken[0]) / len(taken) if taken else None
        written = float(cut.got) if cut.got is not None else None
        yield CutFinding(
            feature=ref,
            number=number,
            label=cut.label,
            date=cut.date.isoformat(),
            asked=float(cut.asked),
            got_written=written,
            got_read=got.nominal_value if got is not None else None,
            expanded=COVERAGE * got.std_dev if got is not None else None,
            before=tuple(row for place in common for row in before[place][1]),
            after=tuple(row for place in common for row in after[place][1]),
            agree=_agree(cut, got),
            source=source(cut.where()),
        )


def _sizes(context: MeasuredBuild, ref: str, rows: list[str], last: bool) -> dict[Place, tuple[Any, tuple[str, ...]]]:
    """Sizes by place in the last or the first state of the metal that some rows between two cuts show."""
    states = context.metal(ref)
    if not rows:
        return {}
    number = (max if last else min)(states.number[row] for row in rows)
    by_place: dict[Place, list[Any]] = {}
    for row in rows:
        if states.number[row] == number:
            sized = context.sized[row]
            by_place.setdefault(sized.place, []).append(sized)
    return {
        place: (sum(sized.size for sized in read) / len(read), tuple(sized.row.id for sized in read))
        for place, read in by_place.items()
    }


def _agree(cut: Cut, got: Any) -> bool | None:
    """Whether a record says what the sizes say; None where one of them says nothing."""
    if cut.got is None or got is None:
        return None
    return abs(float(cut.got) - got.nominal_value) <= COVERAGE * got.std_dev + GRAIN
