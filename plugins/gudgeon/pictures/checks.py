"""What is wrong with the files of a build's pictures: what they give away, how large they are, whose they are."""

import os
from collections.abc import Collection, Iterator
from pathlib import Path

from gudgeon.pictures.clean import MOST_COMMITTED, MOST_SIDE
from gudgeon.pictures.hidden_data import hidden_data
from gudgeon.pictures.kinds import ENDINGS, FILMS, FIRST_BYTES, KIND_OF, SHOWN, TAKEN, kind_of
from gudgeon.pictures.opening import NotRead, bytes_of, frames_of, size_of
from gudgeon.records.model import Build
from gudgeon.records.problems import Problem, Problems, Where, seen, shown
from gudgeon.records.refs import PHOTO_NAME

MOST_FILES = 10_000  # of a build's folder that are looked at
HISTORY = (
    "The history of the repository keeps it all the same, and so does every clone: to take it from there, history has to be written "
    "anew, and everybody has to clone again."
)


def picture_problems(build: Build, files_too: bool = True) -> list[Problem]:
    """What is to be put right with a build's pictures. files_too: False where the files are not there to be looked at.

    None of it keeps a build from being worked out: the site shows copies that hold nothing but pixels.
    """
    problems = Problems()
    _whose(build, problems)
    if files_too and not build.folder.is_symlink():
        files = list(_files(build.folder))
        named = {*build.photos, *(name for name, _, _ in build.named_photos)}
        for path in files[:MOST_FILES]:
            _file(build, path, named, problems)
        if len(files) > MOST_FILES:
            problems.add(
                Where(build.path), "", f"there are over {MOST_FILES} files in it: not all were looked at for pictures."
            )
        _twins(build, problems)
    return problems.in_order()


def _whose(build: Build, problems: Problems) -> None:
    """Licence and consent."""
    if build.head is None:
        return
    of_build = build.head.licences.photos if build.head.licences else None
    add = 'Add "licence: …" to its entry in photos.yaml, such as CC-BY-4.0, or "licences: {photos: …}" to build.yaml.'
    for photo in build.shown_photos:
        record = build.photos.get(photo)
        if not of_build and not (record and record.licence):
            where = record.where() if record else next(at for name, at, _ in build.named_photos if name == photo)
            problems.add(where, photo, f"nothing says under which licence others may use this picture. {add}")
    for photo, record in build.photos.items():
        if record.lacks_consent and not record.withdrawn:
            problems.add(
                record.where("people"),
                photo,
                "people are seen in this picture and nothing says that they agreed; it is not shown. "
                'Ask them, and add "consent: …": who agreed, and when.',
            )


def _files(folder: Path) -> Iterator[Path]:
    """Every file below a folder, in order; links are not followed."""
    count = 0
    for at, folders, names in os.walk(folder, followlinks=False):
        folders[:] = sorted(name for name in folders if name != ".git")
        for name in sorted(names):
            count += 1
            if count > MOST_FILES + 1:
                return
            yield Path(at, name)


def _file(build: Build, path: Path, named: Collection[str], problems: Problems) -> None:
    said, first = KIND_OF.get(path.suffix.lower()), b""
    below = path.relative_to(build.folder).as_posix()
    where = Where(f"{build.path}/{below}")
    if path.is_symlink():
        if said:
            problems.add(where, "", "links are not followed. Put the picture itself here.")
        return
    try:
        if not path.is_file():
            return
        size = path.stat().st_size
        with path.open("rb") as file:
            first = file.read(FIRST_BYTES)
    except OSError as error:
        if said:
            problems.add(where, "", f"this picture cannot be read: {error.strerror}.")
        return
    kind = kind_of(first)
    if not said and not kind:
        return
    lies_in_photos = path.parent == build.folder / "photos"
    if kind in FILMS or (said in FILMS and not kind):
        _film(path, size, where, problems)
    elif not lies_in_photos:
        _elsewhere(build, path, below, where, problems)
    elif said not in SHOWN or not PHOTO_NAME.fullmatch(path.name):
        _not_shown(build, path, said, kind, where, problems)
    else:
        _in_photos(build, path, said, path.name in named, where, problems)


def _film(path: Path, size: int, where: Where, problems: Problems) -> None:
    problems.add(
        where,
        "",
        f"films are not kept with the records, which git keeps for ever ({_megabytes(size)} here){_gives_away(path)}. "
        "Put it where films are kept, name it with its link in films.yaml, and remove it here.",
    )


