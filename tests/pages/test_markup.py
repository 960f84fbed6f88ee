"""What is said, as markup: both units, a word with its mark, and nothing of what members wrote."""

import html
import re

from gudgeon.pages.markup import MarkupFormatter, markdown, state


def test_the_unit_of_the_build_comes_first():
    inch, metric = MarkupFormatter("in"), MarkupFormatter("mm")
    assert (
        str(inch.clearance(0.0055 * 25.4)) == '<span class="g-q"><span>5.5 thou</span> <small>(0.140 mm)</small></span>'
    )
    assert (
        str(metric.clearance(0.0055 * 25.4))
        == '<span class="g-q"><span>0.140 mm</span> <small>(5.5 thou)</small></span>'
    )
    assert "not said" in str(inch.range(None, None)) and "none" in str(inch.size(None))


def test_a_state_is_a_word_and_a_mark():
    assert str(state("metal on")).endswith(">▲ metal on</span>")


def test_headings_let_no_markup_through():
    text = "<b>*x*</b> [a](javascript:b) `c` & 1:96 #"
    assert not re.search(r"[<>*`\[\]()]", str(markdown(text))) and html.unescape(str(markdown(text))) == text
