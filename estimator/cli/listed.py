"""Groups whose commands are listed by name, and loaded only when one of them is called."""

from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click


class Listed(click.Command):
    """Stands in a group for a command that is not loaded yet.

    Parameters
    ----------
    home : str
        Module and name of the command, as in ``estimator.cli.quoting:quote``.
    text : str
        First sentence of the command's own help, so that the group's help need not load it.
    """

    def __init__(self, home: str, text: str) -> None:
        super().__init__(name=None, help=text)
        self.home = home

    def load(self) -> click.Command:
        """Load the command that this one stands for.

        Returns
        -------
        click.Command
            From its home.
        """
        module, name = self.home.split(":")
        command: click.Command = getattr(import_module(module), name)
        return command


class ListedGroup(click.Group):
    """A group that loads a command when it is called, and none to print its own help.

    Commands may be added in the usual ways as well.

    Parameters
    ----------
    listed : mapping of str to Listed
        Commands by the word they are called by.
    **attributes
        As for any group.
    """

    def __init__(self, *, listed: Mapping[str, Listed], **attributes: Any) -> None:
        super().__init__(**attributes)
        self.listed = dict(listed)
        self.commands.update(listed)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Give a command, loaded.

        Parameters
        ----------
        ctx : click.Context
            Where the group is called.
        cmd_name : str
            The word that was typed.

        Returns
        -------
        click.Command or None
            None if there is no such command.
        """
        found = super().get_command(ctx, cmd_name)
        if isinstance(found, Listed):
            found = self.commands[cmd_name] = found.load()
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands as any group does, from what is at hand.

        Parameters
        ----------
        ctx : click.Context
            Where the group is called.
        formatter : click.HelpFormatter
            Takes the text.
        """
        click.Group(commands=self.commands).format_commands(ctx, formatter)
