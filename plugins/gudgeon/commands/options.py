"""What commands are told alike: the project, one build of it by name, and the day of what is written down."""

import datetime
import functools
import os
import sys
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gudgeon.commands.terminal import LACKS, leave
from gudgeon.entry.sizes import NotClear
from gudgeon.entry.who_and_when import read_day
from gudgeon.project.settings import NoProject, find_settings

if TYPE_CHECKING:
    from gudgeon.project.project import Project
    from gudgeon.project.writing import Desk
    from gudgeon.records.model import Build


def _complete(context, parameter, incomplete):
    """Names of builds that begin so, for a shell."""
    try:
        settings = find_settings(Path(context.params.get("root") or "."))
    except NoProject:
        return []
    folder = settings.root / settings.builds
    names = [entry.name for entry in folder.iterdir() if entry.is_dir()] if folder.is_dir() else []
    return sorted(name for name in names if name.startswith(incomplete) and not name.startswith("."))


build_argument = click.argument("build", shell_complete=_complete)
root_option = click.option(
    "--root",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=".",
    help="A folder in the project (default: here). The project is found from there upwards.",
)
cache_option = click.option(
    "--no-cache",
    "fresh",
    is_flag=True,
    help="Work everything out anew: take nothing from the cache, and keep nothing in it.",
)


day_option = click.option(
    "--on", "day", metavar="DAY", help="The day of it, such as 2025-04-06 (default: today, by this computer's clock)."
)


class AskedFor(click.Option):
    """An option that is asked for where it is not said. Where nobody is there to answer, its default holds, or it is named."""

    def prompt_for_value(self, ctx):
        _tell_before_asking(ctx)
        try:
            return super().prompt_for_value(ctx)
        except click.Abort:
            if sys.stdin.isatty():
                raise
            click.echo(err=True)  # behind the question that nobody answered
            default = self.get_default(ctx)
            if isinstance(default, str):
                return default
            raise click.UsageError(
                f"say {self.opts[0]}: {self.help or self.prompt} Nothing was written.", ctx
            ) from None


def _tell_before_asking(ctx: click.Context) -> None:
    """That there is no such build, before anybody answers questions about it."""
    name, root = ctx.params.get("build"), Path(ctx.params.get("root") or ".")
    try:
        settings = find_settings(root)
    except NoProject:
        return
    if name is not None and not (settings.root / settings.builds / name).is_dir():
        find_build(open_project(root), name)


asked_option = functools.partial(click.option, cls=AskedFor)


def answer_to(question: str, option: str) -> str:
    """What is asked for besides. Where nobody is there to answer, the option that says it is named."""
    try:
        return click.prompt(question, err=True)
    except click.Abort:
        if sys.stdin.isatty():
            raise
        click.echo(err=True)
        raise click.UsageError(f"say {option}. Nothing was written.") from None


def day_of(text: str | None) -> datetime.date:
    """The day that is said, or today by the clock: what is written down now is of today, and is read back."""
    try:
        return datetime.date.today() if text is None else read_day(text)
    except NotClear as problem:
        raise click.UsageError(str(problem)) from None


def open_project(root: Path, new: bool = False, fresh: bool = False) -> "Project":
    """The project that a folder lies in; ends the command where there is none. new: an empty folder will do. fresh: without
    the cache."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.project.project import Project

    try:
        return Project.open(root, new=new, cache=not fresh)
    except NoProject as lack:
        leave(LACKS, str(lack))


def called(root: Path) -> str:
    """How a command is called in a project: by its start.py, where it has one."""
    if not (root / "start.py").is_file():
        return "gudgeon"
    return f"{'py' if os.name == 'nt' else 'python3'} start.py gudgeon"


def nearest_root() -> Path | None:
    """The root of the project that a person stands in; None where there is none."""
    try:
        return find_settings(Path(".")).root
    except NoProject:
        return None


def find_build(project: "Project", name: str) -> "Build":
    """A build of a project by its folder's name; ends the command where there is none, or where it cannot be read far
    enough."""
    from gudgeon.project.project import NoBuild

    try:
        build = project.build(name)
    except NoBuild as lack:
        leave(LACKS, str(lack))
    if build.head is None:
        leave(LACKS, "\n".join(str(problem) for problem in build.problems))
    return build


def refusal(problem: Exception, build: "Build") -> str:
    """Why a line was refused; where records could not be read, these: what a line names may stand in them."""
    if not build.unread:
        return str(problem)
    return "the records cannot all be read. Put this right first:\n" + "\n".join(str(fault) for fault in build.problems)


def desk_of(project: "Project") -> "AbstractContextManager[Desk]":
    """The project in the hands of a command that writes: read and write within it, ask people outside of it."""
    from gudgeon.project.writing import desk

    return desk(project.root, lambda text: click.echo(text, err=True))
