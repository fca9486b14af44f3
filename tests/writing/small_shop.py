"""A small shop on disk, with everything that the commands which write files need."""

import shutil
from pathlib import Path

DEMO = Path(__file__).parents[2] / "data" / "demo"
ORDER = """
[order]
reference = "2026-030"
customer = "Three Brooks Community Orchard"
prices = "prices.toml"

[[sheath]]
pattern = "strap.toml"
quantity = {quantity}

[[hide]]
map = "bend-3.toml"
"""
STRAP = """
name = "strap"
hand = "right"
thickness = "3-3.5 mm"

[[part]]
name = "strap"
kind = "strap"
outline = [[0, 0], [300, 0], [300, 40], [0, 40]]
finish_edges = "all"

[[seam]]
name = "end"
part = "strap"
path = [[8, 8], [8, 32]]
layers = ["strap", "strap"]
pitch = "4 mm"
glue_width = "8 mm"
backstitches = 0
thread = "waxed thread"
"""
HIDE = """
tag = "bend-3"
thickness = "3-3.5 mm"
outline = [[0, 0], [900, 0], [900, 500], [0, 500]]
price_paid = "60.00"

[[flaw]]
number = 1
state = "proposed"
kind = "stain"
outline = [[0, 0], [900, 0], [900, 20], [0, 20]]
"""


def make_shop(folder: Path) -> Path:
    """Make the shop in a new folder, which it gives."""
    folder.mkdir(parents=True)
    shutil.copy(DEMO / "prices.toml", folder)
    for ending in (".toml", ".svg"):
        shutil.copy(DEMO / "blades" / f"pruning-blade{ending}", folder)
    for name, text in (("strap.toml", STRAP), ("bend-3.toml", HIDE)):
        (folder / name).write_text(text, encoding="utf-8")
    write_order(folder)
    return folder


def write_order(folder: Path, *, quantity: int = 2) -> None:
    """Write the order for so many straps."""
    text = ORDER.format(quantity=quantity)
    (folder / "order.toml").write_text(text, encoding="utf-8")
