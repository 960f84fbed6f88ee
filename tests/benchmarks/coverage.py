"""Whether the truth lies inside the stated uncertainty, through the whole product: 2,000 maps of each known part and way to read it.

python tests/benchmarks/coverage.py [maps] [stations×angles, such as 5x4, or shapes, such as slight_oval, for these alone]
"""

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))
from product_maps import BORE, READ_WITH, SKIRT, Layout, coverage
from surface_maps import SHAPES

PLACES = ((4, 1), (1, 4), (2, 4), (5, 4), (10, 4))  # stations, angles
alone = [tuple(int(number) for number in places.split("x")) for places in sys.argv[2:] if places[0].isdigit()]
shapes = [shape for shape in SHAPES if shape in sys.argv[2:]] or SHAPES
maps = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
print("| shape | places | gauges | bore inside ±U % | skirt | clearance | bore bias/U | skirt | clearance ", end="")
print("| a true form out % | a good fit out % | sound readings doubted % |")
print("| --- | --- | --- " + "| ---: " * 9 + "|", flush=True)
began, assessed = time.process_time(), 0
for stations, angles in alone or PLACES:
    for gauges in READ_WITH:
        for shape in shapes:
            if (
                ("oval" in shape and angles == 1)
                or ("taper" in shape and stations < 2)
                or (shape == "bell_mouth" and stations < 3)
            ):
                continue  # nothing of the shape can be seen there
            seen = coverage(Layout(shape, stations, angles, gauges), maps)
            assessed += maps
            figures = [f"{100 * seen.inside[of]:.1f}" for of in (BORE, SKIRT, "F1")]
            figures += [f"{seen.bias[of][0]:+.2f}" for of in (BORE, SKIRT, "F1")]
            figures += [f"{100 * share:.1f}" for share in (seen.form_out, seen.fit_out, seen.doubted)]
            print(f"| {shape} | {stations}×{angles} | {gauges} | " + " | ".join(figures) + " |", flush=True)
print(f"\n{1000 * (time.process_time() - began) / assessed:.0f} ms a build")
