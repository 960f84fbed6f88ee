"""The manual page of the commands, made from the commands themselves: what a command does not say is not on it."""

import re

import click

from gudgeon.cli import main
from gudgeon.commands.terminal import STATUSES
from gudgeon.pages.page import Page, Renderer


def manual(renderer: Renderer | None = None) -> Page:
    """The page with every command, its words, its examples and its exit statuses."""
    return (renderer or Renderer()).page(
        "commands.md",
        "commands.md.j2",
        None,
        commands=list(_walk(main, click.Context(main, info_name="gudgeon"))),
        statuses=STATUSES,
    )


def _walk(group: click.Group, context: click.Context):
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command, "a group gives the commands that it lists"
        inner = click.Context(command, info_name=name, parent=context)
        if isinstance(command, click.Group):
            yield {"name": inner.command_path, **_said(command.help or ""), "of": list(_walk(command, inner))}
            continue
        info = command.to_info_dict(inner)
        yield {
            "name": inner.command_path,
            "word": name,
            "of": [],
            "anchor": inner.command_path.removeprefix("gudgeon ").replace(" ", "-"),
            "usage": " ".join([inner.command_path, *command.collect_usage_pieces(inner)]),
            **_said(info["help"] or ""),
            "options": [
                (", ".join(option["opts"] + option["secondary_opts"]), _takes(option), option["help"] or "")
                for option in info["params"]
                if option["param_type_name"] == "option" and "--help" not in option["opts"]
            ],
            "epilog": (info["epilog"] or "").replace("\b\n", "").strip(),
        }


def _said(words: str) -> dict[str, str]:
    """The help of a command: its first sentence, and what more there is to say."""
    first, *more = re.split(r"(?<=[.!?])\s+(?=[A-Z])", " ".join(words.split()), maxsplit=1)
    return {"help": first, "more": " ".join(more)}


def _takes(option: dict) -> str:
    """What an option takes, in words."""
    if option["is_flag"]:
        return ""
    kind = option["type"]
    return (
        " | ".join(str(choice) for choice in kind["choices"])
        if "choices" in kind
        else {"Path": "file or folder", "Int": "number", "IntRange": "number"}.get(kind["param_type"], "text")
    )
