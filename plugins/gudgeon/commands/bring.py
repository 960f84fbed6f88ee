"""gudgeon bring: a rule, caution, material or part family from another club."""

import json
import re
import shlex

import click

from gudgeon.commands.options import day_of, day_option, desk_of, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.records.fields import ID
from gudgeon.records.knowledge import SHARED_KINDS
from gudgeon.records.problems import seen, shown
from gudgeon.share import bring as bringing


def _pairs(context, parameter, given):
    pairs = [text.partition("=") for text in given]
    if any(not theirs or not ours for theirs, _, ours in pairs):
        raise click.BadParameter("write THEIRS=OURS, such as A-R1=A-R1-2", context, parameter)
    return {theirs: ours for theirs, _, ours in pairs}


@click.command(
    epilog="""\b
Examples:
  gudgeon bring https://example.org/share/index.json            what is offered there
  gudgeon bring https://example.org/share/rules/A-R1.json --digest sha256:0123...
  gudgeon bring A-R1.json --as A-R1-larkmoor                    from a file, beside one that says otherwise
  gudgeon bring https://example.org/share/rules/A-R1.json --update

\b
Exit status: 0 brought, listed, or here already word for word; 1 refused, nothing was written; 2 the command's words are off;
3 the address or the file cannot be reached."""
)
@click.argument("where")
@click.option(
    "--digest", metavar="SHA256", help="Take it only with this digest, as the list of what is offered tells it."
)
@click.option("--as", "name", metavar="ID", help="Give it another id here.")
@click.option(
    "--update", is_flag=True, help="Put it in the place of what was brought before, unless that was changed here."
)
@click.option(
    "--resting-on",
    "others",
    metavar="THEIRS=OURS",
    multiple=True,
    callback=_pairs,
    help="Of a rule that takes another one's result: which rule of this shelf stands for theirs.",
)
@day_option
@root_option
def bring(where, digest, name, update, others, day, root):
    """Bring what stands at WHERE, an address or a file, onto this club's shelf, with its origin and licence.

    Nothing that comes is run. It is written only when the whole shelf is sound with it. What rests on another rule, or names a
    material, asks for that first.
    """
    try:
        if where.endswith("index.json"):
            _list(bringing.fetch(where), where)
            return
        project = open_project(root, new=True)
        date, content, shelf = day_of(day), bringing.fetch(where), project.settings.knowledge
        with desk_of(project) as desk:
            brought = bringing.bring(desk, shelf, where, content, date, digest, name, update, others)
    except bringing.NotReached as problem:
        leave(LACKS, f"Not brought: {problem}")
    except bringing.Refused as problem:
        leave(TROUBLE, f"Not brought: {problem}")
    item = brought.item
    if brought.same:
        click.echo(f"The {item.kind} {brought.name} is here already, word for word.")
        return
    click.echo(f"Brought the {item.kind} {brought.name}: {shown(item.title, 300)}")
    click.echo(f"  from {shown(item.club, 300)}, licence {shown(item.licence, 300)}, {brought.digest}")
    for path in brought.paths:
        click.echo(f"  written: {path}")


def _list(content: bytes, where: str) -> None:
    try:
        listed = json.loads(content)
        rows = [
            [str(item[key]) for key in ("kind", "id", "title", "licence", "path", "digest")] for item in listed["items"]
        ]
    except (ValueError, TypeError, KeyError, RecursionError):
        leave(TROUBLE, f"{where} is no list of what a club offers.")
    base = where.removesuffix("index.json")
    odd = 0
    folders: dict[str, str] = {**SHARED_KINDS}
    for kind, name, title, licence, path, digest in rows:
        # People copy the command into their shell: nothing stands in it but what has a form.
        whole = re.fullmatch(ID, name) and re.fullmatch("sha256:[0-9a-f]{64}", digest)
        if not whole or path != f"{folders.get(kind)}/{name}.json":
            odd += 1
            continue
        click.echo(f"{kind} {name}: {seen(shown(title, 80))} ({seen(shown(licence, 80))})")
        click.echo(f"  gudgeon bring {shlex.quote(base + path)} --digest {digest}")
    if odd:
        leave(
            TROUBLE,
            f"{odd} of {len(rows)} entries are left out: kind, id, path or digest is not of the form that is brought.",
        )
