"""Gudgeon: a git-backed knowledge base for engine builds.

    import gudgeon

    project = gudgeon.open(".")                     # finds the project upwards, as git does
    for name in project.build_names():
        build = project.build(name)                 # its records, with what is wrong with them
        findings = project.findings(name)           # its fits, sizes, sums and work to go
    with project.at("HEAD~10") as before:           # the same, as it stood in a revision
        print(before.findings("my-engine").fits["F1"].clearance)

Lengths in findings are millimetres at 20 °C.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gudgeon.project.git import GitLacks
    from gudgeon.project.project import NoBuild, NotWorkedOut, Project
    from gudgeon.project.settings import NoProject

__all__ = ["GitLacks", "NoBuild", "NoProject", "NotWorkedOut", "Project", "open"]

# Name -> its module. Read when it is first used: the libraries behind it take seconds, and help need not wait for them.
_MODULES = {
    "GitLacks": "gudgeon.project.git",
    "NoBuild": "gudgeon.project.project",
    "NotWorkedOut": "gudgeon.project.project",
    "Project": "gudgeon.project.project",
    "NoProject": "gudgeon.project.settings",
}


def open(folder=".") -> "Project":  # noqa: A001 - one opens a project
    """The project that a folder lies in: Project.open. Raises NoProject."""
    from gudgeon.project.project import Project

    return Project.open(folder)


def __getattr__(name: str):
    if name not in _MODULES:
        raise AttributeError(f"module 'gudgeon' has no attribute {name!r}")
    import importlib

    return getattr(importlib.import_module(_MODULES[name]), name)
