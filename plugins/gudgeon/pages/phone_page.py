"""The page on which a phone takes readings at the lathe, without a network: one page a build, with what is known of each place in it."""

import hashlib
import json
from typing import Any

from markupsafe import Markup

from gudgeon.assess.findings import FeatureFinding
from gudgeon.bench.asked import asked_data
from gudgeon.bench.data import bench_data
from gudgeon.notes import in_words
from gudgeon.pages.new_file import NewFile
from gudgeon.pages.page import Asset, asset_text, environment, to_folder
from gudgeon.pages.view import View
from gudgeon.wording import upper_first

SHARED = "assets/phone"
SCRIPTS = (
    "spoken.js",
    "sizes.js",
    "rows.js",
    "sums.js",
    "answer.js",
    "doubts.js",
    "queue.js",
    "screen.js",
    "hand_over.js",
    "cutting.js",
    "page.js",
)
BESIDE = ("phone.css", "icon.svg")
# Nothing comes from elsewhere and nothing stands in the page itself; the same as on the site's other pages, and no form leads anywhere.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; worker-src 'self'; "
    "manifest-src 'self'; base-uri 'none'; form-action 'none'"
)


def shared_assets() -> list[Asset]:
    """The files that the pages of all builds share."""
    return [Asset(f"{SHARED}/{name}", asset_text(f"phone/{name}").encode()) for name in (*BESIDE, *SCRIPTS)]


def assets(view: View, forge: NewFile | None) -> list[Asset]:
    """The page of a build with its manifest and its worker. forge: where it can offer a new file."""
    digest = _digest(*(asset.content for asset in shared_assets()))
    data = {
        "bench": bench_data(view.build, view.shelf, view.findings),
        "asked": asked_data(view.build, view.shelf),
        "shown": _shown(view),
        "rows": {row.id: [row.by, row.date.isoformat()] for row in view.build.reading_entries},
        "forge": _forge(view, forge),
    }
    shared = f"../../../{SHARED}/"
    html = (
        environment()
        .get_template("phone.html.j2")
        .render(
            build=view.build,
            policy=Markup(POLICY),
            data=_inert(data),
            digest=digest,
            shared=shared,
            scripts=SCRIPTS,
            home=_page(view, ""),
            sheets=_page(view, "sheets/"),
        )
    )
    manifest = {
        "name": f"Enter readings: {view.build.sound_head.name}",
        "short_name": "Readings",
        "start_url": "./index.html",
        "scope": "./",
        "display": "standalone",
        "background_color": "#ffffff",
        "theme_color": "#24453c",
        "icons": [{"src": f"{shared}icon.svg?{digest}", "sizes": "any", "type": "image/svg+xml"}],
    }
    files = ["index.html", "manifest.webmanifest", *(f"{shared}{name}?{digest}" for name in (*BESIDE, *SCRIPTS))]
    described = json.dumps(manifest, ensure_ascii=False, indent=1)
    version = _digest(html.encode(), described.encode())
    worker = asset_text("phone/worker.js").replace("{{version}}", version).replace("{{files}}", json.dumps(files))
    folder = f"{view.home}/phone"
    return [
        Asset(f"{folder}/index.html", html.encode()),
        Asset(f"{folder}/manifest.webmanifest", f"{described}\n".encode()),
        Asset(f"{folder}/worker.js", worker.encode()),
    ]


def _page(view: View, path: str) -> str:
    """A page of the build as seen from this one, which is finished: it leads to the folders that pages of Markdown become."""
    here, there = f"{view.home}/phone/index.md", f"{view.home}/{path}index.md"
    address = to_folder(here, there) if view.renderer.links == "files" else view.renderer.address(here, there)
    return f"{address}index.html" if address.endswith("/") else address  # it is opened from a folder too


def _digest(*contents: bytes) -> str:
    return hashlib.sha256(b"\0".join(contents)).hexdigest()[:16]


