"""Draws builds/sundlia/photos/oval-not-to-scale.webp: the liner as four readings of a two-point gauge tell it.

python docs/demonstration/models/oval_liner.py   (needs Pillow; the site's build does not run it)

The directions and their readings come from the records; only how much the oval is exaggerated is chosen here.
"""

import math
from pathlib import Path

import yaml
from PIL import Image, ImageDraw, ImageFont

ROOT = Path(__file__).resolve().parents[3]
BUILD = ROOT / "builds" / "sundlia"
WIDTH, HEIGHT, FINER = 1200, 800, 3  # drawn three times as large and scaled down, for smooth edges
EXAGGERATED = 800
HOLE, LINER, BLOCK = 215, 245, 318  # radii in the picture; the walls are not to scale either
PAPER, INK, IRON, CASTING, GAUGE, LEGS = "#f4f1ea", "#2b2b2b", "#a9adb0", "#77746e", "#9a3b1e", "#1d5d8c"


def mean_readings() -> tuple[dict[int, float], float]:
    """Direction in degrees -> mean diameter in mm by the two-point gauge; and the mean of all by the three-point one."""
    table = yaml.safe_load((BUILD / "readings" / "2025-05-25-liner.yaml").read_text())
    by_two, by_three = {}, []
    for row in table["rows"]:
        figures = [float(figure) for figure in row["reads"].removesuffix(" mm").split()]
        mean = sum(figures) / len(figures)
        if row["gauge"] == "dbg":
            by_two[int(row["angle"].split()[0])] = mean
        else:
            by_three.append(mean)
    return by_two, sum(by_three) / len(by_three)


def main() -> None:
    by_two, by_three = mean_readings()
    middle = sum(by_two.values()) / len(by_two)
    along, askew = (by_two[0] - by_two[90]) / 2, (by_two[45] - by_two[135]) / 2
    scale = HOLE / (middle / 2) * EXAGGERATED  # pixels for a millimetre by which the radius is off

    def radius(degrees: float) -> float:
        twice = math.radians(2 * degrees)
        return HOLE + (along * math.cos(twice) + askew * math.sin(twice)) / 2 * scale

    def at(degrees: float, distance: float) -> tuple[float, float]:
        turned = math.radians(degrees)
        return (
            (WIDTH / 2 + distance * math.cos(turned)) * FINER,
            (HEIGHT / 2 - distance * math.sin(turned)) * FINER,
        )

    picture = Image.new("RGB", (WIDTH * FINER, HEIGHT * FINER), PAPER)
    pen = ImageDraw.Draw(picture)
    font = ImageFont.load_default(size=25 * FINER)

    def disc(distance: float, colour: str) -> None:
        pen.ellipse((*at(135, distance * math.sqrt(2)), *at(-45, distance * math.sqrt(2))), fill=colour)

    def words(place: tuple[float, float], text: str, colour: str, anchor: str = "mm") -> None:
        pen.text(place, text, fill=colour, font=font, anchor=anchor)

    disc(BLOCK, CASTING)
    disc(LINER + 2, INK)
    disc(LINER, IRON)
    wall = [at(degrees, radius(degrees)) for degrees in range(360)]
    pen.polygon(wall, fill=PAPER, outline=INK, width=2 * FINER)
    for start in range(0, 360, 4):  # the round hole that it was to be, dashed
        pen.line((at(start, HOLE), at(start + 2, HOLE)), fill=INK, width=FINER)
    for degrees in (90, 210, 330):
        pen.line((at(0, 0), at(degrees, radius(degrees))), fill=LEGS, width=9 * FINER)
    disc(16, LEGS)
    for degrees, diameter in by_two.items():
        pen.line((at(degrees, radius(degrees)), at(degrees + 180, radius(degrees))), fill=GAUGE, width=3 * FINER)
        place = at(degrees, BLOCK + 16)
        anchor = "lm" if degrees < 90 else "mb" if degrees == 90 else "rm"
        words(place, f"{degrees}°  {diameter:.3f} mm", GAUGE, anchor)
    words((40 * FINER, 690 * FINER), "two points", GAUGE, "lm")
    words((40 * FINER, 725 * FINER), f"three points: {by_three:.3f} mm,", LEGS, "lm")
    words((40 * FINER, 760 * FINER), "however they are turned", LEGS, "lm")
    picture = picture.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)
    picture.save(BUILD / "photos" / "oval-not-to-scale.webp", quality=80, method=6)


if __name__ == "__main__":
    main()
