"""Planned places of a feature: which of them have not been read. They are left open, never filled."""

from collections.abc import Sequence

from gudgeon_calc.units import GRAIN

from gudgeon.assess.findings import Note
from gudgeon.assess.measuring.measured_build import MeasuredBuild
from gudgeon.assess.measuring.sizes import LocalSize
from gudgeon.records.parts import Feature

Planned = tuple[float | None, float | None]  # station, mm; angle, degrees; None: any


def unread_places(feature: Feature, places: Sequence[LocalSize]) -> list[Planned]:
    """The planned places at which nothing that counts was read; none where nothing was read at all."""
    if feature.plan is None or not places:
        return []
    stations = [float(station) for station in feature.plan.stations] or [None]
    angles = [float(angle) for angle in feature.plan.angles] or [None]
    return [
        (station, angle)
        for station in stations
        for angle in angles
        if not any(_is(place.station, station) and _is(place.angle, angle) for place in places)
    ]


def _is(read: float | None, planned: float | None) -> bool:
    return planned is None or (read is not None and abs(read - planned) <= 1e2 * GRAIN)


def unread_notes(unread: Sequence[Planned], places: Sequence[LocalSize]) -> list[Note]:
    """A note of how many planned places were not read."""
    if not unread:
        return []
    return [Note(code="places-unread", counts={"unread": len(unread), "planned": len(unread) + len(places)})]


def held_back_notes(context: MeasuredBuild, refs: Sequence[str]) -> list[Note]:
    """A note of each feature of which the newest reading is held back: what stands there is an older size."""
    notes = []
    for ref in refs:
        held = context.newest_held_back(ref)
        if held:
            names = {"rows": tuple(row.id for row in held)}
            notes.append(Note(code="newest-held-back", subject=ref, names=names, because=context.held[held[-1].id]))
    return notes


def stand_off_notes(context: MeasuredBuild, ref: str) -> list[Note]:
    """Readings that stand off the surface of the others by more than chance allows."""
    fitted = context.worst(ref).fitted if context.local_sizes(ref) else None
    notes = []
    for place in fitted.stand_off if fitted else ():
        rows, angle = {"rows": place.rows}, {"angle": "" if place.angle is None else f", {place.angle:g}°"}
        if place.station is None:
            notes.append(Note(code="stands-off", subject=place.rows[-1], names=rows, words=angle))
        else:
            lengths = {"station": place.station}
            notes.append(Note(code="stands-off-at", subject=place.rows[-1], names=rows, lengths=lengths, words=angle))
    return notes


def doubts_of_halves(context: MeasuredBuild, refs: Sequence[str]) -> list[Note]:
    """What of the halves of a fit is not known, however well the clearance looks: planned places that were not read, a
    reading that stands off the others, and a size that rests on a cut which nobody recorded."""
    notes = []
    for ref in refs:
        places = context.local_sizes(ref)
        unread = unread_places(context.build.features[ref], places)
        if unread:
            counts = {"unread": len(unread), "planned": len(unread) + len(places)}
            notes.append(Note(code="half-unread", subject=ref, counts=counts))
        notes += stand_off_notes(context, ref) if places else []
        in_use = {row for place in places for row in place.rows}
        told = [tells for _, tells in context.metal(ref).unrecorded if tells in in_use]
        if told:
            notes.append(Note(code="half-on-unrecorded-cut", subject=ref, names={"rows": (told[-1],)}))
    return notes
