"""Pictures on pages: the figure that shows one, and the copies beside the pages."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from markupsafe import Markup

from gudgeon.pages.page import Asset
from gudgeon.pictures.sizes import Copy, Kept, Sized, copies_of

if TYPE_CHECKING:
    from gudgeon.pages.view import View

SIZES = "(min-width: 48em) 44rem, 100vw"  # how wide a picture is shown: the column of text, or a whole phone


def assets(view: "View", kept: Kept | None = None) -> list[Asset]:
    """The copies of every picture that is shown. kept: where they are kept from one run to the next."""
    folder = view.build.folder / "photos"
    copies = copies_of([folder / photo for photo in view.build.shown_photos], kept)
    return [Asset(f"{view.home}/photos/{name}", content) for name, content in copies.items()]


def figure(
    view: "View",
    link: Callable[[str], str],
    photo: str,
    otherwise: str = "",
    caption: str = "",
    lead: bool = False,
    shows: str = "",
) -> Markup:
    """A picture of the build with its caption; of a withdrawn one that it was withdrawn.

    link: the address of another file from this page. otherwise: what it shows, where photos.yaml does not say; a caption and
    what it shows that are given win over those there. lead: it stands at the head of its page, and is loaded at once.
    """
    known = view.build.photos.get(photo)
    if known and known.withdrawn:
        return _in_its_place(f"This picture was withdrawn on {known.withdrawn.date}.")
    if known and not known.may_be_shown:
        return _in_its_place("This picture is not shown: nothing says that the people in it agreed.")
    if photo not in view.build.shown_photos:
        return _in_its_place("This picture is not shown: it is not in the records.")
    plan = view.picture(photo)
    if not plan.readable:
        return _in_its_place(f"The picture {photo} cannot be shown: its file cannot be read.")
    words = caption_of(view, photo, caption)
    below = Markup("<figcaption>{}</figcaption>").format(words) if words else Markup("")
    shows = shows.strip() or (known.shows if known else otherwise)
    return Markup('<figure class="g-photo">{}{}</figure>').format(
        picture(plan, shows, lambda copy: link(view.copy_uri(copy)), lead), below
    )


def caption_of(view: "View", photo: str, caption: str = "") -> str:
    """The words below a picture: its caption, how and by whom it was made, and its licence where that is not the one which the
    build gives for pictures. caption: wins over the one in photos.yaml."""
    known = view.build.photos.get(photo)
    said = [caption or (known.caption if known else None) or ""]
    if known:
        licences = view.build.sound_head.licences
        by = view.person(known.by) if known.by else ""
        its_own = known.licence if known.licence != (licences.photos if licences else None) else None
        said += [
            f"{known.drawn[:1].upper()}{known.drawn[1:].rstrip('.')}." if known.drawn else "",
            f"{'Drawing' if known.drawn else 'Photograph'}: {by}{f', {known.date}' if known.date else ''}."
            if by
            else "",
            f"Licence: {its_own}." if its_own else "",
        ]
    if any(said[1:]) and said[0] and said[0][-1].isalnum():
        said[0] += "."
    return " ".join(" ".join(part.split()) for part in said if part)


def picture(plan: Sized, shows: str, address: Callable[[Copy], str], lead: bool = False, sizes: str = SIZES) -> Markup:
    """A picture in all its widths: the browser takes the smallest that is wide enough, in the best form that it reads."""
    sources = [
        Markup('<source type="image/{}" srcset="{}" sizes="{}">').format(
            form, ", ".join(f"{address(copy)} {copy.width}w" for copy in plan.of(form)), sizes
        )
        for form in ("avif", "webp")
        if plan.of(form)
    ]
    # Width and height keep its place while it loads.
    image = Markup('<img src="{}" alt="{}" width="{}" height="{}"{}>').format(
        address(plan.fallback),
        shows,
        plan.width,
        plan.height,
        Markup("" if lead else ' loading="lazy" decoding="async"'),
    )
    return Markup("<picture>{}{}</picture>").format(Markup("").join(sources), image)


def _in_its_place(words: str) -> Markup:
    return Markup('<p class="g-no-picture">{}</p>').format(words)
