"""Builds with a fit of every kind, in every way in which it may be written, made from what the kinds say of themselves."""

from gudgeon.records.fit_kinds import FIT_KINDS
from gudgeon.records.fit_kinds.kind import FitKind, Pairing
from small_build import FILES

WAYS = [(kind, pairing) for kind in FIT_KINDS.values() for pairing in kind.pairings]
# What a feature of each key is to be, and how it is read.
NOMINAL = {"hole": "50.00 mm", "shaft": "49.94 mm", "gap": "0.30 mm", "keyway": "1:96", "key": "1:100"}
NOMINAL |= {"bears_over": "50 mm"}
READS = {"hole": "50.010 mm", "shaft": "49.945 mm", "gap": "0.290 mm"}
EVERY = "{date: 2025-02-05, by: ada, gauge: gauge, part_temp: 20 °C, gauge_temp: 20 °C}"


def records(fits: dict[str, tuple[FitKind, Pairing]], reads: dict[str, str]) -> dict[str, str]:
    """Two parts with the features that the fits join, the fits, and a reading of each feature."""
    features, entries, rows = {"outer": "", "inner": ""}, "", ""
    for fit_id, (kind, pairing) in fits.items():
        halves = ""
        for key, may_be in pairing.features.items():
            part = "outer" if key in ("hole", "keyway") else "inner"
            name = f"{fit_id}_{key}"
            features[part] += f"  {name}: {{name: {name}, kind: {may_be[0]}, nominal: '{NOMINAL[key]}'}}\n"
            halves += f"{key}: {part}.{name}, "
            if key in reads:
                rows += f"  - {{id: {name}, of: {part}.{name}, station: 10 mm, reads: {reads[key]}}}\n"
        hot = ", hot: [hot]" if pairing.hot else ""
        entries += f"  {fit_id}: {{name: Fit {fit_id}, kind: {kind.id}, {halves}rule: R-{kind.id}, "
        entries += f"want: [0.010 mm, 0.400 mm], because: test{hot}}}\n"
    parts = {
        f"parts__{part}": f"part: {part}\nname: The {part}\nfamily: cylinder\nmaterial: ci\nstate: finished\nfeatures:\n{text}"
        for part, text in features.items()
        if text
    }
    files = {**parts, "fits": f"fits:\n{entries}"}
    # One gauge that reads gaps and diameters alike: what it is set in must reach them all.
    files["instruments"] = FILES["instruments.yaml"].replace("range: [25 mm, 75 mm], ", "")
    return files | ({"readings__2025-02-05-all": f"every_row: {EVERY}\nrows:\n{rows}"} if rows else {})