def _inert(data: dict[str, Any]) -> Markup:
    """Data as JSON that no reader of HTML takes for anything else, whatever a record says."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for letter in "<>&\u2028\u2029":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return Markup(text)


def _forge(view: View, forge: NewFile | None) -> dict[str, str] | None:
    if forge is None:
        return None
    folder = f"{forge.root}{view.build.path}/"
    return {"page": forge.page, "name": forge.name, "content": forge.content, "told": forge.told, "folder": folder}


def _shown(view: View) -> dict[str, Any]:
    """What the page shows and offers; its sentences are those of the other pages."""
    build = view.build
    return {
        "build": build.id,
        "path": build.path,
        "units": build.sound_head.units,
        "as_of": str(view.findings.as_of) if view.findings.as_of else None,
        "parts": {name: part.name for name, part in build.parts.items()},
        "people": {name: person.name for name, person in build.sound_head.people.items()},
        "gauges": {
            name: {"name": instrument.name} for name, instrument in build.instruments.items() if instrument.vee is None
        },
        "features": {
            ref: _feature(view, ref, finding)
            for ref, finding in view.findings.features.items()
            if build.features[ref].is_length
        },
        "machines": {
            name: {"name": machine.name, "division": machine.dial_division.text, "reads": machine.dial_reads}
            for name, machine in build.machines.items()
        },
        "operations": [
            {
                "id": operation.id,
                "does": upper_first(operation.does),
                "features": build.spelled_out(build.operations[operation.id].changes),
            }
            for operation in view.findings.operations.values()
            if operation.state != "done"
        ],
    }


def _feature(view: View, ref: str, finding: FeatureFinding) -> dict[str, Any]:
    part = view.build.parts[ref.partition(".")[0]]
    return {
        "title": f"{part.name}: {finding.name}",
        "part_name": part.name,
        "known": _known(view, finding),
        "after": _after(view, ref),
        "places": _places(view, ref, finding),
    }


def _known(view: View, finding: FeatureFinding) -> str:
    """What is known of a feature, in two sentences."""
    fmt = view.fmt
    if finding.size is None:
        said = f"{upper_first(finding.state)}: {in_words(finding.why, fmt)}."
    else:
        which = "smallest" if view.build.features[finding.ref].least_decides else "largest"
        places = f", the {which} of {len(finding.cells)} places read" if len(finding.cells) > 1 else ""
        uncertainty = fmt.clearance_text(finding.expanded or 0)
        said = f"{finding.name} counts as {fmt.size_text(finding.size)} at 20 °C{places}; U {uncertainty}; {finding.state}."
    if finding.stock:
        stock = finding.stock
        said += f" Wanted {fmt.limits_text(stock.target_low, stock.target_high)}."
    elif finding.limits:
        said += f" Wanted {fmt.limits_text(*finding.limits)}."
    return said


def _after(view: View, ref: str) -> str | None:
    """The last operation done on a feature, which a reading of now follows."""
    done = [
        (operation.done, index, name)
        for index, (name, operation) in enumerate(view.build.operations.items())
        if operation.done and ref in view.build.touched_by(operation)
    ]
    return max(done)[2] if done else None


def _places(view: View, ref: str, finding: FeatureFinding) -> list[dict[str, Any]]:
    """The places planned, and those read besides: each with the size that it has now."""
    fmt, plan = view.fmt, view.build.features[ref].plan
    sizes = {(cell.station, cell.angle): cell.size for cell in finding.cells}
    texts = {float(row.station): row.station.text for row in view.build.rows if row.of == ref and row.station}
    planned: list[tuple[float | None, float | None]] = []
    if plan:
        texts |= {float(station): station.text for station in plan.stations}
        planned = [
            (None if station is None else float(station), None if angle is None else float(angle))
            for station in plan.stations or (None,)
            for angle in plan.angles or (None,)
        ]
    order = [*planned, *sorted(set(sizes) - set(planned), key=lambda place: (place[0] or 0, place[1] or 0))]
    return [
        {
            "station": texts.get(station) if station is not None else None,
            "angle": angle,
            "shown": fmt.size_text(sizes[station, angle]) if (station, angle) in sizes else None,
        }
        for station, angle in order or [(None, None)]
        if station is None or station in texts
    ]
