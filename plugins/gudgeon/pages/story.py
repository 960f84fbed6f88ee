"""The story: instalments in order, with previous and next."""

import nh3

from gudgeon.pages import history
from gudgeon.pages.page import Page
from gudgeon.pages.view import View
from gudgeon.records.model import Instalment
from gudgeon.story.article import clean
from gudgeon.wording import slug


def pages(view: View) -> list[Page]:
    """A page an instalment, and their index."""
    all_of_them = view.build.instalments
    index = [
        view.page(
            "story/index.md",
            "story.md.j2",
            "build.yaml",
            instalments=all_of_them,
            excerpts={instalment.slug: _excerpt(instalment.body) for instalment in all_of_them},
        )
    ]
    return [
        *index,
        *(
            view.guarded(f"story/{slug(told.slug)}.md", _instalment_page, view, all_of_them, index)
            for index, told in enumerate(all_of_them)
        ),
    ]


def _instalment_page(view: View, all_of_them: list[Instalment], index: int) -> Page:
    instalment = all_of_them[index]
    before = all_of_them[index - 1] if index else None
    after = all_of_them[index + 1] if index + 1 < len(all_of_them) else None
    same_day = [row for row in view.build.rows if row.date == instalment.head.date]
    return view.page(
        f"story/{slug(instalment.slug)}.md",
        "instalment.md.j2",
        f"log/{instalment.slug}.md",
        instalment=instalment,
        body=clean(instalment.body),
        before=before,
        after=after,
        rows=same_day,
        since=history.since(view, instalment.head.date.isoformat()),
        operations=[op_id for op_id, op in view.build.operations.items() if op.done == instalment.head.date],
    )


def _excerpt(body: str) -> str:
    plain = " ".join(nh3.clean(str(clean(body)), tags=set()).split())
    return plain if len(plain) <= 160 else plain[:159] + "…"
