"""Checks of what the records say of pictures and films. The pictures' files are looked into elsewhere, by `gudgeon.pictures`."""

from gudgeon.records.model import Build
from gudgeon.records.pictures import Film
from gudgeon.records.problems import Problems, shown
from gudgeon.records.refs import PHOTO_NAME


def check_pictures(build: Build, problems: Problems) -> None:
    """Note a problem for every picture that is named and does not lie in photos/."""
    told: set[str] = set()
    for photo, where, about in build.named_photos:
        if not PHOTO_NAME.fullmatch(photo):
            problems.add(
                where,
                about,
                f'"{shown(photo)}" is no picture in photos/. Nothing is loaded from elsewhere: take the picture in with gudgeon photo, '
                "and write its name, such as skirt.webp.",
            )
            continue
        told.add(photo)
        if not _is_there(build, photo):
            problems.add(where, about, f'no picture "{photo}" in photos/. Put it there, or remove the name.')
    for photo, record in build.photos.items():
        if photo not in told and not _is_there(build, photo):
            problems.add(record.where(), photo, f'no picture "{photo}" in photos/. Put it there, or remove this entry.')


def _is_there(build: Build, photo: str) -> bool:
    """Whether a picture's file is there, or need not be."""
    record, path = build.photos.get(photo), build.folder / "photos" / photo
    return bool(record and record.withdrawn) or (path.is_file() and not path.is_symlink())


def check_films(build: Build, problems: Problems) -> None:
    """Note a problem for chapters that do not follow one another within their film."""
    for film_id, film in build.films.items():
        _chapters(film_id, film, problems)


def _chapters(film_id: str, film: Film, problems: Problems) -> None:
    before = -1
    for index, chapter in enumerate(film.chapters):
        at, where = seconds(chapter.at), film.where("chapters", index, "at")
        if at >= seconds(film.length):
            problems.add(where, film_id, f"the chapter begins at {chapter.at}, and the film ends at {film.length}.")
        elif at <= before:
            problems.add(
                where,
                film_id,
                f"the chapter begins at {chapter.at}, not after the one above it. Put them in their order.",
            )
        before = max(before, at)


def seconds(time: str) -> int:
    """The seconds of a time in a film, such as 1:20."""
    total = 0
    for part in time.split(":"):
        total = 60 * total + int(part)
    return total
