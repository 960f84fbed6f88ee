"""gudgeon photo: pictures are taken into a build: upright, small, nothing but their pixels."""

import hashlib
import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from gudgeon.commands.options import build_argument, day_of, desk_of, find_build, open_project, root_option
from gudgeon.commands.terminal import TROUBLE, leave
from gudgeon.entry.marking import CannotMark
from gudgeon.entry.picture_entry import (
    in_text,
    name_for,
    place_of,
    with_line,
    with_photo_of_part,
    with_photo_of_row,
    with_picture,
)
from gudgeon.entry.sizes import NotClear
from gudgeon.project.safe_write import NotSound, keep_and_read
from gudgeon.project.writing import write_output
from gudgeon.records.model import Build
from gudgeon.records.problems import nearest, seen, shown

if TYPE_CHECKING:
    from gudgeon.pictures.clean import Cleaned
    from gudgeon.project.project import Project

ORIGINALS = ".gudgeon-originals"  # in the project's root; it carries a .gitignore of its own
FILE = "photos.yaml"
LOOK = (
    "Look at each once more: faces, number plates, house numbers and screens are pixels, and stay. What others made, such as a drawing or "
    "a page of a book, is theirs."
)


@dataclass(frozen=True)
class Said:
    """What the words of the command say of a picture; None where they do not."""

    shows: str | None
    caption: str | None
    by: str | None
    day: str | None
    licence: str | None
    people: tuple[str, ...]
    consent: str | None
    drawn: str | None


@click.command(
    epilog="""\b
Examples:
  gudgeon photo harrow-pond ~/Pictures/IMG_2041.HEIC --shows "The skirt in the four-jaw chuck" --by odette --for piston
  gudgeon photo harrow-pond IMG_2041.HEIC IMG_2042.HEIC --for 11 --keep-original
  gudgeon photo harrow-pond --mend              whatever check tells of files in photos/
  gudgeon photo harrow-pond --mend skirt.jpg

\b
A picture becomes builds/BUILD/photos/NAME.webp, no side over 1600 pixels, in the colours of a screen; its entry goes into photos.yaml. Where it
was taken, serial numbers, names, remarks and smaller pictures inside it do not come along. Its file stays where it is; --keep-original keeps
a copy of it as it came, in .gudgeon-originals/ under its SHA-256, which git does not take; one that lies in the project is moved there.

\b
Exit status: 0 written, or taken in before; 1 a picture cannot be taken in, or was not confirmed; 2 the command's words are off;
3 there is no such build."""
)
@build_argument
@click.argument("files", nargs=-1, metavar="[FILE]...")
@click.option("--shows", help="What is to be seen, for people who do not see it; asked for otherwise.")
@click.option("--caption", help="What stands below it.")
@click.option("--by", help="Who took it, by the id in build.yaml.")
@click.option(
    "--on", "--date", "day", metavar="DAY", help="The day it was taken. The camera's day is offered, not taken."
)
@click.option("--licence", help="Its licence, such as CC-BY-4.0 (default: the build's for photos).")
@click.option(
    "--people", multiple=True, metavar="NAME", help="Somebody who is seen, by the name they go by; once for each."
)
@click.option("--consent", metavar="WORDS", help="Who of them agreed that it is shown, and when.")
@click.option("--drawn", metavar="WORDS", help="How it was made, where it is no photograph.")
@click.option(
    "--for", "place", metavar="WHAT", help="The part, instalment (its number) or reading that it is shown with."
)
@click.option("--keep-original", is_flag=True, help="Keep the file as it came, outside git.")
@click.option(
    "--mend",
    is_flag=True,
    help="Put right what lies in photos/, in its place: FILE is then a name there (default: all).",
)
@root_option
def photo(build, files, shows, caption, by, day, licence, people, consent, drawn, place, keep_original, mend, root):
    """Take pictures into BUILD: JPEG, PNG, WebP, or the HEIC of phones.

    They are turned upright and made small, and nothing of them but their pixels is written. What is not said is asked for.
    """
    project = open_project(root)
    records = find_build(project, build)
    said = Said(shows, caption, by, day, licence, people, consent, drawn)
    if mend:
        if any(said.__dict__.values()) or place:
            raise click.UsageError("--mend changes only files: what is said of a picture is edited in photos.yaml.")
        _mend(project, records, list(files), keep_original)
        return
    if not files:
        raise click.UsageError("say which files: gudgeon photo BUILD FILE.")
    if len(files) > 1 and (shows or caption):
        raise click.UsageError("--shows and --caption are of one picture. Leave them out, and each is asked for.")
    failed = written = False
    for file in files:
        try:
            written |= _take(project, build, Path(file), said, place, keep_original)
        except (NotClear, CannotMark, NotSound) as problem:
            click.echo(f"{seen(file)}: not taken in: {problem}", err=True)
            failed = True
    if written:
        click.echo(LOOK)
    if failed:
        raise click.exceptions.Exit(TROUBLE)


