"""A page that people wrote may be folded under its headings."""

from gudgeon.pages.folding import fold_sections

WRITTEN = (
    '<h1>A</h1>\n<p>lead</p>\n<h2 id="one">One</h2>\n<p>first</p>\n<h3>In it</h3>\n<h2 id="two">Two</h2>\n<p>second</p>'
)


def test_what_stands_under_a_heading_is_folded_and_the_lead_is_not():
    folded = fold_sections(WRITTEN)
    assert folded.startswith("<h1>A</h1>\n<p>lead</p>\n<details")
    assert folded.count("<details") == folded.count("</details>") == 2
    first, second = folded.split("<details")[1:]
    assert '<summary><h2 id="one">One</h2></summary>' in first and "first" in first and "In it" in first
    assert '<summary><h2 id="two">Two</h2></summary>' in second and "second" in second and "first" not in second


def test_a_page_without_headings_stays_as_it_is():
    assert fold_sections("<p>short</p>") == "<p>short</p>"
