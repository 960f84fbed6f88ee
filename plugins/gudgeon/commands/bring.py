"""gudgeon bring: rules, cautions, materials, part families, words and habits from other clubs."""

import shlex
import sys

import click

from gudgeon.commands.options import day_of, day_option, desk_of, open_project, root_option
from gudgeon.commands.terminal import LACKS, TROUBLE, WORDS_OFF, leave
from gudgeon.records.knowledge import SHARED_KINDS
from gudgeon.records.problems import seen, shown
from gudgeon.share import bring as bringing
from gudgeon.share.clubs import is_clubs
from gudgeon.share.offers import INDEX_NAME, read_offers

MOST_NEEDED = 60  # things that one thing needs besides


def _pairs(context, parameter, given):
    pairs = [text.partition("=") for text in given]
    if any(not theirs or not ours for theirs, _, ours in pairs):
        raise click.BadParameter("write THEIRS=OURS, such as A-R1=A-R1-2", context, parameter)
    return {theirs: ours for theirs, _, ours in pairs}


@click.command(
    epilog="""\b
Examples:
  gudgeon bring https://example.org/share/index.json            what is offered there
  gudgeon bring https://example.org/share/index.json --all      all of it, in an order that works
  gudgeon bring https://example.org/share/rules/A-R1.json --digest sha256:0123...
  gudgeon bring A-R1.json --as A-R1-larkmoor                    from a file, beside one that says otherwise
  gudgeon bring --look                                          what is newer or withdrawn where things came from
  gudgeon bring --update                                        shows what differs in each newer one, and asks
  gudgeon bring clubs.yaml                                      what several clubs offer, side by side

\b
Exit status: 0 brought, listed, or here already word for word; 1 refused (what was not refused is written); 2 the command's
words are off; 3 an address or a file cannot be reached."""
)
@click.argument("where", required=False)
@click.option("--all", "everything", is_flag=True, help="Take all that a list offers, but habits and judgement.")
@click.option(
    "--only", "kinds", multiple=True, type=click.Choice(list(SHARED_KINDS)), help="With --all: this kind alone."
)
@click.option(
    "--look", "looks", is_flag=True, help="Tell what became of what was brought, and keep what was withdrawn."
)
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
@click.option("--yes", is_flag=True, help="Agree to what is asked.")
@day_option
@root_option
def bring(where, everything, kinds, looks, digest, name, update, others, yes, day, root):
    """Bring what stands at WHERE, an address or a file, onto this club's shelf, with its origin and licence.

    Nothing that comes is run. It is written only when the whole shelf is sound with it. The rules and materials that it needs are
    brought along with a yes. What must not be changed or passed on by its licence is asked first, and an update shows what differs.
    """
    # Read when they are needed: most uses bring one thing.
    from gudgeon.commands import bring_many

    is_list = where is not None and where.endswith(INDEX_NAME)
    alone = digest or name or others
    if (looks or everything or is_list or where is None) and alone:
        leave(WORDS_OFF, "--digest, --as and --resting-on are of one thing: write its address or file.")
    if kinds and not everything:
        leave(WORDS_OFF, "--only goes with --all.")
    if where is None and not (looks or update):
        leave(WORDS_OFF, "write the address or the file of what to bring, or --look, or --update.")
    where = where or ""  # looking back needs none
    if everything and (not is_list or looks or update):
        leave(
            WORDS_OFF,
            f"--all takes the address or file of a list, which is called {INDEX_NAME}, and no --look or --update.",
        )
    if looks and update:
        leave(WORDS_OFF, "--update looks first; write one of the two.")
    if looks and where and not is_list:
        leave(WORDS_OFF, f"--look takes the address or file of a list, which is called {INDEX_NAME}, or nothing.")
    try:
        if looks:
            bring_many.look_back(open_project(root), where or None, day_of(day))
        elif update and (not where or is_list):
            bring_many.update_all(open_project(root), where or None, day_of(day), yes)
        elif everything:
            bring_many.take_all(open_project(root, new=True), where, kinds, day_of(day), yes)
        elif is_list:
            _list(bringing.fetch(where), where)
        else:
            content = bringing.fetch(where)
            if is_clubs(content):
                bring_many.list_clubs(content, where)
                return
            given = bringing.Given(where, content, digest, name, update, others)
            _one(open_project(root, new=True), given, day_of(day), yes)
    except bringing.NotReached as problem:
        leave(LACKS, f"Not brought: {problem}")
    except bringing.Refused as problem:
        leave(TROUBLE, f"Not brought: {problem}")


def agrees(question: str, yes: bool) -> bool:
    """Whether somebody agrees; No where nobody is there to answer."""
    if yes:
        return True
    try:
        return click.confirm(question, default=False, err=True)
    except click.Abort:
        if sys.stdin.isatty():
            raise
        click.echo(err=True)
        return False


