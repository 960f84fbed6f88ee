"""Seeded maps of parts whose true diameters are known, to see whether what is stated of them holds."""

from dataclasses import dataclass

import numpy as np
from gudgeon_calc.surface import Surface, fit_surface

USE, SCALE = 1.5e-3, 1.5e-3  # mm, standard: U of 3 µm each, a good micrometer in a hobby's hands
AROUND = np.arange(0.0, 180.0, 0.5)
ANGLES = {1: [0.0], 2: [0.0, 90.0], 4: [0.0, 45.0, 90.0, 135.0], 8: [22.5 * step for step in range(8)]}


def cylinder(x, angle):
    return 0.0 * x * angle


def taper(x, angle):
    return 0.005 * x + 0.0 * angle


def oval(x, angle):
    return 0.005 * np.cos(2 * np.radians(angle - 28)) + 0.0 * x


def slight_taper(x, angle):
    """As small as one reading is known: it cannot be told from none, and is there."""
    return 0.0015 * x + 0.0 * angle


def slight_oval(x, angle):
    return 0.0015 * np.cos(2 * np.radians(angle - 28)) + 0.0 * x


def bell_mouth(x, angle):
    """Worn at both ends, dying away along an eighth of the length."""
    return 0.010 * (np.exp(-(1 + x) / 0.25) + np.exp(-(1 - x) / 0.25)) + 0.0 * angle


def three_jaw_lobes(x, angle):
    """The radius goes in and out by 5 µm three times around; a two-point gauge reads from side to side."""
    radius = lambda at: 0.005 * np.cos(3 * np.radians(at))  # noqa: E731
    return radius(angle) + radius(angle + 180) + 0.0 * x


SHAPES = {
    shape.__name__: shape for shape in (cylinder, taper, slight_taper, oval, slight_oval, bell_mouth, three_jaw_lobes)
}


@dataclass
class Coverage:
    """How often the truth lay inside ± U, the mean error in U, and how often forms of a true part were said to be out."""

    inside: float
    bias: float
    error: float  # of the bias, standard
    oval_out: float
    taper_out: float
    off: float


def coverage(
    shape: str, stations: int, angles: int, gauges: int, maps: int, least: bool = True, scale: float = SCALE
) -> Coverage:
    """Of so many maps. The truth: over all angles where the ones read tell both directions of ovality, or else at those read."""
    chance = np.random.default_rng([20251126, stations, angles, gauges, maps, *shape.encode()])
    along = np.linspace(-1, 1, stations) if stations > 1 else np.zeros(1)
    x, angle = (grid.ravel() for grid in np.meshgrid(along, ANGLES[angles], indexing="ij"))
    n = len(x)
    true = SHAPES[shape]
    all_of_it = true(along[:, None], (AROUND if angles > 2 else np.array(ANGLES[angles]))[None, :])
    goal = all_of_it.min() if least else all_of_it.max()
    limit_oval = 0.010 if shape == "oval" else 0.002  # a limit that the part keeps, just so
    sections = true(along[:, None], AROUND[None, :]).mean(axis=1)
    limit_taper = max(0.002, abs(2 * np.polyfit(along, sections, 1)[0])) if stations > 1 else 0.0
    # By turns along and around, so that a gauge's own zero is no form of the part.
    gauge = (np.arange(n) // angles + np.arange(n) % angles) % gauges
    of_use, scales = np.full(n, USE**2), scale * (gauge[:, None] == np.arange(gauges)[None, :])
    errors, doubts, out, off = [], [], [], 0
    for _ in range(maps):
        read = 100 + true(x, angle) + chance.normal(0, USE, n) + chance.normal(0, scale, gauges)[gauge]
        surface = fit_surface(read, (50 * x).tolist(), angle.tolist(), of_use, of_use, scales)
        worst = surface.least() if least else surface.greatest()
        errors.append(worst.value - 100 - goal)
        doubts.append(2 * worst.standard)
        out.append(_out(surface, limit_oval, limit_taper))
        off += bool(surface.off)
    error, doubt = np.array(errors), np.array(doubts)
    oval_out, taper_out = np.mean(out, axis=0)
    mean = doubt.mean()
    return Coverage(
        float((np.abs(error) <= doubt).mean()),
        float(error.mean() / mean),
        float(error.std() / mean / np.sqrt(maps)),
        oval_out,
        taper_out,
        off / maps,
    )


def _out(surface: Surface, most_oval: float, most_taper: float) -> tuple[bool, bool]:
    oval_read, taper_read = surface.ovality(), surface.taper()
    return (
        oval_read is not None and oval_read.against(most_oval) == "out",
        taper_read is not None and taper_read.against(most_taper) == "out",
    )
