"""Options that several commands share."""

from collections.abc import Callable
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

DATE = click.DateTime(formats=("%Y-%m-%d",))
PICTURES = (".png", ".svg")
"""Endings of a picture that a command writes."""


def json_option(command: Command) -> Command:
    """Give a command the option ``--json``."""
    return click.option(
        "--json", "as_json", is_flag=True, help="Print one JSON object and nothing else."
    )(command)


def seed_option(command: Command) -> Command:
    """Give a command the option ``--seed``."""
    return click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True)(command)


def effort_option(*, default: str = "normal", told: str) -> Callable[[Command], Command]:
    """Give a command the option ``--effort``, with its default and help."""
    return click.option(
        "--effort",
        type=click.Choice(("quick", "normal", "thorough")),
        default=default,
        show_default=True,
        help=told,
    )


def start_option(*, told: str = "Day the work can begin.") -> Callable[[Command], Command]:
    """Give a command the option ``--start``; ``told`` says what day it is."""
    return click.option(
        "--start", type=DATE, metavar="YYYY-MM-DD", help=f"{told}  [default: today]"
    )


def units_option(command: Command) -> Command:
    """Give a command the option ``--units``; without it the order's are used."""
    return click.option(
        "--units", type=click.Choice(("metric", "imperial")), help="Units to read."
    )(command)


def metric_option(command: Command) -> Command:
    """Give a command that reads no order the option ``--units``, metric unless said."""
    return click.option("--units", type=click.Choice(("metric", "imperial")), default="metric")(
        command
    )
