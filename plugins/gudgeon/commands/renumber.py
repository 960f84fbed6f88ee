"""gudgeon renumber: readings and cuts that two people gave one id."""

import click

from gudgeon.commands.options import build_argument, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.entry.sizes import NotClear
from gudgeon.project.git import GitLacks
from gudgeon.project.safe_write import NotSound, write_if_sound


@click.command(
    epilog="""\b
Examples:
  gudgeon renumber harrow-pond               after a merge of two branches that gave one id
  gudgeon renumber harrow-pond --dry-run
  gudgeon renumber harrow-pond --kept-in origin/main

\b
Every row is kept. The row that has the id in the main branch keeps it, else the one that was committed first, else the earlier by
day; what puts a renamed row right, or withdraws it, names its new id. So it is with cuts, and with what was read after them.

\b
Exit status: 0 written, or there was nothing to do; 1 nothing could be written, or a row has to be looked at; 2 the command's words
are off; 3 there is no such build, or git lacks the revision."""
)
@build_argument
@click.option("--kept-in", metavar="REVISION", help="The rows of this revision keep their ids.")
@click.option("--dry-run", is_flag=True, help="Say what would be renamed, write nothing.")
@root_option
def renumber(build, kept_in, dry_run, root):
    """Give readings and cuts of BUILD that share an id one each."""
    # Read when it is needed: help and completion shall not wait for the libraries of the assessment.
    from gudgeon.entry.renumbering import cuts_of, given_twice, readings_of, renumbered_texts, renumbering
    from gudgeon.project.first_given import standing_first
    from gudgeon.records.load_build import load_build

    project = open_project(root)
    records = find_build(project, build)
    if records.unread.intersection(("readings", "cuts.yaml")):
        leave(
            TROUBLE,
            "\n".join(["Not written, since not all readings and cuts can be read:", *map(str, records.problems)]),
        )
    try:
        with desk_of(project) as desk:
            records = project.read_build(build)
            rows, cuts = (
                standing_first(records, project, given_twice(entries_of(records)), kept_in, entries_of)
                for entries_of in (readings_of, cuts_of)
            )
            plan = renumbering(records, rows, cuts)
            texts = renumbered_texts(records, plan, desk.text)
            before = {str(problem) for problem in records.problems}
            if texts and not dry_run:
                write_if_sound(
                    desk,
                    records.path,
                    texts,
                    lambda place: load_build(place, records.path, project.knowledge).problems,
                    before,
                    hollow="photos",
                )
    except GitLacks as lack:
        leave(LACKS, str(lack))
    except NotClear as problem:
        leave(TROUBLE, f"Not written: {problem}")
    except NotSound as problem:
        leave(TROUBLE, f"Not written, because the records would have problems:\n{problem}")
    if not plan.renamed:
        click.echo("No id stands twice among the readings, and none among the cuts.")
        return
    would = "would be" if dry_run else "is now"
    for rename in plan.renamed:
        click.echo(
            f"{rename.entry.where('id')}: {rename.old_id} {would} {rename.new_id}; {rename.kept.where('id')} keeps it."
        )
    for entry, key, new_id in plan.references:
        click.echo(f"{entry.where(key)}: {entry.id or 'an entry'} {key} {new_id} {'then' if dry_run else 'now'}.")
    for words in plan.unsure:
        click.echo(words, err=True)
    if plan.unsure:
        raise click.exceptions.Exit(TROUBLE)
