"""What is due: a page of each build, with its running log, and one of the club."""

from gudgeon.due_words import MARKS, says, when
from gudgeon.pages.page import Page, Renderer
from gudgeon.pages.view import View

WORDS = {"due_when": when, "due_says": says, "due_marks": MARKS}


def pages(view: View) -> list[Page]:
    """The page of a build."""
    return [
        view.page("due.md", "due.md.j2", "running.yaml" if view.build.runs else "instruments.yaml", club=False, **WORDS)
    ]


def club_page(views: list[View], renderer: Renderer) -> Page:
    """The page of the club."""
    return renderer.page("due.md", "club_due.md.j2", None, views=views, **WORDS)