def _elsewhere(build: Build, path: Path, below: str, where: Where, problems: Problems) -> None:
    problems.add(
        where,
        "",
        f"a picture outside photos/ is not shown, and goes into git all the same{_gives_away(path)}. Take it in with "
        f"gudgeon photo {build.folder.name} {build.path}/{below}, and remove it here.",
    )


def _not_shown(build: Build, path: Path, said: str | None, kind: str | None, where: Where, problems: Problems) -> None:
    if said in SHOWN:
        why = "the name of a picture has small and large letters, digits, - and _, and begins with a letter or digit"
    else:
        why = f"a file of this name ({said or 'without an ending that pictures have'}{f', a {kind}' if kind and kind != said else ''}) is not shown"
    problems.add(
        where,
        "",
        f"{why}{_gives_away(path)}. Take it in with gudgeon photo {build.folder.name} {build.path}/photos/{path.name}, and remove it here.",
    )


def _in_photos(build: Build, path: Path, said: str, is_named: bool, where: Where, problems: Problems) -> None:
    """A file that may be shown by its name and place."""
    record = build.photos.get(path.name)
    if record and record.withdrawn:
        problems.add(
            where,
            "",
            f"this picture was withdrawn on {record.withdrawn.date}, and still lies here. Remove the file. {HISTORY}",
        )
        return
    unnamed = ""
    if not is_named and not build.unread:
        unnamed = (
            "nothing names this picture, so that it is not shown. Write its name where it belongs, or remove the file."
        )
    mend = f"gudgeon photo {build.folder.name} --mend {path.name} puts it right."
    try:
        raw = bytes_of(path)
        if raw.startswith(b"version https://git-lfs"):
            problems.add(where, "", "here lies a pointer of git LFS, not the picture. Fetch it with: git lfs pull")
            return
        wrong = wrong_with(raw, said)
    except NotRead as why:
        problems.add(
            where, "", f"this picture cannot be shown: {why}. Take it in again with gudgeon photo, or remove it."
        )
        return
    if wrong:  # what it gives away comes first: a slip shows the first problem, and counts the others
        also = f" And {unnamed}" if unnamed else ""
        problems.add(where, "", f"this picture {_listed(wrong)}. {mend}{also}")
    elif unnamed:
        problems.add(where, "", unnamed)


def wrong_with(raw: bytes, said: str) -> list[str]:
    """What is wrong with a file in photos/, each to follow "this picture". said: the kind that its name says. Raises NotRead."""
    kind = kind_of(raw[:FIRST_BYTES])
    wrong: list[str] = []
    hidden = hidden_data(raw)
    if hidden:
        wrong.append(f"holds {_listed(hidden)} beside its pixels")
    if len(raw) > MOST_COMMITTED:
        wrong.append(f"has {_megabytes(len(raw))} (the most is {MOST_COMMITTED // 1000} kB)")
    if kind != said and kind in TAKEN:
        wrong.append(f"is a {kind} and is called {ENDINGS[said][0]}")
    if kind in SHOWN or kind not in TAKEN:  # what is not shown is not opened here
        width, height = size_of(raw)
        if max(width, height) > MOST_SIDE:
            wrong.append(f"has {width} × {height} pixels (the most a side is {MOST_SIDE})")
        if frames_of(raw) > 1:
            wrong.append("moves, and only its first picture is shown")
    return wrong


def _gives_away(path: Path) -> str:
    """What a file holds beside its pixels, as a clause; nothing where that is nothing, or it is too large to be looked at."""
    try:
        hidden = hidden_data(bytes_of(path))
    except NotRead as why:
        return f"; what it gives away was not looked at, because {why}"
    return f"; it holds {_listed(hidden)}" if hidden else ""


def _twins(build: Build, problems: Problems) -> None:
    """Pictures that differ only in their endings: whoever speaks of one means either."""
    first: dict[str, str] = {}
    folder = build.folder / "photos"
    names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() and not folder.is_symlink() else []
    for name in names:
        stem, ending = os.path.splitext(name.casefold())
        if ending not in KIND_OF or name.startswith("."):
            continue
        other = first.setdefault(stem, name)
        if other != name and other.casefold() != name.casefold():  # capital letters alone are told where names are read
            problems.add(
                Where(f"{build.path}/photos/{name}"),
                "",
                f"the name differs from {shown(seen(other))} only in its ending, so that one is easily taken for the other. Rename or remove one.",
            )


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _megabytes(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1_000_000 else f"{max(1, round(size / 1000))} kB"
