"""What the copies of photographs cost: N of 12 megapixels straight in photos/, cold and warm.

    python -m tests.benchmarks.photos --number 200

The pictures are made up, with the grain of a camera; each is a file of its own, so that nothing is made for two.
"""

import argparse
import io
import os
import random
import tempfile
import time
from pathlib import Path

from gudgeon.pictures.sizes import copies_of
from gudgeon.project.cache import Cache
from PIL import Image

SIZE, MADE = (4000, 3000), 6


def photographs() -> list[bytes]:
    """Some photographs, as JPEG at the quality of a camera."""
    chance, made = random.Random(12), []
    for _ in range(MADE):
        shapes = Image.frombytes("RGB", (40, 30), chance.randbytes(3600)).resize(SIZE, Image.Resampling.BICUBIC)
        edges = Image.frombytes("RGB", (400, 300), chance.randbytes(360_000)).resize(SIZE, Image.Resampling.BICUBIC)
        grain = Image.effect_noise(SIZE, 20).convert("RGB")
        out = io.BytesIO()
        Image.blend(Image.blend(shapes, edges, 0.15), grain, 0.1).save(out, "JPEG", quality=92)
        made.append(out.getvalue())
    return made


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--number", type=int, default=200)
    number = parser.parse_args().number
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        of_camera = photographs()
        paths = [folder / f"photo-{index}.jpg" for index in range(number)]
        for index, path in enumerate(paths):
            raw, remark = of_camera[index % MADE], b"%6d" % index
            path.write_bytes(raw[:2] + b"\xff\xfe\x00\x08" + remark + raw[2:])
        total = sum(path.stat().st_size for path in paths)
        print(
            f"{number} photographs of 12 megapixels, {total / number / 1e6:.1f} MB each; load {os.getloadavg()[0]:.1f}"
        )
        cache = Cache(folder / "cache")
        for name in ("cold", "warm", "warm"):
            began, worked = time.perf_counter(), time.process_time()
            copies = copies_of(paths, cache)
            seconds, busy = time.perf_counter() - began, time.process_time() - worked
            size = sum(len(copy) for copy in copies.values())
            print(f"{name}: {seconds:.1f} s ({busy:.1f} s of processors), {len(copies)} copies, {size / 1e6:.0f} MB")
        print(f"load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
