"""Hands findings over to MkDocs and does nothing itself."""

import logging
import os
import time
from pathlib import Path
from urllib.parse import urlsplit

from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, get_plugin_logger
from mkdocs.structure.files import File, InclusionLevel

from gudgeon.commands.guides import manual_pages
from gudgeon.config import GudgeonConfig
from gudgeon.content_policy import header
from gudgeon.dating import DATE, date_by_records
from gudgeon.pages.folding import SECTIONS, fold_sections
from gudgeon.pages.new_file import new_file
from gudgeon.pages.page import HOMES, Page, with_lead
from gudgeon.pages.site import SCRIPTS, STYLE
from gudgeon.press import Policies, Press, PressedFile, others_look_at_pages
from gudgeon.project.project import Project
from gudgeon.project.settings import Settings
from gudgeon.project.writing import not_writable, write_output
from gudgeon.raw_records import leave_out
from gudgeon.serving import Standing, taken
from gudgeon.site import make_site
from gudgeon.theme_faults import mend
from gudgeon.told_heads import ToldHeads

log = get_plugin_logger(__name__)
THEME = Path(__file__).parent / "theme"
POLICY_FILE = "content-security-policy.txt"  # beside the site: the policy as a header


class GudgeonPlugin(BasePlugin[GudgeonConfig]):
    """Reads builds, assesses them and adds their pages to the site."""

    supports_multiple_instances = False

    def on_startup(self, *, command, dirty):
        """Called once a run; keeps the plugin alive between the rebuilds of a served site.

        A date that was given from outside holds for all of them; otherwise each rebuild is dated anew by its records.
        """
        self._date_given = DATE in os.environ
        # The server of `mkdocs serve` writes a script of its own into every page, after this plugin, with the time in it.
        self._is_served = command == "serve"

    def on_config(self, config):
        self._began = time.perf_counter()
        self._root = Path(config.config_file_path).parent
        if fault := not_writable(Path(config.site_dir)):  # MkDocs would end in the middle, with what Python says of it
            raise PluginError(f"The site cannot be written: {fault} Name another folder: --site-dir FOLDER.")
        if not config.repo_url:
            config.edit_uri = None  # it leads on from there
        config.theme.dirs.insert(0, str(THEME))
        if STYLE not in config.extra_css:
            config.extra_css.insert(0, STYLE)
        config.extra_javascript += [script for script in SCRIPTS if script not in config.extra_javascript]
        return config

    def on_files(self, files, *, config):
        project = Project(Settings(self._root, self.config.builds, self.config.knowledge, cache=self.config.cache))
        self._folders = [self._root / path for path in (self.config.builds, *project.shelves)]
        leave_out(files, self._folders)
        links = "folders" if config.use_directory_urls else "html"
        more_pages, more_files = manual_pages(links, {file.src_uri for file in files})
        by_hand = [Page(file.src_uri, file.content_string) for file in files.documentation_pages()]
        forge = new_file(config.repo_url, config.edit_uri, self.config.forge)
        site = make_site(project, config.site_url or None, more_pages, links, forge, by_hand)
        self._site, self._told = site, ToldHeads(site)
        for problem in site.problems:
            log.warning(str(problem))
        date_by_records(site.club.builds, given=self._date_given)
        is_pressed = not others_look_at_pages(config, self)
        self._pressed = []
        for page in site.pages:
            if is_pressed and page.uri.startswith("builds/") and page.uri != "builds/index.md":
                self._pressed.append(PressedFile(config, page))
                files.append(self._pressed[-1])
                continue
            file = File.generated(config, page.uri, content=page.text)
            if page.edit:
                file.edit_uri = f"../{page.edit}"  # pyright: ignore[reportAttributeAccessIssue] - a property that takes text
            file.inclusion = (
                InclusionLevel.INCLUDED
                if "/" not in page.uri or page.uri in ("builds/index.md", "families/index.md")
                else InclusionLevel.NOT_IN_NAV
            )
            files.append(file)
        for asset in [*site.assets, *more_files]:
            files.append(File.generated(config, asset.uri, content=asset.content))
        return files

    def on_page_markdown(self, markdown, *, page, config, files):
        self._told.tell(page)
        return with_lead(markdown, self._site.home_lead) if page.file.src_uri in HOMES else markdown

    def on_page_content(self, html, *, page, config, files):
        return fold_sections(html) if page.meta.get("fold") == SECTIONS else html

    def on_nav(self, nav, *, config, files):
        self._nav = nav
        return nav

    def on_env(self, env, *, config, files):
        policies = Policies(env, config, asked=self.config.content_policy and not self._is_served)
        self._press = Press(config, self._nav, env, self._told, policies)
        return env

    def on_template_context(self, context, *, template_name, config):
        if template_name == "sitemap.xml":
            context["pages"] = [*context["pages"], *map(self._press.in_sitemap, self._pressed)]
        return context

    def on_post_page(self, output, *, page, config):
        return self._press.finished(page, output)

    def on_post_template(self, output_content, *, template_name, config):
        if template_name != "404.html":
            return output_content
        return self._press.policies.of_page(mend(output_content), urlsplit(config.site_url or "/").path)

    def on_serve(self, server, *, config, builder):
        problem = taken(server.server_address[0], server.server_address[1])
        if problem:
            raise PluginError(problem)
        for folder in self._folders:
            if folder.is_dir():
                server.watch(str(folder))
        Standing(server, builder).keep_watching(self._folders)
        return server

    def on_post_build(self, *, config):
        self._press.print(self._pressed)
        policies = self._press.policies
        for script in policies.held_back:
            log.warning(
                f"a page has an inline script that is not the theme's, and browsers will not run it: {script.strip()[:80]!r}. "
                "If it is yours, put it into a file (extra_javascript), or set content_policy: false for the plugin."
            )
        if policies.told:
            text = f"Content-Security-Policy: {header(policies.digests)}\n"
            write_output(Path(config.site_dir), {POLICY_FILE: text.encode("utf-8")})
        told = logging.INFO if os.environ.get("GUDGEON_TELL_COST") else logging.DEBUG
        log.log(told, self._site.cost(time.perf_counter() - self._began))
