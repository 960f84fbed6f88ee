"""Finishes pages for the site: what the theme's pages get besides, and the pages of builds without the generator's own way.

A club has a hundred pages a build. MkDocs reads the HTML in each once more and holds all of them in memory; here a page goes from its
Markdown through the theme's own template into its file, on all cores. What is used of MkDocs's inside stands in DEVELOPERS.md,
"Platform".
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import NamedTuple

import jinja2
from markdown.extensions.toc import nest_toc_tokens
from mkdocs.commands.build import get_context
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as ThemePage
from mkdocs.structure.toc import get_toc
from mkdocs.utils import get_relative_url

from gudgeon.content_policy import TEMPLATES, inline_scripts, with_policy
from gudgeon.pages.in_html import in_html
from gudgeon.pages.page import Page
from gudgeon.project.cores import spread
from gudgeon.theme_faults import mend
from gudgeon.told_heads import ToldHeads

WORTH_A_PROCESS = 40  # pages; fewer are printed sooner than another process begins
PAGE_EVENTS = ("pre_page", "page_read_source", "page_markdown", "page_content", "page_context", "post_page")


def others_look_at_pages(config: MkDocsConfig, plugin) -> bool:
    """Whether another plugin or a hook of the project has a hand in each page: then all pages go MkDocs's own way."""
    methods = [method for event in PAGE_EVENTS for method in config.plugins.events.get(event, ())]
    return any(getattr(method, "__self__", None) is not plugin for method in methods)


class PressedFile(File):
    """A page that MkDocs knows, so that links lead to it, and does not make itself."""

    def __init__(self, config: MkDocsConfig, made: Page):
        self._is_page = True
        super().__init__(
            made.uri, None, config.site_dir, config.use_directory_urls, inclusion=InclusionLevel.NOT_IN_NAV
        )
        _ = self.dest_uri, self.url  # where a page goes
        self._is_page = False
        self.made = made
        self.generated_by = config.plugins._current_plugin  # the theme tells by it that people edit records
        if made.edit:
            self.edit_uri = f"../{made.edit}"  # pyright: ignore[reportAttributeAccessIssue] - a property that takes text

    @property
    def content_string(self) -> str:  # pyright: ignore[reportIncompatibleMethodOverride] - written by nobody
        """Its Markdown."""
        return self.made.text

    def is_documentation_page(self) -> bool:
        return self._is_page

    def copy_file(self, dirty: bool = False) -> None:
        """The press writes it."""


class Printed(NamedTuple):
    """What a share of the pages came to besides its files."""

    digests: set[str]
    held_back: list[str]


@dataclass
class Policies:
    """The policy of each page, by the theme's own scripts. asked: whether pages get one."""

    env: jinja2.Environment
    config: MkDocsConfig
    asked: bool
    digests: set[str] = field(default_factory=set)
    held_back: dict[str, None] = field(default_factory=dict)

    def __post_init__(self):
        # A theme without scripts in its pages gets no policy from us.
        names = self.env.list_templates(filter_func=lambda name: name.startswith(TEMPLATES)) if self.asked else []
        self._templates = [self.env.get_template(name) for name in names]
        self._own_scripts: dict[str, list[str]] = {}

    @property
    def told(self) -> bool:
        """Whether pages say what may run on them."""
        return bool(self._templates)

    def of_page(self, output: str, base_url: str) -> str:
        """A page with its policy. The theme's scripts hold the way to the site's root, so they differ with a page's depth."""
        if not self.told:
            return output
        if base_url not in self._own_scripts:
            given = {
                "config": self.config,
                "base_url": base_url,
                "features": self.config.theme.get("features") or [],
            }
            self._own_scripts[base_url] = [
                script for template in self._templates for script in inline_scripts(template.render(given))
            ]
        output, digests, held_back = with_policy(output, self._own_scripts[base_url])
        self.digests |= digests
        self.held_back |= dict.fromkeys(held_back)
        return output


@dataclass
class Press:
    """Puts pages into the theme. nav, env: as MkDocs made them of this build."""

    config: MkDocsConfig
    nav: Navigation
    env: jinja2.Environment
    told: ToldHeads
    policies: Policies

    def finished(self, page: ThemePage, output: str) -> str:
        """What the theme made of a page, with what its head tells, its policy, and without the theme's faults."""
        return self.policies.of_page(self.told.with_head(page, mend(output)), get_relative_url(".", page.url))

    def in_sitemap(self, file: File) -> SimpleNamespace:
        """A page as the sitemap's template takes it: with its address and the day on which it changed."""
        page = ThemePage(None, file, self.config)
        file.page = None
        self.told.tell(page)
        return SimpleNamespace(page=page)

    def html_of(self, file: PressedFile) -> str:
        """A page of ours as it goes into the site."""
        made = in_html(file.made.text)
        page = ThemePage(None, file, self.config)
        file.page = None
        page.markdown, page.content = "", made.content
        page.meta = {"title": made.title} if made.title else {}
        depth = self._toc_depth()
        tokens = [
            {"level": heading.level, "id": heading.id, "name": heading.text}
            for heading in made.headings
            if heading.level <= depth
        ]
        page.toc = get_toc(nest_toc_tokens(tokens))  # pyright: ignore[reportArgumentType] - what it reads of them is there
        self.told.tell(page)
        page.active = True
        template = self.env.get_template("main.html")
        return self.finished(page, template.render(get_context(self.nav, [], self.config, page)))

    def print(self, files: Sequence[PressedFile]) -> None:
        """Write the pages into the site."""
        for printed in spread(self._print_share, files, WORTH_A_PROCESS):
            self.policies.digests |= printed.digests
            self.policies.held_back |= dict.fromkeys(printed.held_back)

    def _print_share(self, files: Sequence[PressedFile]) -> Printed:
        for file in files:
            path = Path(file.abs_dest_path)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(self.html_of(file).encode("utf-8", errors="xmlcharrefreplace"))
        return Printed(self.policies.digests, list(self.policies.held_back))

    def _toc_depth(self) -> int:
        depth = str((self.config.mdx_configs.get("toc") or {}).get("toc_depth", 6))
        return int(depth.rpartition("-")[2])
