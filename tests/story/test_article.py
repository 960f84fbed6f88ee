"""An instalment's Markdown as HTML: what is kept, that nothing of it acts, and that it stands in one piece on any page."""

import datetime
import re
import time

import pytest
from acting_html import acting
from gudgeon.records.instalment_head import Cost
from gudgeon.records.instalment_head import Instalment as Head
from gudgeon.records.instalment_text import LONGEST, Shown, plain
from gudgeon.records.knowledge import Word
from gudgeon.records.model import Instalment
from gudgeon.story.article import article
from gudgeon.story.medium import Medium, at_second
from markupsafe import Markup, escape


class Bare(Medium):
    """A medium that shows everything as plainly as can be."""

    def __init__(self, *words: Word):
        self._words = words

    @property
    def words(self):
        return self._words

    def picture(self, shown: Shown) -> Markup:
        return Markup('<figure><img src="photos/{}" alt="{}"></figure>').format(shown.name, shown.description)

    def film(self, shown):
        return Markup("<figure>film {}</figure>").format(shown.id)

    def tied(self, tie):
        return Markup('<data value="{}:{}">{}</data>').format(tie.kind, tie.target, tie.words)


def told(text: str, slug: str = "01-first", **head) -> Instalment:
    return Instalment(
        Head.model_construct(
            number=1, title="First", date=datetime.date(2025, 2, 5), by="ada", **{"cost": None, "photos": (), **head}
        ),
        text,
        f"builds/small/log/{slug}.md",
        slug,
        first_line=8,
    )


def html(text: str, *words: Word, **head) -> str:
    return str(article(told(text, **head), Bare(*words)))


def test_what_people_write_is_kept():
    made = html(
        "Two *tools* gone.\n\n## One\n\n### Two\n\n#### Three\n\n3. three\n4. four\n\n> said\n\n"
        "| a | b |\n|---|--:|\n| 1 | 2 |\n\n[club](https://example.org/)"
    )
    for piece in (
        "<em>tools</em>",
        "<h3>One</h3>",
        "<h4>Two</h4>",
        "<h4>Three</h4>",
        '<ol start="3">',
        "<blockquote>",
        '<th scope="col">a</th><th scope="col" class="g-num">b</th>',
        '<td class="g-num">2</td>',
        'href="https://example.org/"',
    ):
        assert piece in made, piece


def test_a_picture_stands_after_the_lines_that_name_it_and_in_its_cell():
    picture = '<figure><img src="photos/a.webp" alt="it"></figure>'
    assert html("![it](../photos/a.webp)") == picture
    assert re.sub(r"\s", "", html("see\n![it](a.webp)\nhere")) == re.sub(r"\s", "", f"<p>seehere</p>{picture}")
    assert f"<td>{picture}</td>" in html("| a |\n|---|\n| ![it](a.webp) |")
    assert html("[![it](a.webp)](https://example.org/)") == picture, "no empty link is left"
    assert "<a" not in html("words [![it](a.webp)](https://example.org/)")


def test_a_picture_in_a_tied_number_stands_where_it_is_named():
    made = html("[1 in ![x](x.webp)](fit:A) and ![y](y.webp)")
    assert re.findall(r"photos/(.)[.]webp", made) == ["x", "y"] and '<data value="fit:A">' in made


def test_footnotes_of_two_instalments_on_one_page_have_ids_of_their_own():
    text = "one[^a] two[^a]\n\n[^a]: note"
    ids = [re.findall(r'id="([^"]+)"', str(article(told(text, slug), Bare()))) for slug in ("01-first", "02-next")]
    assert len(ids[0]) == 3 and not set(ids[0]) & set(ids[1]) and len(set(ids[0])) == 3
    made = html(text)
    assert all(f'href="#{name}"' in made for name in ids[0])


def test_a_number_stands_as_it_was_written_wherever_it_stands():
    made = html("# [1 in](fit:A)\n\n- [2 <b>](size:piston.skirt)\n\n[^n]: [3](fit:B)\n\nsee[^n]")
    assert re.findall(r'<data value="([^"]*)">(.*?)</data>', made) == [
        ("fit:A", "1 in"),
        ("size:piston.skirt", "2 &lt;b&gt;"),
        ("fit:B", "3"),
    ]


