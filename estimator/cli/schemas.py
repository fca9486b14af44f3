"""``estimator schema``: the published forms of files and outputs."""

from importlib import import_module
from typing import Any

import click

from estimator.cli.exits import DONE
from estimator.cli.options import examples
from estimator.cli.screen import print_json

SCHEMA_HOMES = {
    "order": ("estimator.workshop.order.reader", "order_schema"),
    "pattern": ("estimator.pattern.reader", "pattern_schema"),
    "blade": ("estimator.pattern.blade_file.reader", "blade_schema"),
    "hide": ("estimator.hide.reader", "hide_schema"),
    "price-book": ("estimator.report.json_output.price_book_schema", "price_book_schema"),
    "quote": ("estimator.report.json_output.schema", "quote_schema"),
    "batch": ("estimator.report.json_output.batch_schema", "batch_schema"),
    "compare": ("estimator.report.json_output.batch_schema", "compare_schema"),
}
"""Module and function that give each schema, loaded only when it is asked for."""

SCHEMAS = tuple(SCHEMA_HOMES)


@click.command(
    no_args_is_help=True,
    epilog=examples("estimator schema order", "estimator schema quote > quote.schema.json"),
)
@click.argument("name", type=click.Choice(SCHEMAS), metavar="|".join(SCHEMAS))
def schema(name: str) -> int:
    """Print the JSON Schema of a file or of the JSON output."""
    print_json(schema_of(name), indent=2)
    return DONE


def schema_of(name: str) -> dict[str, Any]:
    """Give a published schema.

    Parameters
    ----------
    name : str
        One of ``SCHEMAS``.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12.
    """
    module, function = SCHEMA_HOMES[name]
    made: dict[str, Any] = getattr(import_module(module), function)()
    return made
