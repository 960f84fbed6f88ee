"""What a number rests on: the records that were read to work it out, each with where it stands on the site."""

from collections.abc import Callable

from gudgeon.pages.view import View
from gudgeon.wording import slug

IN_USE = ("current", "frozen")  # readings that a size is worked out from; the others only say that they do not count

Entry = tuple[str, str]  # in words, and the page where it stands


def rests_on(view: View, kind: str, name: str) -> list[tuple[str, list[Entry]]]:
    """The records behind a fit ("fit"), a feature or a calculation, by what they are; empty where it was not noted."""
    noted: dict[str, list[str]] = {}
    for what, record in sorted(view.inputs.get(f"{kind}/{name}", ())):
        noted.setdefault(what, []).append(record)
    groups = []
    for what, label, entry in _GROUPS:
        entries = [entry(view, record) for record in noted.get(what, ())]
        entries = [given for given in entries if given is not None]
        if entries:
            groups.append((label, entries))
    return groups


def _reading(view: View, row: str) -> Entry | None:
    finding = view.findings.rows.get(row)
    return (row, view.row_uri(row)) if finding and finding.status in IN_USE else None


def _instrument(view: View, name: str) -> Entry:
    scale_of = view.findings.gauges[name].scale_of
    return name if scale_of == name else f"{name} (scale from {scale_of})", f"{view.home}/gauges.md"


def _feature(view: View, ref: str) -> Entry | None:
    return (
        (view.name_of(ref), f"{view.part_uri(ref.partition('.')[0])}#{slug(ref)}")
        if ref in view.build.features
        else None
    )


def _material(view: View, name: str) -> Entry:
    own = view.build.materials.get(name)
    return own.name if own else name, f"{view.home}/metals.md"


def _operation(view: View, name: str) -> Entry | None:
    operation = view.build.operations.get(name)
    if operation is None:
        return None
    done = view.findings.operations[name].state == "done"
    return name, view.part_uri(operation.part) if done else view.sheet_uri(name)


_GROUPS: tuple[tuple[str, str, Callable[[View, str], Entry | None]], ...] = (
    ("reading", "Readings in use", _reading),
    ("instrument", "Gauges", _instrument),
    ("feature", "Sizes of the spec", _feature),
    ("rule", "Rules", lambda view, name: (name, f"rules.md#{name}") if name in view.shelf.rules else None),
    ("material", "Metals", _material),
    ("temperature case", "Temperature cases", lambda view, name: (name.replace("_", " "), f"{view.home}/index.md")),
    ("thermometer", "Thermometers", lambda view, name: (name, f"{view.home}/index.md")),
    ("engine", "The engine's figures", lambda view, key: (key.replace("_", " "), f"{view.home}/index.md")),
    ("figure", "Figures", lambda view, key: (key.replace("_", " "), f"{view.home}/sums.md")),
    ("operation", "Jobs, done or not", _operation),
)
