"""gudgeon new: a club, a build, a part, a set of readings or an instalment, asking for what is needed."""

import sys

import click

from gudgeon.commands import new_club, new_own, outcome
from gudgeon.commands.enter import asked, keep_line
from gudgeon.commands.new_in_the_shop import add_to
from gudgeon.commands.options import (
    asked_option,
    build_argument,
    called,
    day_of,
    day_option,
    desk_of,
    find_build,
    open_project,
    root_option,
)
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.entry.line import place_words, read_line
from gudgeon.entry.sizes import NotClear
from gudgeon.entry.starting import Missing, new_build, new_instalment, new_part, planned_places
from gudgeon.project.safe_write import NotSound, keep_in_build
from gudgeon.records.load_build import FOLDER_NAME
from gudgeon.records.problems import nearest

_EXIT = "\b\nExit status: 0 written, 1 something given does not do and nothing was written, 2 the command's words are off, 3 there is no such build."


@click.group(epilog=_EXIT)
def new():
    """Make a new club, build, part, set of readings or instalment; what is not given is asked for."""


@new.command(
    epilog="""\b
Example:
  gudgeon new build my-engine --name "My engine" --units in --layout "vertical, hopper cooled" --person Ann --club "My club"
"""
    + _EXIT
)
@click.argument("folder")
@asked_option("--name", prompt="What is the engine called", help="The engine's name.")
@asked_option(
    "--units", prompt="Unit of the drawings, in or mm", type=click.Choice(["in", "mm"]), help="Unit of the drawings."
)
@asked_option("--layout", prompt="Layout, such as: vertical, hopper cooled", help="What kind of engine.")
@click.option("--bore", help="Bore of the engine, such as 4.25 in; sizes and bounds of its parts follow from it.")
@click.option("--stroke", help="Stroke of the engine, such as 6 in.")
@click.option("--speed", help="Governed speed, such as 420 rpm.")
@asked_option("--person", prompt="Who builds it", help="The builder's name or nickname.")
@asked_option("--club", prompt="The club", help="The club's name.")
@root_option
def build(folder, name, units, layout, bore, stroke, speed, person, club, root):
    """Start a build in builds/FOLDER. Of the engine's leading figures those that are not known yet may be left out."""
    project = open_project(root, new=True)
    there = project.root / project.path_of(folder)
    if not FOLDER_NAME.fullmatch(folder):
        leave(TROUBLE, f'a build\'s folder is named in small letters, digits and hyphens. Found "{folder[:60]}".')

    figures = {"bore": _figure("Bore", bore, units), "stroke": _figure("Stroke", stroke, units)}
    figures["speed"] = _figure("Governed speed", speed, "rpm")

    def make(_):
        if there.exists():
            raise Missing(f"{project.path_of(folder)} already exists, and is not written over.")
        return new_build(name, units, layout, person, club, figures=figures)

    _write(project, folder, make)
    do = called(project.root)
    click.echo("Next:" + "".join(f"\n  {do} new {what} {folder}" for what in ("gauge", "lathe", "part")))


def _figure(what: str, said: str | None, unit: str) -> str | None:
    """A leading figure of the engine with its unit; asked for on a terminal, where an empty answer leaves it out."""
    if said is None and sys.stdin.isatty():
        said = click.prompt(f"{what} ({unit}; empty: not known yet)", default="", show_default=False, err=True)
    if not said or not said.strip():
        return None
    return said.strip() if any(letter.isalpha() for letter in said) else f"{said.strip()} {unit}"


