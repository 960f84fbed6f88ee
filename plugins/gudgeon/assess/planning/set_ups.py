"""How the work for an operation stands in the lathe, from what an indicator showed over a turn of it."""

from gudgeon_calc.set_up import Offset, jaw_moves, offset_expanded, offset_of, tilt_of

from gudgeon.assess.findings import JawMove, Note, SetUpFinding, SetUpSection
from gudgeon.records.model import Build
from gudgeon.records.operations import Operation
from gudgeon.records.set_up import SetUp

INDEPENDENT_JAWS = 4


def set_up_finding(
    build: Build, op_id: str, op: Operation, of_part: dict[str, Operation], broken_by: str | None
) -> SetUpFinding | None:
    """How the work of an operation is set up: by its own card, else by the newest of its holding; None where none is written.

    of_part: the operations of its part. broken_by: the operation that broke its holding.
    """
    own = op.set_up is not None
    if not own and not op.holding:
        return None
    cards = {op_id: op} if own else {
        name: other for name, other in of_part.items() if other.holding == op.holding and other.set_up
    }  # fmt: skip
    if not cards:
        return None
    name, card = max(
        ((name, other.set_up) for name, other in cards.items() if other.set_up),
        key=lambda entry: (entry[1].date, entry[0]),
    )
    broken = build.operations[broken_by].done if broken_by else None
    # A card of another operation is from before the break; its own is from after it, unless its day says otherwise.
    valid = broken is None or own and card.date >= broken
    jaws = cards[name].jaws if own or op.jaws is None else op.jaws
    return _finding(build, name, card, jaws, valid, broken_by)


def _finding(
    build: Build, name: str, card: SetUp, jaws: int | None, valid: bool, broken_by: str | None
) -> SetUpFinding:
    gauge = build.instruments[card.indicator] if card.indicator else None
    offsets = [offset_of(card.turns, [float(read) for read in run.reads]) for run in card.runs] if valid else []
    within = offset_expanded(float(gauge.use), len(card.turns)) if gauge else None
    sections = tuple(
        _section(float(run.station) if run.station is not None else None, offset, within)
        for run, offset in zip(card.runs, offsets, strict=False)
    )
    tilt = None
    if len(offsets) > 1:
        first, last = card.runs[0].station, card.runs[-1].station
        assert first is not None and last is not None, "several runs have a station each"
        tilt = tilt_of(offsets[0], offsets[-1], float(last) - float(first))
    moves = ()
    if jaws == INDEPENDENT_JAWS and sections and sections[0].told:
        moves = tuple(
            JawMove(jaw=jaw + 1, angle=360.0 * jaw / jaws, move=move)
            for jaw, move in enumerate(jaw_moves(offsets[0], jaws))
        )
    missing = []
    if not valid:
        assert broken_by is not None, "only a holding that was broken is no longer valid"
        missing.append(Note(code="set-up-broken", subject=name, names={"by": (broken_by,)}))
    elif not card.runs:
        missing.append(Note(code="set-up-no-runs", subject=name))
    else:
        missing += [Note(code="set-up-one-station", subject=name)] if len(card.runs) == 1 else []
        missing += [Note(code="set-up-no-indicator", subject=name)] if gauge is None else []
    return SetUpFinding(
        operation=name,
        date=card.date.isoformat(),
        held=card.held,
        zero=card.zero,
        indicator=card.indicator,
        valid=valid,
        sections=sections,
        tilt=tilt.size if tilt else None,
        tilt_direction=tilt.direction if tilt else None,
        jaws=moves,
        missing=tuple(missing),
    )


def _section(station: float | None, offset: Offset, within: float | None) -> SetUpSection:
    return SetUpSection(
        station=station,
        offset=offset.size,
        direction=offset.direction,
        expanded=within,
        told=offset.size > max(within or 0.0, offset.left or 0.0),
        left=offset.left,
    )
