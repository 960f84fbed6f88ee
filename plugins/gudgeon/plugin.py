"""Hands findings over to MkDocs and does nothing itself."""

import os
import time
from datetime import UTC, datetime
from pathlib import Path

from mkdocs.plugins import BasePlugin, get_plugin_logger
from mkdocs.structure.files import File, InclusionLevel

from gudgeon.commands.manual import manual
from gudgeon.commands.python_page import python_page
from gudgeon.config import GudgeonConfig
from gudgeon.pages.page import HOMES, with_lead
from gudgeon.pages.site import STYLE
from gudgeon.project.project import Project
from gudgeon.project.settings import Settings
from gudgeon.site import make_site
from gudgeon.theme_faults import mend

log = get_plugin_logger(__name__)
DATE = "SOURCE_DATE_EPOCH"  # what MkDocs dates a site by
THEME = Path(__file__).parent / "theme"


class GudgeonPlugin(BasePlugin[GudgeonConfig]):
    """Reads builds, assesses them and adds their pages to the site."""

    supports_multiple_instances = False

    def on_startup(self, *, command, dirty):
        """Called once a run; keeps the plugin alive between the rebuilds of a served site.

        A date that was given from outside holds for all of them; otherwise each rebuild is dated anew by its records.
        """
        self._date_given = DATE in os.environ

    def on_config(self, config):
        self._began = time.perf_counter()
        self._root = Path(config.config_file_path).parent
        self._seconds = {}
        config.theme.dirs.insert(0, str(THEME))
        if STYLE not in config.extra_css:
            config.extra_css.insert(0, STYLE)
        return config

    def on_files(self, files, *, config):
        settings = Settings(self._root, self.config.builds, self.config.knowledge, cache=self.config.cache)
        site = make_site(Project(settings), config.site_url or None, [manual(), python_page()])
        self._seconds, self._home_lead = site.seconds, site.home_lead
        for problem in site.problems:
            log.warning(str(problem))
        self._date_by_records(site.club)
        for page in site.pages:
            file = File.generated(config, page.uri, content=page.text)
            if page.edit:
                file.edit_uri = f"../{page.edit}"  # pyright: ignore[reportAttributeAccessIssue] - a property that takes text
            file.inclusion = (
                InclusionLevel.INCLUDED
                if "/" not in page.uri or page.uri in ("builds/index.md", "families/index.md")
                else InclusionLevel.NOT_IN_NAV
            )
            files.append(file)
        for asset in site.assets:
            files.append(File.generated(config, asset.uri, content=asset.content))
        return files

    def on_page_markdown(self, markdown, *, page, config, files):
        return with_lead(markdown, self._home_lead) if page.file.src_uri in HOMES else markdown

    def on_post_page(self, output, *, page, config):
        return mend(output)

    def on_post_template(self, output_content, *, template_name, config):
        return mend(output_content) if template_name == "404.html" else output_content

    def on_serve(self, server, *, config, builder):
        for folder in (self._root / self.config.builds, self._root / self.config.knowledge):
            if folder.is_dir():
                server.watch(str(folder))
        return server

    def on_post_build(self, *, config):
        whole, own = time.perf_counter() - self._began, sum(self._seconds.values())
        parts = ", ".join(f"{what} {seconds:.2f} s" for what, seconds in self._seconds.items())
        log.debug(f"whole build {whole:.2f} s; Gudgeon's own share {own:.2f} s, {100 * own / whole:.0f} % ({parts})")

    def _date_by_records(self, club):
        """Date the site by its newest record, not by the clock, so that the same files give the same bytes."""
        if self._date_given:
            return
        newest = max((build.newest_date for build in club.builds if build.newest_date), default=None)
        os.environ.pop(DATE, None)
        if newest:
            os.environ[DATE] = str(int(datetime(newest.year, newest.month, newest.day, tzinfo=UTC).timestamp()))
