"""Text of records on pages that a generator reads as Markdown: it begins no code, whatever stands at the head of its lines."""

import markdown
import pytest
from gudgeon.pages.page import without_fences
from gudgeon.records import instalment_text

FENCED = "Evil\n```\nx\n~~~\n> ```\ny"


def test_a_name_with_a_fence_in_it_takes_nothing_else_of_a_page_down():
    html = markdown.markdown(without_fences(f"<p>{FENCED}</p>\n\nafter [l](x)"), extensions=["pymdownx.superfences"])
    assert "<code>" not in html and '<a href="x">l</a>' in html
    assert without_fences("a ``b`` c ```d```") == "a ``b`` c ```d```"


@pytest.mark.parametrize("piece", ["![](ä)\n", "[](ä)\n", "[](\\*)\n"])
def test_addresses_that_stand_coded_are_found_in_time_that_grows_with_the_text(piece):
    body = piece * 4000
    found = (
        instalment_text.pictures(body, "x.md", 1) if piece.startswith("!") else instalment_text.ties(body, "x.md", 1)
    )
    assert not found or found[-1].where.line == 4000