@new.command(
    epilog="""\b
Example:
  gudgeon new part my-engine piston --family piston --material grey-iron
"""
    + _EXIT
)
@build_argument
@click.argument("part")
@asked_option("--family", prompt="Part family", help="One of the part families.")
@click.option("--name", help="What the part is called (default: the family's name).")
@asked_option(
    "--material",
    prompt="Material",
    default="grey-iron",
    show_default=True,
    help="A material of the club or of the build.",
)
@root_option
def part(build, part, family, name, material, root):
    """Add PART to BUILD from its family's starter: features, what to measure and where, operations."""
    project = open_project(root)
    find_build(project, build)
    shelf = project.knowledge
    if family not in shelf.families:
        known = f"{nearest(family, shelf.families)} All: {', '.join(shelf.families)}."
        leave(TROUBLE, f'no part family "{family[:60]}".{known}')
    starter = project.starters[family]
    called = name or shelf.families[family].name
    _write(project, build, lambda now: new_part(now, starter, shelf.families[family], part, called, material))


@new.command(
    epilog="""\b
Example:
  gudgeon new readings my-engine piston --gauge mic --by ann --temps 15c/15c
"""
    + _EXIT
)
@build_argument
@click.argument("part")
@asked_option("--gauge", prompt="Gauge", help="The instrument, by its id.")
@asked_option("--temps", prompt="Temperatures of part and gauge, such as 15c/15c", help="Of part and gauge: 15c/15c.")
@click.option("--by", help="Who reads, by the id in build.yaml.")
@day_option
@root_option
def readings(build, part, gauge, temps, by, day, root):
    """Read PART of BUILD place by place: asks for each feature at each planned station and angle. Empty passes over one."""
    project, date, kept = open_project(root), day_of(day), 0
    build_records = find_build(project, build)
    hot = float(project.knowledge.judgement["hot_shop"])
    try:
        places = planned_places(build_records, part)
    except Missing as lack:
        leave(TROUBLE, str(lack))
    try:
        for feature, station, angle in places:
            place = place_words(build_records, f"{part}.{feature}", station, angle)
            label = f"{part} {feature}" + "".join(
                f", {coordinate}" for coordinate in (station, angle) if coordinate != "-"
            )
            while typed := click.prompt(label, default="", show_default=False, err=True).strip():
                line = f"{part} {feature} {place} {typed} {temps} {gauge}"

                def read(now, line=line):
                    return read_line(now, line, date, by, today=day_of(None), hot=hot)

                try:
                    entered = read(build_records)
                except NotClear as problem:
                    click.echo(f"Not written: {problem}", err=True)
                    continue
                click.echo(entered.words)
                if asked(entered):
                    try:
                        _, _, build_records = keep_line(project, build, entered, read)
                    except NotClear as problem:
                        click.echo(f"Not written: {problem}", err=True)
                        build_records = project.read_build(build)
                        continue
                    kept += 1
                    break
    except click.Abort:
        click.echo("", err=True)  # what was confirmed before is written
    click.echo(f"{kept} row{'' if kept == 1 else 's'} written to {build_records.path}/readings/.")


@new.command(
    epilog="""\b
Example:
  gudgeon new instalment my-engine --title "Under the skin" --by ann
"""
    + _EXIT
)
@build_argument
@asked_option("--title", prompt="Title", help="Its title.")
@asked_option("--by", prompt="Who writes it", help="Who writes, by the id in build.yaml.")
@day_option
@root_option
def instalment(build, title, by, day, root):
    """Start the next instalment of the story of BUILD."""
    project = open_project(root)
    find_build(project, build)
    date = day_of(day)
    _write(project, build, lambda now: new_instalment(now, title, date, by))


def _write(project, name: str, make) -> None:
    """Write what make(build) gives, of the build as it stands now."""
    path = project.path_of(name)
    try:
        with desk_of(project) as desk:
            paths = keep_in_build(desk, path, make(project.read_build(name)), project.knowledge)
    except (Missing, NotSound, FileExistsError) as problem:
        leave(TROUBLE, f"Not written: {problem}")
    for path in paths:
        click.echo(f"Written: {path}")


add_to(new, _write)
new_club.add_to(new)
outcome.add_to(new)
new_own.add_to(new)