def _take(project: "Project", name: str, file: Path, said: Said, place: str | None, keep_original: bool) -> bool:
    """Take one picture in; whether it was written. Raises NotClear, CannotMark, NotSound."""
    raw, cleaned = _cleaned(file)
    build = project.read_build(name)
    where = place_of(build, place) if place else None
    there = _same(build, cleaned.content)
    if there is not None:
        click.echo(f"{seen(str(file))}: is in the build already, as photos/{there}. Nothing was written.")
        return False
    entry = _entry(build, file, cleaned, said)
    if keep_original:
        entry["original"] = f"sha256:{hashlib.sha256(raw).hexdigest()}"
        _keep(project, file, raw)
    with desk_of(project) as desk:
        build = project.read_build(name)
        stems = [path.stem for path in _photos(build)] + [os.path.splitext(known)[0] for known in build.photos]
        picture = f"{name_for(file.stem, stems)}.webp"
        texts = {FILE: with_picture(desk.text(f"{build.path}/{FILE}"), picture, entry)}
        if where is not None:
            kind, target = where
            path = f"parts/{target}.yaml" if kind == "part" else _file_of(build, target, kind)
            text = desk.text(f"{build.path}/{path}") or ""
            texts[path] = {
                "part": lambda: with_photo_of_part(text, picture),
                "instalment": lambda: with_line(text, in_text(picture, str(entry["shows"]))),
                "reading": lambda: with_photo_of_row(text, target.id, picture),
            }[kind]()
        content = {f"photos/{picture}": cleaned.content}
        keep_and_read(desk, build, texts, project.knowledge, edited=list(texts), pictures=content)
        inside = _inside(project, file) if keep_original else None
        if inside is not None:
            desk.write({}, [inside])
    _tell(project, build, file, picture, cleaned, entry, where is not None, keep_original)
    return True


def _file_of(build: Build, target, kind: str) -> str:
    """The file of an instalment or a reading, below the build's folder."""
    file = target.file if kind == "instalment" else target.where().file
    return file.removeprefix(f"{build.path}/")


def _cleaned(file: Path) -> "tuple[bytes, Cleaned]":
    # Read when it is needed: help and completion shall not wait for the libraries of pictures.
    from gudgeon.pictures.clean import clean
    from gudgeon.pictures.kinds import FILMS, kind_of
    from gudgeon.pictures.opening import NotRead, bytes_of

    try:
        raw = bytes_of(file)
        if kind_of(raw[:32]) in FILMS:
            raise NotClear("it is a film. Put it where films are kept, and name it with its link in films.yaml.")
        return raw, clean(raw)
    except NotRead as why:
        raise NotClear(f"{why}.") from None


def _photos(build: Build) -> list[Path]:
    folder = build.folder / "photos"
    return sorted(folder.iterdir()) if folder.is_dir() else []


def _same(build: Build, content: bytes) -> str | None:
    """The name of the picture in the build that has these bytes; None where none has."""
    for path in _photos(build):
        if (
            path.is_file()
            and not path.is_symlink()
            and path.stat().st_size == len(content)
            and path.read_bytes() == content
        ):
            return path.name
    return None


def _entry(build: Build, file: Path, cleaned: "Cleaned", said: Said) -> dict[str, str | list[str]]:
    """What photos.yaml says of the picture: as it was said, or asked for. Raises NotClear."""
    asks = sys.stdin.isatty()
    shows = said.shows or _asked(
        f"{seen(file.name)}: what is to be seen, for people who do not see it",
        'nobody said what it shows. Add --shows "…", for people who do not see it.',
    )
    entry: dict[str, str | list[str]] = {"shows": " ".join(shows.split())}
    if said.caption:
        entry["caption"] = said.caption
    day = said.day
    if day is None and cleaned.taken is not None:
        if asks:
            day = click.prompt(
                "Day it was taken (by the camera's clock, if that was right; - for none)",
                default=str(cleaned.taken),
                err=True,
            )
        else:
            click.echo(
                f"The camera's clock says {cleaned.taken}. Say --on {cleaned.taken} where it was right; no day was written."
            )
    if day and day != "-":
        taken = day_of(day)
        if taken > day_of(None):
            raise NotClear(f"{taken} is still to come.")
        entry["date"] = str(taken)
    entry["by"] = _person(build, said.by)
    licence = said.licence
    of_build = build.sound_head.licences.photos if build.sound_head.licences else None
    if licence is None and not of_build:
        licence = _asked(
            "Its licence by SPDX identifier, such as CC-BY-4.0",
            "nobody said under which licence others may use it, and build.yaml names none for photos. Add --licence, such as CC-BY-4.0.",
        )
    if licence:
        entry["licence"] = licence.strip()
    people = list(said.people)
    if not people and asks and not said.drawn:
        typed = click.prompt(
            "Who is seen, with commas between them (empty: nobody)", default="", show_default=False, err=True
        )
        people = [name.strip() for name in typed.split(",") if name.strip()]
    if people:
        consent = said.consent or _asked(
            "Who of them agreed that it is shown, and when",
            'people are seen, and nobody said who of them agreed that it is shown. Add --consent "…": who, and when.',
        )
        entry |= {"people": people, "consent": " ".join(consent.split())}
    if said.drawn:
        entry["drawn"] = said.drawn
    return entry


