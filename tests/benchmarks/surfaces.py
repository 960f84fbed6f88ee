"""Whether the truth lies inside the stated uncertainty: 2,000 maps each of known parts, 4 to 40 places, one and two gauges.

python tests/benchmarks/surfaces.py [maps] [scale in µm]
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
from surface_maps import SCALE, SHAPES, coverage

maps = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
scale = float(sys.argv[2]) / 1000 if len(sys.argv) > 2 else SCALE
print("| shape | places | gauges | inside ±U % | bias/U | ovality out % | taper out % | a reading said off % |")
print("| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: |")
began, fitted = time.process_time(), 0
for shape in SHAPES:
    for stations, angles in ((4, 1), (2, 2), (1, 4), (3, 4), (5, 4), (10, 4)):
        for gauges in (1, 2):
            if (
                angles == 1
                and "oval" in shape
                or stations < 2
                and ("taper" in shape or shape == "bell_mouth")
                or stations == 2
                and shape == "bell_mouth"
            ):
                continue  # nothing of the shape can be seen there
            seen = coverage(shape, stations, angles, gauges, maps, scale=scale)
            fitted += maps
            print(
                f"| {shape} | {stations}×{angles} | {gauges} | {100 * seen.inside:.1f} | {seen.bias:+.3f} | {100 * seen.oval_out:.1f} "
                f"| {100 * seen.taper_out:.1f} | {100 * seen.off:.1f} |",
                flush=True,
            )
print(f"\n{1000 * (time.process_time() - began) / fitted:.2f} ms a map, forms and all")
