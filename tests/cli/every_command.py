"""Every command of the command line, loaded, by its words."""

from collections.abc import Iterator

import click

from estimator.cli.main import group

HERE = click.Context(group)


def below(one: click.Group) -> dict[str, click.Command]:
    """The commands of a group, each loaded."""
    found = {name: one.get_command(HERE, name) for name in one.list_commands(HERE)}
    return {name: command for name, command in found.items() if command is not None}


def groups() -> Iterator[tuple[tuple[str, ...], click.Group]]:
    """Every group, the outermost first, with the words that lead to it."""
    yield (), group
    for name, command in below(group).items():
        if isinstance(command, click.Group):
            yield (name,), command


def commands() -> dict[tuple[str, ...], click.Command]:
    """Every command and every group below the outermost."""
    return {
        (*words, name): command for words, one in groups() for name, command in below(one).items()
    }