def _one(project, given, day, yes: bool) -> None:
    shelf, folder = project.knowledge, project.root / project.settings.knowledge
    givens = [given]
    ready, done = bringing.prepare(shelf, folder, givens)
    while lacks := [outcome for outcome in done if isinstance(outcome, bringing.NotTaken)]:
        fetched = {one.where for one in givens}
        more = [_needed(lack) for lack in lacks if _place_of_needed(lack) not in fetched]
        if not more or None in more or len(givens) > MOST_NEEDED:
            raise bringing.Refused(lacks[-1].why)
        givens += [one for one in more if one is not None]
        ready, done = bringing.prepare(shelf, folder, givens)
    along = [one for one in ready if one.given is not given]
    if along:
        click.echo("It needs what is not on this shelf:", err=True)
        for one in along:
            click.echo(f"  {one.item.kind} {one.name}: {seen(shown(one.item.title, 80))}", err=True)
        if not agrees("Bring that along?", yes):
            raise bringing.Refused("what it needs was not agreed to. Nothing was written; --yes agrees.")
    for one in ready:
        if one.before:
            tell_differences(one, shelf.origins.get(one.key))
            if not agrees(f"Put this in the place of the {one.item.kind} {one.name} here?", yes):
                raise bringing.Refused("nobody agreed to the update. Nothing was written; --yes agrees.")
        for reason in one.asks:
            if not agrees(f"The {one.item.kind} {one.name}: {reason}. Bring it all the same?", yes):
                raise bringing.Refused(f"{reason}, and nobody agreed to that. Nothing was written; --yes agrees.")
    with desk_of(project) as desk:
        outcomes = bringing.bring_all(desk, project.settings.knowledge, givens, day)
    for outcome in outcomes:
        if isinstance(outcome, bringing.NotTaken):
            raise bringing.Refused(outcome.why)
        tell_brought(outcome)


def _place_of_needed(lack: bringing.NotTaken) -> str | None:
    """Where what has to be brought first lies, beside the thing itself; None where that is not known."""
    if lack.item is None or lack.needed is None:
        return None
    own = f"{SHARED_KINDS[lack.item.kind]}/{lack.item.id}.json"
    kind, name = lack.needed
    return f"{lack.where.removesuffix(own)}{SHARED_KINDS[kind]}/{name}.json" if lack.where.endswith(own) else None


def _needed(lack: bringing.NotTaken) -> bringing.Given | None:
    """What has to be brought first; None where it is not known or not there."""
    where = _place_of_needed(lack)
    if where is None:
        return None
    try:
        return bringing.Given(where, bringing.fetch(where))
    except bringing.Refused:
        return None


def tell_differences(one: bringing.Prepared, origin) -> None:
    """What an update would change, on standard error: the answer to a question is read there too."""
    from gudgeon.share.differences import differences

    click.echo(f"{one.item.kind} {one.name}: {seen(shown(one.item.title, 80))}", err=True)
    for what, was, now in (
        ("licence", origin and origin.licence, one.item.licence),
        ("given by", origin and origin.club, one.item.club),
    ):
        if was is not None and was != now:
            click.echo(f"  {what}: {seen(shown(was, 300))} -> {seen(shown(now, 300))}", err=True)
    if one.before == one.files:
        click.echo("  its words are the same; only what is said of it differs", err=True)
    for line in differences(one.before, one.files):
        click.echo(f"  {line}", err=True)


def tell_brought(outcome: bringing.Brought) -> None:
    """What was brought, in a few lines."""
    item = outcome.item
    if outcome.same:
        called = f", as {outcome.name}" if outcome.name != item.id else ""
        click.echo(f"The {item.kind} {item.id} is here already, word for word{called}.")
        return
    click.echo(f"Brought the {item.kind} {outcome.name}: {seen(shown(item.title, 300))}")
    click.echo(f"  from {seen(shown(item.club, 300))}, licence {seen(shown(item.licence, 300))}, {outcome.digest}")
    for path in outcome.paths:
        click.echo(f"  written: {path}")
    tell_left_out(outcome)


def tell_left_out(outcome: bringing.Brought) -> None:
    """Of which rules outcomes were not taken."""
    if outcome.left_out:
        click.echo(
            f"  nothing is taken of {', '.join(map(seen, outcome.left_out))}: not here, or says otherwise here. Bring the rule, then "
            "the outcomes again with --update."
        )


def _list(content: bytes, where: str) -> None:
    offers = read_offers(content, where)
    for entry in offers.entries:
        withdrawn = ", withdrawn there" if entry.is_withdrawn or entry.key in offers.notices else ""
        click.echo(f"{entry.key}: {entry.title} ({entry.licence}{withdrawn})")
        click.echo(f"  gudgeon bring {shlex.quote(entry.where)} --digest {entry.digest}")
    if offers.odd:
        leave(
            TROUBLE,
            f"{offers.odd} of {offers.of} entries are left out: kind, id, path or digest is not of the form that is brought.",
        )
