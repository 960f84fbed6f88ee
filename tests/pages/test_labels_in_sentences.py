"""Readers are told of the skirt by its name: an id stands only where somebody has to type it."""

import re

import pytest
from gudgeon.assess.build import assess
from small_build import rendered

pytestmark = pytest.mark.slow  # every page of both demonstration builds

TYPED = re.compile(r"<(code|pre|script|style)\b.*?</\1>", re.DOTALL)
# A record that is not there has no name: its id is what somebody would write.
ID = re.compile(r"(?<![\w./-])[a-z][a-z0-9_]*\.[a-z][a-z0-9_]*(?![\w./-])")


def test_no_sentence_of_a_demonstration_build_says_an_id_of_a_feature(club):
    pages, _ = rendered(club, {build.id: assess(build, club.knowledge) for build in club.builds})
    for build in club.builds:
        of_build = [page for page in pages if page.uri.startswith(f"builds/{build.id}/")]
        assert len(of_build) > 50
        for page in of_build:
            shown = re.sub(r"<[^>]+>", "\0", TYPED.sub("", page.text)).split("\0")
            told = {ref for text in shown if " " in text.strip() for ref in ID.findall(text)}
            assert not told & set(build.features), (page.uri, told & set(build.features))
