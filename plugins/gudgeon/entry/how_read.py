"""What a line of quick entry says beside the size: how the part was held, lobes over a vee block, the thermometer."""

import re

from gudgeon.entry.sizes import NotClear
from gudgeon.records.model import Build
from gudgeon.records.number_doubts import vee_problems
from gudgeon.records.parts import Feature
from gudgeon.records.problems import nearest, shown
from gudgeon.records.readings import MOST_LOBES

HELD = re.compile(r"(?i)(?:^|\s)held(?:\s|$)")


def as_held(line: str) -> tuple[str, str]:
    """The line without, and what stands behind "held": how the part was held, in as many words as it takes, to the end."""
    word = HELD.search(line)
    if word is None:
        return line, ""
    held = " ".join(line[word.end() :].split())
    if not held:
        raise NotClear('"held" stands at the end with nothing behind it. Write how: held cap at working torque.')
    return line[: word.start()], held


def lobes_of(build: Build, ref: str, feature: Feature, gauge: str, said: str | None) -> int | None:
    """For how many lobes a vee block was read. Refuses what the site calls wrong of a reading over one."""
    if said is not None and not re.fullmatch("[0-9]{1,2}", said):
        raise NotClear(f'lobes "{shown(said)}": write how many a turn shows: lobes 3.')
    lobes = int(said) if said is not None else None
    if lobes is not None and not 2 <= lobes <= MOST_LOBES:
        raise NotClear(f"lobes {lobes}: write how many a turn shows, from 2 to {MOST_LOBES}.")
    for _, problem in vee_problems(ref, feature, build.instruments, gauge, (), lobes):
        raise NotClear(problem)
    return lobes


def thermometer_of(build: Build, said: str | None, before: str | None) -> str | None:
    """The thermometer that both temperatures were read with, as named, or as before, on the line above."""
    known = build.sound_head.thermometers
    if said is None:
        return before
    thermometer = {name.lower(): name for name in known}.get(said.lower())
    if thermometer is None:
        hint = nearest(said.lower(), known) if known else " build.yaml names none."
        raise NotClear(f'no thermometer "{shown(said)}" (thermometers in build.yaml).{hint}')
    return thermometer
