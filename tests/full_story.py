"""A build whose first instalment has everything that one can have, and whose second has nothing but words."""

from pathlib import Path

from PIL import Image
from small_build import write

PICTURES = """\
photos:
  skirt.webp: {shows: The skirt in the chuck, caption: Before the last cut, drawn: drawn for the test, by: ada, licence: CC-BY-4.0}
  lead.png: {shows: The cylinder on the bench}
  gone.webp: {shows: Somebody, withdrawn: {date: 2025-03-01, why: asked to}}
"""
FILMS = """\
films:
  f1:
    title: First run
    poster: skirt.webp
    length: "4:10"
    link: https://example.org/f
    by: ada
    chapters: [{at: "1:20", shows: it catches, operation: TURN}, {at: "3:59", shows: it stops}]
"""
EVERYTHING = """\
---
number: 1
title: Everything that an instalment can have, with a title that is long
date: 2025-02-05
by: ada
about: [F1, piston]
lead: lead.png
cost: {time: three evenings, scrap: one bush of white metal, rework: bored again}
discuss: https://example.org/talk
---
The white metal was gone.[^1] The skirt had [0.065 mm](fit:F1) in the bore, and the skirt itself [49.945 mm](size:piston.skirt).

![](../photos/skirt.webp)

![Another of it](skirt.webp "With a caption of its own")

### Steps

1. Measure it, with the outside mic, at two stations and two angles, cold.
2. Cut it.

#### What it was

| Place | Station | Angle | Before the cut | After the cut | Wanted | Note |
|-------|--------:|------:|---------------:|--------------:|-------:|------|
| front | 20 mm | 0 | 49.985 mm | 49.945 mm | 49.940 mm | a_long_word_that_does_not_break_on_a_narrow_screen |

> Measure after the last thing that can move it.

```
a line of code that is far too long for a phone held upright, so that it has to wrap or scroll within itself

and another
```

![The first run](film:f1)

![Somebody](gone.webp)

A [link](https://example.org/), `code`, ~~struck~~, and the note again.[^1]

[^1]: It melts at a temperature that a stove reaches.
"""
PLAIN = "---\nnumber: 2\ntitle: Words alone\ndate: 2025-02-20\nby: ada\n---\nNothing was done.\n"


def write_everything(folder: Path) -> Path:
    """The build in a folder that is there."""
    write(folder, photos=PICTURES, films=FILMS)
    (folder / "log").mkdir()
    (folder / "photos").mkdir()
    (folder / "log/01-everything.md").write_text(EVERYTHING, encoding="utf-8")
    (folder / "log/02-words.md").write_text(PLAIN, encoding="utf-8")
    for name, size in {"skirt.webp": (1600, 1000), "lead.png": (400, 300), "gone.webp": (64, 48)}.items():
        Image.new("RGB", size, (40, 90, 70)).save(folder / "photos" / name)
    return folder
