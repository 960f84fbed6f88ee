"""The address of a forge's page for a new file, made from the settings of the site."""

import pytest
from gudgeon.pages.new_file import new_file


@pytest.mark.parametrize(
    ("repo", "edit", "kind", "page"),
    [
        ("https://github.com/club/engines", "edit/main/docs/", None, "https://github.com/club/engines/new/main"),
        ("https://github.com/club/engines.git/", "blob/main/docs/", None, "https://github.com/club/engines/new/main"),
        ("https://gitlab.com/club/sub/engines", "-/edit/main/docs/", None, "https://gitlab.com/club/sub/engines/-/new/main"),
        ("https://gitlab.club.example/a/b", "edit/trunk/docs/", None, "https://gitlab.club.example/a/b/-/new/trunk"),
        ("https://codeberg.org/club/engines", "_edit/main/docs/", None, "https://codeberg.org/club/engines/_new/main/"),
        ("https://git.club.example/a/b", "_edit/main/docs/", "gitea", "https://git.club.example/a/b/_new/main/"),
        ("https://git.club.example/a/b", "src/branch/main/docs/", "gitea", "https://git.club.example/a/b/_new/main/"),
        ("https://git.club.example:8443/a/b", "edit/wip%2Fone/docs/", "github", "https://git.club.example:8443/a/b/new/wip%2Fone"),
    ],
)  # fmt: skip
def test_the_page_of_each_kind_of_forge(repo, edit, kind, page):
    made = new_file(repo, edit, kind)
    assert made is not None and made.page == page and made.root == ""


@pytest.mark.parametrize(
    ("repo", "edit"),
    [
        (None, "edit/main/docs/"),
        ("https://example.org/larkmoor/gudgeon", "edit/main/docs/"),  # a forge of no known kind
        ("https://github.com/club/engines", None),
        ("https://github.com/club/engines", "elsewhere"),
        ("javascript:alert(1)//github.com", "edit/main/docs/"),
    ],
)
def test_no_page_is_guessed(repo, edit):
    assert new_file(repo, edit) is None


def test_a_project_in_a_folder_of_its_repository_keeps_the_folder():
    made = new_file("https://github.com/club/engines", "edit/main/site/docs/")
    assert made is not None and made.root == "site/"
