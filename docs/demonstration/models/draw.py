"""Draw pictures of the demonstration: `python draw.py BUILD [NAME ...] [--try]`. Needs the renderer; see README.md."""

import importlib
import sys
import tempfile
import time
from pathlib import Path

import kit
from PIL import Image

BUILDS = Path(__file__).resolve().parents[3] / "builds"
LARGEST = 120_000


def draw(build, name, scene, trial):
    kit.fresh_scene()
    scene()
    folder = BUILDS / build / "photos"
    raw = Path(tempfile.gettempdir()) / f"{build}-{name}{'-try' if trial else ''}.png"
    size = kit.FILM if name.startswith("film-") else kit.PICTURE
    if trial:
        kit.render(raw, size[0] * 4 // 9, size[1] * 4 // 9, 6)
        return
    kit.render(raw, *size)
    folder.mkdir(exist_ok=True)
    picture = Image.open(raw).convert("RGB")
    for quality in (88, 80, 70, 60):
        picture.save(folder / f"{name}.webp", quality=quality, method=6)
        if (folder / f"{name}.webp").stat().st_size < LARGEST:
            break


def main(words):
    trial = "--try" in words
    build, *names = [word for word in words if not word.startswith("--")]
    module = "scenes_" + build.replace("-", "_")
    scenes = importlib.import_module(module).SCENES
    if (Path(__file__).parent / f"{module}_more.py").exists():
        importlib.import_module(module + "_more")
    for name in names or scenes:
        start = time.monotonic()
        draw(build, name, scenes[name], trial)
        print(f"{name}: {time.monotonic() - start:.0f} s", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
