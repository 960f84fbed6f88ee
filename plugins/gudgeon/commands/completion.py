"""gudgeon completion: the line that teaches a shell to complete the commands."""

import click
from click.shell_completion import get_completion_class

SHELLS = ("bash", "zsh", "fish")


@click.command(
    epilog="""\b
Examples:
  eval "$(gudgeon completion bash)"                                        in ~/.bashrc
  eval "$(gudgeon completion zsh)"                                         in ~/.zshrc
  gudgeon completion fish > ~/.config/fish/completions/gudgeon.fish
Exit status: 0 written, 2 the command's words are off."""
)
@click.argument("shell", type=click.Choice(SHELLS))
def completion(shell):
    """Write what SHELL needs to complete commands, options and the names of builds."""
    from gudgeon.cli import main

    made = get_completion_class(shell)(main, {}, "gudgeon", "_GUDGEON_COMPLETE")
    click.echo(made.source())
