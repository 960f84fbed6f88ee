"""A line of quick entry read back in words, before it is written."""

from gudgeon_calc.units import INCH, Measure

from gudgeon.entry.against_known import Doubt
from gudgeon.entry.doubts import cost_of_warmth, in_plain_words
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import number_doubts
from gudgeon.records.parts import Feature


def read_back(build: Build, row: dict, reads: list[Measure], feature: Feature, ref: str, asked: list[Doubt]) -> str:
    """The row as one says it to whoever typed it. asked: what has to be asked before it is written."""
    part = build.parts[ref.partition(".")[0]]
    where = [f"station {row['station']}" if "station" in row else "", f"{row['angle']}" if "angle" in row else ""]
    mean = sum(read.value for read in reads) / len(reads)
    spread = max(read.value for read in reads) - min(read.value for read in reads)
    gauge = build.instruments[row["gauge"]]
    over_vee = gauge.vee is not None
    thermometer = f", thermometer {row['thermometer']}" if "thermometer" in row else ""
    warmth = None if over_vee else cost_of_warmth(build, row, reads)
    lines = [
        f"{part.name}, {feature.name} ({ref}){''.join(', ' + place for place in where if place)}",
        f"  reads {', '.join(read.text for read in reads)}",
        f"  mean {float(mean / INCH):.5f} in, {float(mean):.4f} mm; spread {float(spread / INCH * 1000):.1f} thou, {float(spread):.3f} mm",
        f"  part at {row['part_temp']}, gauge at {row['gauge_temp']}{thermometer}"
        if "part_temp" in row
        else "  a movement over a vee block, which needs no temperatures"
        if over_vee
        else "  no temperatures: the size cannot be brought to 20 °C, and the row is held back until it has both",
        *([f"  {warmth}"] if warmth else []),
        *(
            [
                f"  for {row['lobes']} lobes"
                if "lobes" in row
                else "  for how many lobes is not said: it counts for nothing until it is"
            ]
            if over_vee
            else []
        ),
        *([f"  as held: {row['as_held']}"] if "as_held" in row else []),
        f"  {gauge.name} ({row['gauge']})",
        f"  after {row['after']}: {build.operations[row['after']].does}" if "after" in row else "  after no operation",
        *([f"  after the cut {row['after_cut']}"] if "after_cut" in row else []),
        f"  {build.sound_head.people[row['by']].name}, {row['date']}{' at ' + row['time'] if 'time' in row else ''}, as row {row['id']}",
    ]
    doubts = number_doubts(feature, build.instruments, row["gauge"], reads)
    lines += [f"  doubtful: {in_plain_words(doubt, ref, feature, row['gauge'])}" for doubt in doubts]
    lines += [f"  note: {row['note']}"] if "note" in row else []
    lines += [f"  asked: {doubt.sentence}" for doubt in asked]
    return "\n".join(lines)
