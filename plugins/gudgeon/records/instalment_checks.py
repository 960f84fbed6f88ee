"""What can be wrong in an instalment: a number given twice, a correction before its day, pictures that say nothing to people who do not see
them, films that are not known. Whether a picture is there is checked where files are read."""

from gudgeon.records.model import Build, Instalment
from gudgeon.records.problems import Problems, nearest, shown
from gudgeon.records.refs import PHOTO_NAME


def check_instalments(build: Build, problems: Problems) -> None:
    """Note a problem for everything in the story that cannot be shown as it is meant."""
    numbers: dict[int, str] = {}
    for instalment in build.instalments:
        head = instalment.head
        if head.number in numbers:
            problems.add(
                head.where("number"),
                "number",
                f"instalment {head.number} is already {numbers[head.number]}. Give it the next number.",
            )
        numbers.setdefault(head.number, instalment.file)
        for index, put_right in enumerate(head.corrected):
            if put_right.date < head.date:
                problems.add(
                    put_right.where("date"),
                    f"correction {index + 1}",
                    f"{put_right.date} is before the day of the instalment, {head.date}.",
                )
        _pictures(build, instalment, problems)
        _films(build, instalment, problems)


def _pictures(build: Build, instalment: Instalment, problems: Problems) -> None:
    described: set[str] = set()
    for picture in instalment.pictures:
        if PHOTO_NAME.fullmatch(picture.name) and not picture.description.strip() and not _said(build, picture.name):
            problems.add(
                picture.where,
                "",
                f'"{picture.name}" says nothing to people who do not see it. Write what it shows between the brackets, '
                f'![what it shows](../photos/{picture.name}), or as "shows" in photos.yaml.',
            )
        described.add(picture.name)
    lead = instalment.head.lead
    if lead and lead not in described and not _said(build, lead):
        problems.add(
            instalment.head.where("lead"),
            "lead",
            f'"{lead}" says nothing to people who do not see it. Write what it shows as "shows" in photos.yaml, or show it '
            f"in the text: ![what it shows](../photos/{lead}).",
        )


def _said(build: Build, picture: str) -> bool:
    """Whether photos.yaml says what a picture shows; where it could not be read, nobody can tell."""
    return picture in build.photos or "photos.yaml" in build.unread


def _films(build: Build, instalment: Instalment, problems: Problems) -> None:
    for film in instalment.films:
        if film.id not in build.films and "films.yaml" not in build.unread:
            problems.add(film.where, "", f'no film "{shown(film.id)}" in films.yaml.{nearest(film.id, build.films)}')
