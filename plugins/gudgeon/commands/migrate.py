"""gudgeon migrate: the records in the format of this version of the tool."""

import difflib

import click

from gudgeon.commands.options import desk_of, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave, painter
from gudgeon.records.problems import seen_lines

NAMED = 5  # files of a step; the diff has them all


@click.command(
    epilog="""\b
Examples:
  gudgeon migrate --show    what would be written otherwise, line by line
  gudgeon migrate           write it
  gudgeon migrate --show --drop-copies    of a club that began as a copy of the tool's repository

\b
Keys that have another name now are renamed in their place; comments, order and digits stay. All of it is written, or nothing; look at
it with git diff, and with gudgeon review, before it is committed.

\b
Exit status: 0 written, shown, or there was nothing to do; 1 nothing was written: the records are of a newer format, or would have
problems that they have not now; 2 the command's words are off; 3 there is no project here, or no record in it."""
)
@click.option("--show", is_flag=True, help="Show what would be written otherwise, and write nothing.")
@click.option(
    "--drop-copies", is_flag=True, help="Remove files of the shelf too that are the tool's own to the last byte."
)
@root_option
def migrate(show, drop_copies, root):
    """Bring all records of the project, each build's and the shelf's, to the format of this version of the tool."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.migrations.migrating import LosesSomething, migration_of, new_problems
    from gudgeon.migrations.migrating import drop_copies as drop
    from gudgeon.records.formats import FORMAT

    project = open_project(root)
    settings = project.settings
    if not project.build_names() and not (settings.root / settings.knowledge).is_dir():
        leave(
            LACKS, f"there is no build in {settings.builds}/ and no {settings.knowledge}/, and so no record to migrate."
        )
    try:
        with desk_of(project) as desk:
            migration = migration_of(project.settings, project.build_names(), desk.text)
            if drop_copies:
                drop(project.settings, migration)
            fresh = new_problems(project.settings, migration) if migration.after or migration.gone else []
            if not (show or fresh or migration.problems):
                desk.write(migration.after, gone=migration.gone)
    except LosesSomething as fault:
        leave(TROUBLE, f"Not written: {fault}. The fault is in the tool: please report it.")
    if show:
        click.echo(_differences(migration, painter()), nl=False)
    for step, names in migration.by_step:
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        click.echo(f"{step.says}: {', '.join(names[:NAMED])}{more}", err=True)
    if migration.gone:
        click.echo(
            f"copies of the tool's own: {len(migration.gone)} files {'would be' if show else 'were'} removed; the tool's hold in their place",
            err=True,
        )
        for name in migration.gone if show else ():
            click.echo(f"  {name}", err=True)
    for problem in (*migration.problems, *fresh):
        click.echo(str(problem), err=True)
    if fresh or migration.problems:
        leave(TROUBLE, "Nothing was written." if migration.problems else "Nothing was written: see the problems above.")
    if not migration.after and not migration.gone:
        click.echo(f"All records are of format {FORMAT}: nothing to do.", err=True)
        return
    raised = sum(1 for of in migration.formats.values() if of < FORMAT)
    files = len(migration.after)
    click.echo(
        f"{files} file{'' if files == 1 else 's'} {'would be' if show else 'was' if files == 1 else 'were'} written, {raised} "
        f"build{'' if raised == 1 else 's'} brought to format {FORMAT}." + (" Nothing was written." if show else ""),
        err=True,
    )


def _differences(migration, paint) -> str:
    """The change as a diff, which `git apply` takes."""
    out = []
    for name in sorted(migration.after):
        before, after = migration.before.get(name, ""), migration.after[name]
        of = f"a/{name}" if name in migration.before else "/dev/null"
        for line in difflib.unified_diff(before.splitlines(), after.splitlines(), of, f"b/{name}", lineterm=""):
            role = {"-": "bad", "+": "good"}.get(line[:1], "quiet")
            out.append(paint(seen_lines(line), role))
    return "\n".join([*out, ""]) if out else ""
