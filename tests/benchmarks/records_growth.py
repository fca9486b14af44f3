"""How a long history slows the commands on records: time with it over time without.

Two shops with the same price book, the same items and an order on one lot: one with an
empty history, one with years of movements, lots and finished jobs. Each command runs in
a process of its own, the shops in turn; the figures are medians. Prints one JSON line.
"""

import argparse
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[2]))

from shapely import box

from estimator.costing.price_book.reader import read_price_book
from estimator.stock.leather.lots import LeatherLot
from estimator.stock.leather.rack import add_leather
from estimator.stock.ledger import receive, take
from estimator.stock.shelf import Kind
from estimator.stock.store.database import Records, atomic, open_records
from tests.cli.test_records_jobs import HIDE, ORDER, STRAP
from tests.shop import hide

ROOT = Path(__file__).parents[2]
TODAY = date(2026, 11, 25)
COMMANDS = {
    "stock list": ("stock", "list"),
    "reorder": ("reorder", "--on", TODAY.isoformat()),
    "hide list": ("hide", "list"),
    "job list": ("job", "list"),
    "job quote": ("job", "quote", "order.toml", "--effort", "quick", "--quiet", "--force"),
}


def main() -> None:
    """Build both shops and time the commands in each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--movements", type=int, default=200_000)
    parser.add_argument("--lots", type=int, default=2_000)
    parser.add_argument("--runs", type=int, default=5)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        shops = {name: _shop(Path(folder) / name) for name in ("empty", "grown")}
        begun = time.monotonic()
        with open_records(shops["grown"] / "records.sqlite") as records:
            grow(records, movements=options.movements, lots=options.lots)
        told: dict[str, object] = {
            "movements": options.movements,
            "lots": options.lots,
            "built_in_s": round(time.monotonic() - begun, 1),
            "file_mb": round((shops["grown"] / "records.sqlite").stat().st_size / 1e6, 1),
        }
        for name, words in COMMANDS.items():
            times: dict[str, list[float]] = {shop: [] for shop in shops}
            for _ in range(options.runs):
                for shop, where in shops.items():
                    times[shop].append(_timed(where, words))
            empty, grown = (statistics.median(times[shop]) for shop in ("empty", "grown"))
            told[name] = {
                "empty_s": round(empty, 3),
                "grown_s": round(grown, 3),
                "ratio": round(grown / empty, 2),
            }
        told |= {f"open_{shop}_ms": _opening_ms(where) for shop, where in shops.items()}
    print(json.dumps(told))


def grow(records: Records, *, movements: int, lots: int) -> None:
    """Five years of receiving and using, and of hides cut into offcuts that were used up."""
    random, first = Random(1), TODAY - timedelta(days=5 * 365)
    items = records.rows("SELECT name, unit FROM item")
    with atomic(records):
        for number in range(lots):
            lot = hide(
                f"lot-{number}", box(0, 0, 300 + number % 50, 400), is_offcut=bool(number % 4)
            )
            day = first + timedelta(days=number % 1800)
            add_leather(records, [LeatherLot(hide=lot, received_on=day)])
        records.run(
            "UPDATE leather SET state = 'cut', left_on = '2026-11-01' WHERE tag LIKE 'lot-%'"
            " AND rowid % 10 <> 0"
        )
    done = records.rows("SELECT count(*) FROM movement")[0][0]
    with atomic(records):
        while done < movements:
            item = items[done % len(items)]
            day = first + timedelta(days=int(done / movements * 5 * 365))
            if done % 40 < len(items):
                amount = Decimal(random.randint(400, 900))
                receive(records, item["name"], amount, item["unit"], cost=amount / 10, on=day)
            else:
                amount = Decimal(random.randint(1, 900)) / 100
                take(records, item["name"], amount, Kind.USE, on=day, job=f"job {done // 9}")
            done += 1


def _shop(folder: Path) -> Path:
    """A shop with a price book, every item on the shelf, an order, and a lot for it."""
    folder.mkdir()
    shutil.copy(ROOT / "data" / "demo" / "prices.toml", folder)
    for name, text in (("strap.toml", STRAP), ("bend-3.toml", HIDE)):
        (folder / name).write_text(text, encoding="utf-8")
    (folder / "order.toml").write_text(ORDER.format(tag="bend-3"), encoding="utf-8")
    _timed(folder, ("hide", "add", "bend-3.toml"))
    book = read_price_book(folder / "prices.toml")
    with open_records(folder / "records.sqlite") as records:
        for rate in book.prices.rates:
            receive(records, rate.item, Decimal(900), rate.unit, cost=Decimal(50), on=TODAY)
    return folder


def _timed(folder: Path, words: tuple[str, ...]) -> float:
    begun = time.monotonic()
    subprocess.run(
        [sys.executable, "-m", "estimator", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(ROOT), "ESTIMATOR_RECORDS": ""},
        stdout=subprocess.DEVNULL,
        check=True,
    )
    return time.monotonic() - begun


def _opening_ms(folder: Path) -> float:
    """Median time to open the records and read one balance."""
    times = []
    for _ in range(20):
        begun = time.perf_counter()
        with open_records(folder / "records.sqlite") as records:
            records.row("SELECT * FROM item LIMIT 1")
        times.append((time.perf_counter() - begun) * 1000)
    return round(statistics.median(times), 2)


if __name__ == "__main__":
    main()
