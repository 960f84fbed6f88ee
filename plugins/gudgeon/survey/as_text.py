"""The answer of a survey in words, each build in its own unit, and as one table."""

from collections.abc import Iterator, Mapping

import pandas

from gudgeon.records.parts import FEATURE_KINDS
from gudgeon.records.readings_csv import no_formula
from gudgeon.survey.ask import VERDICTS, Answer
from gudgeon.survey.packages import Package
from gudgeon.survey.tables import KEY
from gudgeon.wording import UnitFormatter

UNKNOWN = "not known"
# What each package says of all its lines -> the column of the table.
OF_PACKAGE = ("club", "build", "title", "invented", "units", "licence", "address")


def in_words(answer: Answer, packages: Mapping[str, Package], most: int) -> Iterator[str]:
    """The answer line by line: how many, then the first of them part by part."""
    yield summary(answer, packages)
    if answer.without_size:
        yield (
            f"{answer.without_size} more name no such size in their packages: whether they are meant is not known."
            if answer.without_size > 1
            else "1 more names no such size in its package: whether it is meant is not known."
        )
    sizes = {key: lines for key, lines in answer.sizes.groupby(KEY)}
    outcomes = {key: lines for key, lines in answer.outcomes.groupby(KEY)}
    for part in answer.parts.head(most).to_dict("records"):
        key = (part["package"], part["part"])
        yield ""
        yield from _part(part, sizes.get(key), outcomes.get(key), packages[part["package"]])
    if len(answer.parts) > most:
        yield ""
        yield f"and {len(answer.parts) - most} more: --most tells how many are shown, --form csv has all."


def summary(answer: Answer, packages: Mapping[str, Package]) -> str:
    """How many parts, of how many builds and clubs, and what became of them."""
    parts = answer.parts
    if not len(parts):
        return "No such part is in what was read."
    builds = parts["package"].unique()
    named = {packages[key].club for key in builds if packages[key].club}
    nameless = sum(not packages[key].club for key in builds)
    clubs = _count(len(named), "club") + (f" and {nameless} without a club's name" if nameless else "")
    verdicts = parts["verdict"].value_counts()
    became = ", ".join(f"{verdicts[verdict]} {verdict}" for verdict in VERDICTS if verdict in verdicts)
    invented = sum(packages[key].invented for key in builds)
    made_up = f" ({invented} invented for a demonstration)" if invented else ""
    return f"{_count(len(parts), 'part')} of {_count(len(builds), 'build')}{made_up}, {clubs}: {became}"


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def _part(part: dict, sizes: pandas.DataFrame | None, outcomes: pandas.DataFrame | None, package: Package):
    fmt = UnitFormatter(package.units)
    goes_with = part["goes_with"]
    yield (
        f"{package.club or 'club not known'}, {package.title or package.build} ({package.build}){', invented for a demonstration' if package.invented else ''}: "
        f"{part['name'] or part['part']} ({part['part']}), of {part['material_name'] or part['material'] or 'a material not known'}"
        f"{'' if pandas.isna(goes_with) else f', for {fmt.size_text(goes_with)}'}: {part['verdict']}"
    )
    made = [part["made_from"] and f"made from: {part['made_from']}", part["done"] and f"done: {part['done']}"]
    yield f"  {'; '.join(words for words in made if words) or 'how it was made is not told'}"
    read = 0
    for size in () if sizes is None else sizes.to_dict("records"):
        if FEATURE_KINDS.get(size["kind"]) == "length":
            read += 1
            yield f"  {size['name'] or size['ref']}: {_size(fmt, size)} at 20 °C; {size['state'] or 'state not known'}"
    if not read:
        yield "  no size of it was read"
    for outcome in () if outcomes is None else outcomes.to_dict("records"):
        yield f"  {_outcome(fmt, outcome)}"
    if outcomes is None:
        yield "  what became of it is not known"
    yield f"  {package.address or package.key}"


def _size(fmt: UnitFormatter, size: dict) -> str:
    expanded = size["expanded"]
    within = "U not known" if pandas.isna(expanded) else f"± {fmt.clearance_text(expanded)}"
    return f"{fmt.size_text(size['size'])} {within}"


def _outcome(fmt: UnitFormatter, outcome: dict) -> str:
    minutes, clearance = outcome["minutes"], outcome["clearance"]
    told = [
        outcome["result"].replace("_", " ") or "result not known",
        "hours not known" if pandas.isna(minutes) else f"{minutes / 60:.4g} h",
        "clearance not known" if pandas.isna(clearance) else f"clearance {fmt.clearance_text(clearance)} at 20 °C",
        outcome["last"] or "day not known",
    ]
    return f"{outcome['about']}: {', '.join(told)}"


def as_csv(answer: Answer, packages: Mapping[str, Package]) -> str:
    """The answer as a table: a line for each size, and one for a part of which none was read. Lengths in mm."""
    sizes = answer.sizes.rename(columns={"name": "feature", "state": "size_state"})
    told = answer.parts.merge(sizes, on=KEY, how="left")
    running = (
        answer.outcomes.groupby(KEY).agg(outcomes=("about", "size"), most_minutes=("minutes", "max")).reset_index()
    )
    told = told.merge(running, on=KEY, how="left")
    for column in OF_PACKAGE:
        told[column] = [getattr(packages[key], column) for key in told["package"]]
    texts = [column for column in told.columns if not pandas.api.types.is_numeric_dtype(told[column])]
    for column in texts:
        told[column] = told[column].map(no_formula, na_action="ignore")
    first = ["club", "build", "part", "verdict"]
    return told[[*first, *(column for column in told.columns if column not in first)]].to_csv(
        index=False, lineterminator="\n"
    )
