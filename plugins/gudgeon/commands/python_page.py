"""The page on the Python door, made from its docstrings: what a docstring does not say is not on it."""

import inspect

import gudgeon
from gudgeon.pages.page import Page, Renderer


def python_page(renderer: Renderer | None = None) -> Page:
    """The page with every public name of the package: what it is, and its methods with what they take and give."""
    return (renderer or Renderer()).page(
        "python.md",
        "python.md.j2",
        None,
        about=inspect.cleandoc(gudgeon.__doc__ or ""),
        entries=[_entry(name) for name in sorted(gudgeon.__all__, key=_door_first)],
    )


def _door_first(name: str) -> tuple:
    """The door, what it leads to, and then what can be wrong."""
    named = getattr(gudgeon, name)
    return (inspect.isclass(named), inspect.isclass(named) and issubclass(named, Exception), name)


def _entry(name: str) -> dict:
    documented = getattr(gudgeon, name)
    methods = []
    if inspect.isclass(documented) and not issubclass(documented, Exception):
        methods = [
            (method, _signature(member), _doc(member))
            for method, member in vars(documented).items()
            if not method.startswith("_") and _doc(member)
        ]
    signature = _signature(documented) if inspect.isfunction(documented) else ""
    return {"name": name, "signature": signature, "doc": _doc(documented), "methods": methods}


def _signature(member) -> str:
    """How it is called; nothing for what is read like a value."""
    function = getattr(member, "__func__", member)
    function = inspect.unwrap(function) if callable(function) else None
    if function is None:
        return ""
    parameters = [
        parameter.replace(annotation=inspect.Parameter.empty)
        for parameter in inspect.signature(function).parameters.values()
        if parameter.name not in ("self", "cls")
    ]
    return str(inspect.Signature(parameters))


def _doc(member) -> str:
    return " ".join((inspect.getdoc(member) or "").split())
