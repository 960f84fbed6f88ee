"""What gudgeon bring does with many things: takes all of a list, looks back, updates, shows the offers of several clubs."""

import datetime
import shlex
from collections import Counter
from collections.abc import Collection, Sequence

import click

from gudgeon.commands.bring import agrees, tell_differences, tell_left_out
from gudgeon.commands.options import desk_of
from gudgeon.commands.terminal import LACKS, TROUBLE, leave, progress
from gudgeon.project.project import Project
from gudgeon.records.knowledge import SINGLE
from gudgeon.records.problems import seen, seen_lines, shown
from gudgeon.share import bring as bringing
from gudgeon.share.clubs import ClubOffers, offers_of, read_clubs, side_by_side
from gudgeon.share.fetching import Refused
from gudgeon.share.looking import Looked, keep_notices, look
from gudgeon.share.offers import Entry, Offers, fetch_all, fetch_offers


def take_all(project: Project, where: str, kinds: Collection[str], day: datetime.date, yes: bool) -> None:
    """Bring everything that a list offers, or some kinds of it."""
    offers = fetch_offers(where)
    shelf = project.knowledge
    wanted = [entry for entry in offers.entries if (entry.kind in kinds if kinds else entry.kind not in SINGLE)]
    withdrawn = [entry for entry in wanted if entry.is_withdrawn or entry.key in offers.notices]
    wanted = [entry for entry in wanted if entry not in withdrawn]
    here = {
        entry.key
        for entry in wanted
        if (origin := shelf.origins.get(entry.key))
        and origin.digest == entry.digest
        and entry.key not in shelf.changed_here
    }
    givens, refused = _fetched([entry for entry in wanted if entry.key not in here])
    ready, _ = bringing.prepare(shelf, _folder(project), givens)
    agreed_not = _not_agreed(ready, yes)
    outcomes = _written(project, [given for given in givens if given not in agreed_not], day)
    for outcome in outcomes:
        if isinstance(outcome, bringing.NotTaken):
            refused.append((_called(outcome), outcome.why))
        elif not outcome.same:
            click.echo(f"Brought the {outcome.item.kind} {outcome.name}: {seen(shown(outcome.item.title, 80))}")
            tell_left_out(outcome)
    for one in ready:
        if one.given in agreed_not:
            click.echo(f"Left out the {one.item.kind} {one.name}: {'; '.join(one.asks)}.")
    for entry in withdrawn:
        click.echo(f"Left out the {entry.kind} {entry.id}: it is withdrawn there.")
    brought = [outcome for outcome in outcomes if isinstance(outcome, bringing.Brought)]
    same = len(here) + sum(outcome.same for outcome in brought)
    counts = [
        (sum(not outcome.same for outcome in brought), "brought"),
        (same, "here already"),
        (len(withdrawn) + len(agreed_not), "left out"),
        (len(refused), "refused"),
        (offers.odd, "not of the form that is brought"),
    ]
    _end(counts, refused, offers.odd)


def look_back(project: Project, where: str | None, day: datetime.date) -> None:
    """Tell what became of what was brought where it came from, and keep what was withdrawn."""
    looked = look(project.knowledge, where)
    with desk_of(project) as desk:
        kept = keep_notices(desk, project.settings.knowledge, looked, day)
    _tell_looked(looked)
    for key in kept:
        click.echo(f"Kept in {project.settings.knowledge}/origins.yaml: {key}")
    if not looked:
        click.echo("Nothing on this shelf was brought from there." if where else "Nothing on this shelf was brought.")
    counts = Counter(one.state for one in looked)
    changed = sum(one.changed_here for one in looked)
    _summary([*((counts[state], state) for state in _SAID), (changed, "changed here")])
    if counts["not looked at"]:
        raise click.exceptions.Exit(LACKS)


_SAID = ("same", "newer", "withdrawn", "gone", "not looked at")


def _tell_looked(looked: Sequence[Looked]) -> None:
    for one in looked:
        club = seen(shown(one.origin.club, 80))
        changed = "; changed here" if one.changed_here else ""
        if one.state == "withdrawn" and one.notice:
            on = f" on {one.notice.on}" if one.notice.on else ""
            click.echo(f"{one.key}: withdrawn by {seen(one.notice.by)}{on}: {seen(one.notice.because)}{changed}")
        elif one.state == "newer":
            click.echo(f"{one.key}: newer at {club}{changed}")
        elif one.state == "gone":
            click.echo(f"{one.key}: no longer offered by {club}, which does not say why{changed}")
        elif one.state == "not looked at":
            click.echo(f"{one.key}: not looked at: {seen(one.why)}{changed}")
        elif changed:
            click.echo(f"{one.key}: the same at {club}{changed}")


