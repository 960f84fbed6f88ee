"""A project as it would stand after a merge, laid out to be built: what people write from the work, and all that steers a build
from the main branch."""

from pathlib import Path, PurePosixPath

from gudgeon.project.project import Project
from gudgeon.project.revisions import Revisions

# What is taken of the pages that people write. No page's script and no drawing that may hold one.
PAGES = (".md",)
PICTURES = (".png", ".jpg", ".jpeg", ".webp", ".avif", ".heic", ".gif")


def lay_out_preview(project: Project, revisions: Revisions, folder: Path) -> None:
    """Write the settings, the theme, hooks and scripts of the base, and the builds, the shelf and the pages of the work.

    revisions: with a head that is a commit. Nothing of the work is run, and nothing of it says what is run. Raises
    gudgeon.GitLacks.
    """
    assert revisions.head, "a work tree is built as it is"
    settings, repository = project.settings, revisions.repository
    records, docs = [settings.builds, settings.knowledge], settings.docs

    def below(name: str, *folders: str) -> bool:
        return any(name.startswith(f"{place}/") for place in folders)

    def of_the_base(name: str) -> bool:
        return not below(name, *records) and not (below(name, docs) and _suffix(name) in PAGES)

    def a_page(name: str) -> bool:
        return not below(name, *records) and _suffix(name) in (*PAGES, *PICTURES)

    repository.extract(revisions.base, ["."], folder, pictures=True, taken=of_the_base)
    repository.extract(revisions.head, records, folder, pictures=True)
    there = {path.relative_to(folder).as_posix() for path in (folder / docs).rglob("*")}
    repository.extract(
        revisions.head, [docs], folder, pictures=True, taken=lambda name: a_page(name) and name not in there
    )


def _suffix(name: str) -> str:
    return PurePosixPath(name).suffix.lower()
