"""Where a project is, and how it is set: found upwards as git does, read from mkdocs.yml without running anything in it."""

import os
from dataclasses import dataclass
from pathlib import Path

import yaml

from gudgeon.records.problems import shown

SETTINGS_FILES = ("mkdocs.yml", "mkdocs.yaml")
PLUGIN = "gudgeon"
BUILDS, KNOWLEDGE, DOCS = "builds", "docs/knowledge", "docs"  # where nothing else is set
BIGGEST_SETTINGS = 1_000_000  # bytes; a settings file is a few thousand
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class NoProject(Exception):
    """No project was found, or its settings cannot be used; told to people, with what to do."""


@dataclass(frozen=True)
class Settings:
    """How a project is set. Folders are from the project's root, with /.

    file: the settings file; None where there is none and the usual names hold. cache: whether what was worked out is kept.
    """

    root: Path
    builds: str = BUILDS
    knowledge: str = KNOWLEDGE
    docs: str = DOCS
    file: Path | None = None
    cache: bool = True


def find_settings(start: Path, new: bool = False) -> Settings:
    """The settings of the project that a folder lies in: of the nearest folder upwards whose mkdocs.yml names the plugin,
    or else of the nearest that holds builds/ or docs/knowledge/. Looks no higher than the top of a git work tree.

    new: where there is none, take the folder itself as a project that is still empty. Raises NoProject.
    """
    start = start.resolve()
    plain = None
    for folder in (start, *start.parents):
        settings = read_settings(folder)
        if settings is not None:
            return settings
        if plain is None and ((folder / BUILDS).is_dir() or (folder / KNOWLEDGE).is_dir()):
            plain = folder
        if (folder / ".git").exists():
            break
    if plain is not None:
        return Settings(plain)
    if new:
        return Settings(start)
    raise NoProject(
        f"there is no project in {start} or above it: no {SETTINGS_FILES[0]} that names the plugin {PLUGIN}, "
        f"and no folder {BUILDS}/. Go to the project's folder, or name it with --root. A new one begins with: gudgeon new club FOLDER"
    )


def read_settings(folder: Path) -> Settings | None:
    """The settings in a folder's mkdocs.yml; None where there is none, or where it does not name the plugin.

    Only the text is looked at: no tag in it is followed and nothing in it runs. Raises NoProject for what cannot be used.
    """
    file = next((path for name in SETTINGS_FILES if (path := folder / name).is_file()), None)
    if file is None:
        return None
    keys = _keys(file, seen=())
    options = _options_of_plugin(keys.get("plugins"))
    if options is None:
        return None

    def inside(name: str, usual: str, node) -> str:
        text = _text(node)
        if text is None:
            return usual
        parts = Path(text).parts
        if not parts or Path(text).is_absolute() or ".." in parts:
            line = f"{file.name}:{node.start_mark.line + 1}:{node.start_mark.column + 1}"
            raise NoProject(f'{line}: {name}: a folder inside the project is expected. Found "{shown(text)}".')
        return Path(text).as_posix()

    return Settings(
        root=folder,
        builds=inside("builds", BUILDS, options.get("builds")),
        knowledge=inside("knowledge", KNOWLEDGE, options.get("knowledge")),
        docs=inside("docs_dir", DOCS, keys.get("docs_dir")),
        file=file,
        cache=(_text(options.get("cache")) or "true").lower() not in ("false", "no", "off"),
    )


def _keys(file: Path, seen: tuple[Path, ...]) -> dict:
    """The keys of a settings file as YAML nodes, over those of the file that it inherits from."""
    try:
        if file.stat().st_size > BIGGEST_SETTINGS:
            raise NoProject(f"{file.name} is larger than any settings file.")
        top = yaml.compose(file.read_text(encoding="utf-8"), Loader=_LOADER)
    except (yaml.YAMLError, UnicodeDecodeError, RecursionError) as error:
        mark = getattr(error, "problem_mark", None)
        line = f":{mark.line + 1}:{mark.column + 1}" if mark else ""
        raise NoProject(
            f"{file}{line}: these settings cannot be read: {getattr(error, 'problem', None) or error}."
        ) from None
    if not isinstance(top, yaml.MappingNode):
        return {}
    keys = {key.value: value for key, value in top.value if isinstance(key, yaml.ScalarNode)}
    parent = _text(keys.get("INHERIT"))
    if parent:
        above = (file.parent / parent).resolve()
        if above not in seen and above.is_file():
            keys = {**_keys(above, (*seen, file.resolve())), **keys}
    return keys


def _options_of_plugin(plugins) -> dict | None:
    """The options given to the plugin, by name; None where the plugin is not named."""
    if isinstance(plugins, yaml.SequenceNode):
        entries = plugins.value
    elif isinstance(plugins, yaml.MappingNode):
        entries = [yaml.MappingNode("", [pair]) for pair in plugins.value]
    else:
        return None
    for entry in entries:
        if isinstance(entry, yaml.ScalarNode) and entry.value == PLUGIN:
            return {}
        if isinstance(entry, yaml.MappingNode):
            for key, value in entry.value:
                if key.value == PLUGIN:
                    pairs = value.value if isinstance(value, yaml.MappingNode) else []
                    return {name.value: option for name, option in pairs}
    return None


def _text(node) -> str | None:
    """A scalar's text; of a list under !ENV the first variable that is set, or the last entry, as the generator takes it."""
    if isinstance(node, yaml.ScalarNode):
        return os.environ.get(node.value) if node.tag == "!ENV" else node.value
    if isinstance(node, yaml.SequenceNode) and node.tag == "!ENV" and node.value:
        *names, last = [entry.value for entry in node.value]
        return next((os.environ[name] for name in names if name in os.environ), os.environ.get(last, last))
    return None
