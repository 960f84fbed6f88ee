"""Old addresses that lead on: a small page at each, for browsers without script too."""

import posixpath
from collections.abc import Iterable
from html import escape
from urllib.parse import quote


def page(at: str, to: str, whole: str = "") -> bytes:
    """The page at an old address of the site that leads to a new one. at, to: files of the site; whole: the new one's address."""
    # The file itself, not its folder: then it leads on where a site is opened from a folder, too.
    way = escape(quote(posixpath.relpath(to, posixpath.dirname(at))))
    canonical = f'<link rel="canonical" href="{escape(whole)}">\n' if whole else ""
    return (
        '<!doctype html>\n<html lang="en">\n<meta charset="utf-8">\n'
        # Nothing is loaded here, and nothing may be.
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; base-uri 'none'; form-action 'none'\">\n"
        "<title>Moved</title>\n"
        f'<meta name="robots" content="noindex">\n<meta http-equiv="refresh" content="0; url={way}">\n{canonical}'
        f'<meta name="viewport" content="width=device-width">\n<p>This page stands <a href="{way}">elsewhere now</a>.</p>\n</html>\n'
    ).encode()


def file_of(page_uri: str, folders: bool) -> str:
    """The file that a page becomes in the site."""
    path = page_uri.removesuffix(".md")
    if not folders or posixpath.basename(path) == "index":
        return path + ".html"
    return path + "/index.html"


def free(moved: Iterable[tuple[str, str]], taken: Iterable[str]) -> dict[str, str]:
    """Old addresses with the new ones, where nothing stands that is there now: a page that is there is never covered."""
    there = set(taken)
    leads: dict[str, str] = {}
    for old, new in moved:
        if old not in there and old != new:
            leads.setdefault(old, new)
    return leads