def update_all(project: Project, where: str | None, day: datetime.date, yes: bool) -> None:
    """Show what differs in each newer thing and put those in place to which somebody agrees."""
    looked = look(project.knowledge, where)
    with desk_of(project) as desk:
        keep_notices(desk, project.settings.knowledge, looked, day)
    _tell_looked([one for one in looked if one.state != "newer" or one.changed_here])
    newer = {one.entry: one for one in looked if one.state == "newer" and not one.changed_here and one.entry}
    givens, refused = _fetched(list(newer), newer)
    ready, _ = bringing.prepare(project.knowledge, _folder(project), givens)
    agreed_not = []
    for one in ready:
        tell_differences(one, project.knowledge.origins.get(one.key))
        asks = f" {'; '.join(one.asks)}." if one.asks else ""
        if not agrees(f"{asks.strip()} Put this in the place of the {one.item.kind} {one.name} here?".strip(), yes):
            agreed_not.append(one.given)
    outcomes = _written(project, [given for given in givens if given not in agreed_not], day)
    for outcome in outcomes:
        if isinstance(outcome, bringing.NotTaken):
            refused.append((_called(outcome), outcome.why))
        elif not outcome.same:
            click.echo(f"Updated the {outcome.item.kind} {outcome.name}: {seen(shown(outcome.item.title, 80))}")
    brought = [outcome for outcome in outcomes if isinstance(outcome, bringing.Brought)]
    states = Counter(one.state for one in looked)
    counts = [
        (sum(not outcome.same for outcome in brought), "updated"),
        (states["same"] + sum(outcome.same for outcome in brought), "the same"),
        (sum(one.changed_here for one in looked if one.state == "newer"), "newer, and changed here: not written over"),
        (len(agreed_not), "left as it is"),
        (states["withdrawn"], "withdrawn"),
        (states["gone"], "no longer offered"),
        (states["not looked at"], "not looked at"),
        (len(refused), "refused"),
    ]
    _end(counts, refused, 0, LACKS if states["not looked at"] else None)


def _folder(project: Project):
    return project.root / project.settings.knowledge


def _fetched(
    entries: list[Entry], newer: dict[Entry, Looked] | None = None
) -> tuple[list[bringing.Given], list[tuple[str, str]]]:
    """What was fetched of some entries, and what could not be. newer: entry -> what it is to take the place of."""
    with progress("Fetched") as tell:
        contents = fetch_all(entries, lambda done: tell(done, len(entries)))
    givens, refused = [], []
    for entry, content in zip(entries, contents, strict=True):
        if isinstance(content, Refused):
            refused.append((entry.key, str(content)))
        elif newer is None:
            givens.append(bringing.Given(entry.where, content, entry.digest))
        else:
            one = newer[entry]
            name = one.name if one.name != entry.id else None
            givens.append(bringing.Given(entry.where, content, entry.digest, name, True, one.origin.resting_on))
    return givens, refused


def _not_agreed(ready: Sequence[bringing.Prepared], yes: bool) -> list[bringing.Given]:
    """What somebody has to agree to and does not; asked once for each reason."""
    refused: list[bringing.Given] = []
    reasons: dict[str, list[bringing.Prepared]] = {}
    for one in ready:
        for reason in one.asks:
            reasons.setdefault(reason, []).append(one)
    for reason, those in reasons.items():
        names = ", ".join(f"{one.item.kind} {one.name}" for one in those[:8]) + (" …" if len(those) > 8 else "")
        count = f"{len(those)} thing{'' if len(those) == 1 else 's'}"
        if not agrees(f"{count} ({names}): {reason}. Bring {'it' if len(those) == 1 else 'them'} all the same?", yes):
            refused += [one.given for one in those]
    return refused


def _written(project: Project, givens: list[bringing.Given], day: datetime.date):
    if not givens:
        return []
    with desk_of(project) as desk:
        return bringing.bring_all(desk, project.settings.knowledge, givens, day)


def _called(outcome: bringing.NotTaken) -> str:
    return f"{outcome.item.kind} {outcome.item.id}" if outcome.item else seen(shown(outcome.where, 200))


def _summary(counts: Sequence[tuple[int, str]]) -> None:
    click.echo(f"{', '.join(f'{count} {what}' for count, what in counts if count) or 'nothing to do'}.", err=True)


def _end(
    counts: Sequence[tuple[int, str]], refused: Sequence[tuple[str, str]], odd: int, status: int | None = None
) -> None:
    for what, why in refused:
        click.echo(seen_lines(f"Refused the {what}: {why}"), err=True)
    _summary(counts)
    if refused or odd:
        raise click.exceptions.Exit(TROUBLE)
    if status is not None:
        raise click.exceptions.Exit(status)


def list_clubs(content: bytes, where: str) -> None:
    """What the clubs of a list offer, side by side."""
    clubs = read_clubs(content, where)
    with progress("Asked") as tell:
        known = offers_of(clubs, where, tell)
    for key, offered in side_by_side(known).items():
        click.echo(f"{key}:")
        for number, (one, entry) in enumerate(offered):
            click.echo(f"  {_told(one, entry, [other for _, other in offered[:number]])}")
    lacking = 0
    for one in known:
        name = seen(shown(one.club.name, 80))
        if isinstance(one.offers, Offers):
            count = len(one.offers.entries)
            click.echo(
                f"{name}: {count} thing{'' if count == 1 else 's'}, gudgeon bring {shlex.quote(one.where)} --all"
            )
        else:
            lacking += 1
            click.echo(f"{name}: {seen_lines(str(one.offers))}", err=True)
    if lacking:
        leave(LACKS, f"Of {lacking} of {len(known)} clubs it is not known what they offer.")


def _told(one: ClubOffers, entry: Entry, before: list[Entry]) -> str:
    name = seen(shown(one.club.name, 80))
    withdrawn = isinstance(one.offers, Offers) and (entry.is_withdrawn or entry.key in one.offers.notices)
    says = f"{name}: {entry.title} ({entry.licence}{', withdrawn there' if withdrawn else ''})"
    if not before:
        return says
    if entry.says is None or any(other.says is None for other in before):
        return f"{says}; not known whether it says the same"
    return f"{says}; {'word for word the same' if entry.says in {other.says for other in before} else 'says otherwise'}"