def test_a_word_is_explained_where_it_first_stands_and_in_no_link_or_heading():
    metal = Word(word="white metal", us="babbitt", means="Soft alloy.")
    stock = Word(word="stock", means="Metal still on.", everyday=True)
    made = html("# White metal\n\n[white metal](https://example.org/) White-metals, babbitt, stock", metal, stock)
    assert made.count("<abbr") == 1
    assert '<abbr title="Soft alloy. US babbitt.">White-metals</abbr></dfn>, babbitt, stock' in made


def test_what_it_cost_stands_below():
    made = html("x", cost=Cost.model_construct(time="two <evenings>", scrap=None, rework="again"))
    assert made.endswith("<dl><dt>Time</dt><dd>two &lt;evenings&gt;</dd><dt>Rework</dt><dd>again</dd></dl></div>")
    assert "What it cost" not in html("x")


@pytest.mark.parametrize(
    "text", ["```\na\n\n\n\tb\n```\n\nend", "- a\n\n  b\n\n\n- c", "    a\n\n    b", "a\n\n" * LONGEST]
)
def test_no_blank_line_ends_the_island_and_code_keeps_its_lines(text):
    made = html(text)
    assert not re.search(r"\n\s*\n", made)
    if text.startswith("```"):
        assert "a\n&nbsp;\n&nbsp;\n\tb\n" in made


HOSTILE = [
    "<script>alert(1)</script><img src=x onerror=alert(1)>",
    "[a](javascript:alert(1)) ![b](javascript:alert(1)) [c](data:text/html,x) <javascript:alert(1)>",
    '![" onerror="alert(1)](a.webp "\\" onload=alert(1)")',
    '[x](fit:"><script>alert(1)</script>) [<img src=x onerror=alert(1)>](size:a.b)',
    '[^"><script>]: x\n\nsee[^"><script>]',
    "| <b onclick=x> |\n|---|\n| `<i>` |",
    "```x onload=alert(1)\n</code></pre><script>alert(1)</script>\n```",
    '[a](https://example.org/"onclick="alert(1)) [b](<https://example.org/ onclick=alert(1)> "t\\" onclick=x")',
]


@pytest.mark.parametrize("text", HOSTILE)
def test_nothing_in_a_text_acts(text):
    assert [what for what in acting(html(text)) if not what.startswith("img")] == []
    assert "<img" not in re.sub(r'<img src="photos/[a-z.]+" alt="[^"<>]*">', "", html(text))


def test_nobody_can_write_what_the_medium_makes():
    made = html("x 0-0- \ue000 ![it](a.webp)")
    assert made.count("<figure>") == 1 and str(escape("x 0-0-")) in made


@pytest.mark.slow
@pytest.mark.parametrize(
    "text",
    [
        "> " * 3000 + "deep",
        "* " * 5000,
        "[" * 40000,
        "a" * 300_000,
        "`" * 50_000,
        "<div>" * 5000,
        "![" * 20_000,
        "*" * 50_000 + "a",
        "\t" * 5000 + "x",
        "[^" * 30_000,
        "[^1]" * 15_000 + "\n\n[^1]: x",
        "[^1]: [^1]\n" * 5000,
        "|" * 20_000 + "\n" + "|-" * 20_000,
        "![a](b.webp)" * 5000,
        "[1](fit:A)" * 6000,
        "white metal " * 5000,
    ],
)
def test_a_text_that_would_hang_is_shown_as_plain_text_or_fast(text):
    began = time.perf_counter()
    assert len(html(text, Word(word="white metal", means="x"))) > 0
    assert time.perf_counter() - began < 15


def test_the_words_of_a_text_for_lists_and_for_how_long_it_takes():
    assert plain(
        "# Head\n\nOne *two*\nthree.[^1] ![no](a.webp)\n\n| no |\n|---|\n| no |\n\n[^1]: no\n\n- [4 in](fit:A)"
    ) == ("One two three. 4 in")


def test_a_place_in_a_film_is_an_address_of_its_own():
    assert at_second("https://example.org/f", "1:02:03") == "https://example.org/f#t=3723"
    assert at_second("https://example.org/f#part", "1:20") == "https://example.org/f#part"
