"""Options of the plugin in mkdocs.yml."""

from mkdocs.config import base
from mkdocs.config import config_options as option

from gudgeon.pages.new_file import KINDS


class GudgeonConfig(base.Config):
    """gudgeon: in the list of plugins."""

    builds = option.Type(str, default="builds")
    """Folder of the builds, from the project's root."""

    knowledge = option.Type(str, default="docs/knowledge")
    """Folder of the club's shared knowledge, from the project's root."""

    cache = option.Type(bool, default=True)
    """Whether what was worked out is kept in the user's cache folder, for the next time."""

    forge = option.Optional(option.Choice(list(KINDS)))
    """What kind of forge repo_url lies on, where its host's name does not say: the phone page offers its page for a new file."""

    content_policy = option.Type(bool, default=True)
    """Whether pages say what a browser may run on them (Content-Security-Policy). Off where a club adds scripts of its own."""
