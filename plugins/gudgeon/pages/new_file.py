"""Where a forge makes a new file, or an issue, with its name and text filled in, so that who has no git can ask for one."""

import posixpath
import re
from dataclasses import dataclass
from urllib.parse import quote, urlencode, urlsplit


@dataclass(frozen=True)
class Kind:
    """A kind of forge. path: behind the repository's address, {branch} in it; name, content: what the two parameters are called.

    told: what has to be said of it beside the link. hosts: what in a host's name tells that it is of this kind. issue: path of its
    page for a new issue, with what the title and the text are called there.
    """

    path: str
    name: str
    content: str
    told: str
    hosts: tuple[str, ...]
    issue: tuple[str, str, str]


OPENS = "It opens with the name and the text filled in. Choose to propose the file: the forge makes the request."
# GitHub fills in both (behaviour told in isaacs/github#1527). GitLab fills in the name; of the text its editor takes no notice in some
# versions (gitlab-org/gitlab work item 594214). Gitea and Forgejo have both documented (docs.gitea.com, "Integrations").
# Issues: GitHub ("Creating an issue", from a URL query) and GitLab ("Using a URL with prefilled values") document theirs; those of Gitea and
# Forgejo are from memory.
KINDS = {
    "github": Kind("/new/{branch}", "filename", "value", OPENS, ("github",), ("/issues/new", "title", "body")),
    "gitlab": Kind(
        "/-/new/{branch}",
        "file_name",
        "content",
        "It opens with the name filled in. Where the text stays empty, paste it: it is copied already.",
        ("gitlab",),
        ("/-/issues/new", "issue[title]", "issue[description]"),
    ),
    "gitea": Kind(
        "/_new/{branch}/",
        "filename",
        "value",
        OPENS,
        ("gitea", "forgejo", "codeberg"),
        ("/issues/new", "title", "body"),
    ),
}
_EDIT = re.compile(r"^/?(?:-/)?_?(?:edit|blob|tree|raw|src/branch)/(?P<branch>[^/]+)/(?P<docs>.*)$")


@dataclass(frozen=True)
class NewFile:
    """The page for a new file of one repository: its address, its parameters, and the folder that the project has there."""

    page: str
    name: str
    content: str
    told: str
    root: str
    issue: tuple[str, str, str] = ("", "title", "body")

    def new_issue(self, title: str, text: str) -> str:
        """The address of the page for a new issue, filled in."""
        page, for_title, for_text = self.issue
        return f"{page}?{urlencode({for_title: title, for_text: text}, quote_via=quote)}"


def new_file(repo_url: str | None, edit_uri: str | None, kind: str | None = None) -> NewFile | None:
    """The page of a repository for new files; None where the forge is of no known kind, or the settings name no branch.

    edit_uri: as MkDocs has it, such as edit/main/docs/: it names the branch and the folder of the pages. kind: a key of KINDS,
    for a forge on a host of one's own; None to tell it by the host's name.
    """
    address = urlsplit(repo_url or "")
    edit = _EDIT.match(edit_uri or "")
    if address.scheme not in ("https", "http") or not address.hostname or edit is None:
        return None
    host = address.hostname.lower()
    named = kind or next((name for name, one in KINDS.items() if any(word in host for word in one.hosts)), None)
    if named is None:
        return None
    forge = KINDS[named]
    root = posixpath.normpath(posixpath.join(edit["docs"], ".."))
    branch = quote(edit["branch"], safe="%")
    home = f"{address.scheme}://{address.netloc}{address.path.rstrip('/').removesuffix('.git')}"
    page = f"{home}{forge.path.format(branch=branch)}"
    issue = (f"{home}{forge.issue[0]}", *forge.issue[1:])
    return NewFile(page, forge.name, forge.content, forge.told, "" if root in (".", "..") else f"{root}/", issue)