def _asked(question: str, lacks: str) -> str:
    """An answer; where nobody is there to give one, what lacks and what to add. Raises NotClear."""
    if not sys.stdin.isatty():
        raise NotClear(lacks)
    return click.prompt(question, err=True)


def _person(build: Build, name: str | None) -> str:
    people = build.sound_head.people
    if name is None and len(people) == 1:
        return next(iter(people))
    name = name or _asked(
        f"Who took or made it, one of {', '.join(people)}",
        f"nobody said who took or made it. Add --by and one of: {', '.join(people)}.",
    )
    if name not in people:
        raise NotClear(f'no person "{shown(name)}" in build.yaml.{nearest(name, people)}')
    return name


def _inside(project: "Project", file: Path) -> str | None:
    """A file by its path from the project's root; None where it lies elsewhere."""
    path, root = file.resolve(), project.root.resolve()
    return path.relative_to(root).as_posix() if path.is_relative_to(root) else None


def _keep(project: "Project", file: Path, raw: bytes) -> None:
    """Keep a file as it came, under its digest. The folder tells git itself to take nothing of it."""
    name = f"{hashlib.sha256(raw).hexdigest()}{file.suffix.lower()}"
    write_output(project.root / ORIGINALS, {".gitignore": b"*\n", name: raw}, project.root)


def _tell(
    project: "Project",
    build: Build,
    file: Path,
    picture: str,
    cleaned: "Cleaned",
    entry: Mapping[str, str | list[str]],
    placed: bool,
    keep_original: bool,
) -> None:
    size = f"{cleaned.width} × {cleaned.height}, {max(1, round(len(cleaned.content) / 1000))} kB"
    click.echo(f"{seen(str(file))}: written as {build.path}/photos/{picture} ({size}).")
    if cleaned.hidden:
        click.echo(f"  Not taken along: {', '.join(cleaned.hidden)}.")
    if cleaned.frames > 1:
        click.echo(f"  It held {cleaned.frames} pictures; this is the first. A film is a link in films.yaml.")
    if not placed:
        click.echo(f"  Nothing shows it yet. In an instalment: {in_text(picture, str(entry['shows']))}")
    inside = _inside(project, file)
    if keep_original:
        moved = "moved" if inside is not None else "copied"
        click.echo(
            f"  The original is {moved} to {ORIGINALS}/, under its SHA-256; git does not take it. Keep a copy of that folder."
        )
    elif inside is not None:
        click.echo(
            f"  Remove {seen(inside)} before you commit: the original is in the project still, and holds what it held."
        )


def _mend(project: "Project", build: Build, names: list[str], keep_original: bool) -> None:
    """Put pictures in photos/ right in their place."""
    from gudgeon.pictures.checks import wrong_with
    from gudgeon.pictures.clean import mended
    from gudgeon.pictures.kinds import KIND_OF, SHOWN
    from gudgeon.pictures.opening import NotRead, bytes_of

    names = [Path(name).name for name in names] or [path.name for path in _photos(build)]
    count, looked, failed = 0, 0, False
    for name in names:
        path = build.folder / "photos" / name
        kind = KIND_OF.get(path.suffix.lower())
        if kind not in SHOWN or not path.is_file():
            if kind is not None or not path.is_file():
                why = "is no picture that can be mended in its place" if path.is_file() else "is not in photos/"
                click.echo(
                    f"{seen(name)} {why}.{'' if path.is_file() else nearest(name, [there.name for there in _photos(build)])}",
                    err=True,
                )
                failed = True
            continue
        looked += 1
        try:
            raw = bytes_of(path)
            if not wrong_with(raw, kind):
                continue
            new = mended(raw, kind)
        except NotRead as why:
            click.echo(f"{seen(name)} cannot be mended: {why}. Take it in again, or remove it.", err=True)
            failed = True
            continue
        if keep_original:
            _keep(project, path, raw)
        with desk_of(project) as desk:
            below = f"{build.path}/photos/{name}"
            if desk.note(below) != raw:
                leave(
                    TROUBLE,
                    f"Not written: {seen(below)} was changed by somebody else meanwhile. Run the command again.",
                )
            desk.write({}, pictures={below: new.content})
        count += 1
        click.echo(
            f"{seen(name)}: written anew ({new.width} × {new.height}, {max(1, round(len(new.content) / 1000))} kB)."
        )
        if new.hidden:
            click.echo(f"  Taken off: {', '.join(new.hidden)}.")
    if not looked:
        click.echo(f"There is no picture in {build.path}/photos/ to be looked at.")
    else:
        click.echo(f"{count} of {looked} picture{'' if looked == 1 else 's'} looked at put right.")
    if count:
        click.echo("What was committed before stays in the history of the repository as it was.")
    if failed:
        raise click.exceptions.Exit(TROUBLE)
