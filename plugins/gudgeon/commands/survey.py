"""gudgeon survey: a question over the data packages of many builds of many clubs."""

from pathlib import Path

import click
from gudgeon_calc.units import NotAQuantity, read_quantity

from gudgeon.commands.terminal import LACKS, TROUBLE, leave
from gudgeon.records.parts import FAMILIES, FEATURE_KINDS
from gudgeon.records.problems import Problems, seen, shown

LENGTH_KINDS = [kind for kind, quantity in FEATURE_KINDS.items() if quantity == "length"]
MOST_TOLD = 20  # of what was not read


def _sizes(context, parameter, given: str | None) -> tuple[float, float] | None:
    if given is None:
        return None
    least, parts, most = given.partition("..")
    try:
        low = float(read_quantity(least.strip(), "length"))
        high = float(read_quantity(most.strip(), "length")) if parts else low
    except NotAQuantity as error:
        raise click.BadParameter(f'{error} Write it such as "5 in..7 in".', context, parameter) from None
    if low > high:
        raise click.BadParameter(f"the least comes first. Found {shown(given)}.", context, parameter)
    return low, high


@click.command(
    epilog="""\b
Examples:
  gudgeon survey site --family ring --nominal "5 in..7 in"
  gudgeon survey ../clubs/larkmoor ../clubs/oakham --family piston --material "grey iron" --held
  gudgeon survey clubs.txt --nominal "25 mm..30 mm" --kind bore --form csv > bores.csv

\b
Exit status: 0 answered, and were it "none"; 1 answered without what could not be read, which is told; 2 the command's words are
off; 3 there is no data package there."""
)
@click.argument("where", nargs=-1, required=True, type=click.Path(exists=True, path_type=Path))
@click.option("--family", type=click.Choice(FAMILIES), metavar="FAMILY", help="Parts of this family, such as ring.")
@click.option(
    "--nominal",
    callback=_sizes,
    metavar="LEAST..MOST",
    help='Parts with an intended diameter so large, both ends in, such as "5 in..7 in"; of a ring, the bore that it runs in.',
)
@click.option(
    "--kind",
    type=click.Choice(LENGTH_KINDS),
    metavar="KIND",
    help="With --nominal: the intended size of this kind of feature, such as slot, and not the diameters.",
)
@click.option(
    "--material", metavar="WORDS", help='Parts whose material is called so, or has it in its name: "grey iron".'
)
@click.option("--club", metavar="WORDS", help="Builds of clubs that have these words in their name.")
@click.option("--held", is_flag=True, help="Only parts that were told to have run free, and never anything else.")
@click.option(
    "--most", default=50, show_default=True, type=click.IntRange(1, 100_000), help="How many parts to show in words."
)
@click.option(
    "--form",
    type=click.Choice(["text", "csv"]),
    default="text",
    show_default=True,
    help="Words, or a table with a line for each size.",
)
def survey(where, family, nominal, kind, material, club, held, most, form):
    """Ask the data packages of many builds who has made a part like this, of what, how it came out and whether it held.

    WHERE is a folder with packages in it or below, such as a club's built site or a copy of it, a text file that lists such
    folders, one a line, or a clubs.yaml whose clubs lie in copies. What a package does not say is told as not known.
    """
    if kind is not None and nominal is None:
        raise click.UsageError('--kind says of which kind the size is: write --nominal too, such as "5 in..7 in".')
    # Read when it is needed: help and completion shall not wait for pandas.
    from gudgeon.survey.as_text import as_csv, in_words
    from gudgeon.survey.ask import Question, answer
    from gudgeon.survey.packages import packages
    from gudgeon.survey.places import NoPlace, places_of
    from gudgeon.survey.tables import read

    problems = Problems()
    try:
        folders = places_of(where, problems)
    except NoPlace as lack:
        leave(LACKS, str(lack))
    asked = packages(folders, problems)
    if club is not None:
        asked = [package for package in asked if club.lower() in package.club.lower()]
    _tell(problems)
    if not asked:
        leave(
            LACKS,
            f"There is no data package{'' if club is None else ' of such a club'} there. A built site has one below each build.",
        )
    tables = [read(name, asked, problems) for name in ("parts", "features", "outcomes")]
    told = answer(Question(family, material, nominal, kind, held), *tables)
    by_key = {package.key: package for package in asked}
    if form == "csv":
        click.echo(as_csv(told, by_key), nl=False)
    else:
        for line in in_words(told, by_key, most):
            click.echo(seen(line))
    if problems:
        _tell(problems)
        leave(TROUBLE, "What is told above could not be read, and is not in the answer.")


def _tell(problems: Problems) -> None:
    listed = problems.in_order()
    for problem in listed[:MOST_TOLD]:
        click.echo(str(problem), err=True)
    if len(listed) > MOST_TOLD:
        click.echo(f"and {len(listed) - MOST_TOLD} more of the like", err=True)
