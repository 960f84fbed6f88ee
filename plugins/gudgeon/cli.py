"""The program `gudgeon`: one group of commands, each in a module of `commands/`."""

import gc
import importlib
import sys

import click

from gudgeon.commands.terminal import STATUSES, TROUBLE, leave
from gudgeon.project.writing import NotWritten

# Command -> the module of commands/ that it stands in. Loaded when it is called: most need no pandas.
COMMANDS = {
    "check": "check",
    "schemas": "schemas",
    "review": "review",
    "preview": "preview",
    "history": "history",
    "new": "new",
    "enter": "enter",
    "cut": "cut",
    "done": "done",
    "withdraw": "withdraw",
    "photo": "photo",
    "import": "import_",
    "renumber": "renumber",
    "migrate": "migrate",
    "upgrade": "upgrade",
    "values": "values",
    "limits": "limits",
    "due": "due",
    "export": "export",
    "survey": "survey",
    "book": "book",
    "bring": "bring",
    "pages": "pages",
    "completion": "completion",
}


class _Commands(click.Group):
    def list_commands(self, ctx):
        return list(COMMANDS)

    def invoke(self, ctx):
        try:
            return super().invoke(ctx)
        except NotWritten as problem:
            leave(TROUBLE, f"Nothing was written: {problem}")

    def get_command(self, ctx, name):
        if name not in COMMANDS:
            return None
        # Records and findings stay as long as the command does: looking through them often for garbage costs a tenth.
        gc.set_threshold(50_000, 20, 100)
        module = importlib.import_module(f"gudgeon.commands.{COMMANDS[name]}")
        return getattr(module, "import_" if name == "import" else name)


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 110},
    epilog="\b\nExit status:\n" + "\n".join(f"  {status}  {means}" for status, means in STATUSES.items()),
)
@click.version_option(package_name="gudgeon", prog_name="gudgeon")
def main():
    """Records of engine builds: check them, review what an edit moves, add to them, share them."""


if __name__ == "__main__":
    sys.exit(main())
