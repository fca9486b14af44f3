"""Tables of the accuracy of photographs."""

from collections.abc import Callable, Iterable
from operator import itemgetter
from typing import Any

import numpy as np

Row = dict[str, Any]

GROUPS = ("dark", "faint", "bleached", "hole")


def hide_tables(rows: list[Row]) -> list[str]:
    """Give the tables of hides as lines of Markdown."""
    good = [row for row in rows if row["group"] == "hides"]
    bad = [row for row in rows if row["group"] == "bad"]
    lines: list[str] = []
    if good:
        lines += ["", "Outline, by condition", "", *_outline_table(good)]
        lines += ["", "View, by condition", "", *_view_table(good)]
        lines += ["", "Outline, by distance from the sheet", "", *_ring_table(good)]
        lines += ["", "Flaws", "", *_flaw_table(good)]
    if bad:
        lines += ["", "To be refused", "", *_bad_table(bad)]
    return lines


def joined_tables(rows: list[Row]) -> list[str]:
    """Give the table of joined photographs as lines of Markdown."""
    joined = [row for row in rows if row["group"] == "joined"]
    if not joined:
        return []
    heads = ("hides", "joined", "refused", "worst median mm", "worst 95 % mm", "most mm",
             "expected mm, median", "s, most", "MB, most")  # fmt: skip
    body = []
    for name, group in _by(joined):
        found = [row for row in group if row["outcome"] == "found"]
        expected = [row["expected_mm"] for row in found]
        body.append(
            [
                name,
                str(len(found)),
                str(len(group) - len(found)),
                *(f"{_most(found, itemgetter(key)):.2f}" for key in
                  ("median_mm", "p95_mm", "most_mm")),
                f"{np.median(expected):.2f}" if expected else "-",
                f"{_most(group, lambda r: r['seconds']):.1f}",
                f"{_most(group, lambda r: r['peak_mb']):.0f}",
            ]
        )  # fmt: skip
    return [
        "",
        "Three overlapping photographs of a hide of 2 m, its edge",
        "",
        *_table(heads, body),
    ]


def blade_tables(rows: list[Row]) -> list[str]:
    """Give the tables of blades as lines of Markdown."""
    good = [row for row in rows if row["group"] == "blades"]
    bad = [row for row in rows if row["group"] == "bad-blades"]
    lines: list[str] = []
    if good:
        lines += ["", "Blades", "", *_blade_table(good)]
    if bad:
        lines += ["", "Blades to be refused", "", *_bad_table(bad)]
    return lines


def _by(rows: list[Row]) -> list[tuple[str, list[Row]]]:
    names = list(dict.fromkeys(row["condition"] for row in rows))
    each = [(name, [row for row in rows if row["condition"] == name]) for name in names]
    return [*each, ("all", rows)] if len(each) > 1 else each


def _table(heads: Iterable[str], body: Iterable[Iterable[str]]) -> list[str]:
    heads = list(heads)
    rule = "|".join(["---"] * len(heads))
    return [f"| {' | '.join(heads)} |", f"|{rule}|", *(f"| {' | '.join(r)} |" for r in body)]


def _share(value: float) -> str:
    return f"{100 * value:.2f} %"


def _pooled(rows: list[Row], percent: float, key: str = "errors_mm") -> str:
    values = np.concatenate([row[key] for row in rows]) if rows else np.array([])
    return f"{np.percentile(values, percent):.2f}" if len(values) else "-"


def _most(rows: list[Row], value: Callable[[Row], float]) -> float:
    return max((value(row) for row in rows), default=0.0)


def _outline_table(rows: list[Row]) -> list[str]:
    heads = ("condition", "found", "refused", "gross", "median mm", "95 % mm", "worst scene 95 %",
             "most mm", "area, mean of sizes", "area, worst", "s, most", "MB, most")  # fmt: skip
    body = []
    for name, group in _by(rows):
        found = [row for row in group if row["outcome"] == "found"]
        areas = [abs(row["area_share"]) for row in found]
        body.append(
            [
                name,
                str(len(found)),
                str(len(group) - len(found)),
                str(sum(row["gross"] for row in found)),
                _pooled(found, 50),
                _pooled(found, 95),
                f"{_most(found, lambda r: r['p95_mm']):.2f}",
                f"{_most(found, lambda r: r['most_mm']):.1f}",
                _share(float(np.mean(areas))) if areas else "-",
                _share(max(areas)) if areas else "-",
                f"{_most(group, lambda r: r['seconds']):.1f}",
                f"{_most(group, lambda r: r['peak_mb']):.0f}",
            ]
        )
    return _table(heads, body)


def _view_table(rows: list[Row]) -> list[str]:
    heads = ("condition", "true error 95 %, median scene", "worst scene", "expected, median scene",
             "places within expected", "k1 off, most")  # fmt: skip
    body = []
    for name, group in _by(rows):
        seen = [row for row in group if "view_p95_mm" in row and row["outcome"] == "found"]
        if not seen:
            continue
        body.append(
            [
                name,
                f"{np.median([row['view_p95_mm'] for row in seen]):.2f}",
                f"{_most(seen, lambda r: r['view_p95_mm']):.2f}",
                f"{np.median([row['view_expected_mm'] for row in seen]):.2f}",
                _share(float(np.mean([row["view_within_share"] for row in seen]))),
                f"{_most(seen, lambda r: abs(r['k1_found'] - r['k1_true'])):.3f}",
            ]
        )
    return _table(heads, body)


def _ring_table(rows: list[Row]) -> list[str]:
    heads = ("hides", "from mm", "median mm", "95 % mm", "most mm")
    body = []
    kinds = {
        "1.1 m": [r for r in rows if not r["condition"].startswith("2 m")],
        "2 m, one page": [r for r in rows if r["condition"].startswith("2 m, ")
                          and "three" not in r["condition"]],
        "2 m, three pages": [r for r in rows if "three" in r["condition"]],
    }  # fmt: skip
    for kind, group in kinds.items():
        found = [row["by_ring"] for row in group if row["outcome"] == "found"]
        for ring in sorted({key for row in found for key in row}, key=int):
            errors = np.concatenate([row[ring] for row in found if ring in row])
            half, most = np.percentile(errors, 50), np.percentile(errors, 95)
            body.append([kind, ring, f"{half:.2f}", f"{most:.2f}", f"{errors.max():.1f}"])
    return _table(heads, body)


def _flaw_table(rows: list[Row]) -> list[str]:
    heads = ("proposals", "photos", *GROUPS, "false alarms", "median overlap")
    body = []
    found = [row for row in rows if row["outcome"] == "found" and not row["gross"]]
    for name, key in (
        ("as written to the map", "flaws"),
        ("confidence 0.5 and more", "sure_flaws"),
    ):
        told = []
        for group in GROUPS:
            there = sum(row[key]["there"].get(group, 0) for row in found)
            seen = sum(row[key]["found"].get(group, 0) for row in found)
            told.append(f"{seen} of {there}")
        overlaps = [o for row in found for o in row[key]["overlaps"]]
        false = sum(row[key]["false"] for row in found)
        half = f"{np.median(overlaps):.2f}" if overlaps else "-"
        body.append([name, str(len(found)), *told, str(false), half])
    return _table(heads, body)


def _bad_table(rows: list[Row]) -> list[str]:
    heads = ("scene", "refused", "returned", "of these gross", "by", "worst returned")
    body = []
    for name, group in _by(rows):
        refused = [row for row in group if row["outcome"] == "refused"]
        rest = [row for row in group if row["outcome"] == "found"]
        steps = ", ".join(sorted({row["step"] for row in refused})) or "-"
        worst = "-"
        if rest and "p95_mm" in rest[0]:
            top = max(rest, key=lambda row: row["p95_mm"])
            worst = f"95 % {top['p95_mm']:.1f} mm, area {_share(top['area_share'])}"
        elif rest:
            top = max(rest, key=lambda row: abs(row["length_off_mm"]))
            worst = f"length {top['length_off_mm']:+.2f} mm"
        gross = sum(row.get("gross", False) for row in rest)
        body.append([name, str(len(refused)), str(len(rest)), str(gross), steps, worst])
    return _table(heads, body)


def _blade_table(rows: list[Row]) -> list[str]:
    heads = ("condition", "found", "refused", "length off, median mm", "most",
             "handle to tip off, most", "width off, 95 % mm", "most", "outline 95 % mm",
             "expected mm, median", "s, most", "MB, most")  # fmt: skip
    body = []
    for name, group in _by(rows):
        found = [row for row in group if row["outcome"] == "found"]
        if not found:
            body.append([name, "0", str(len(group)), *["-"] * 9])
            continue
        body.append(
            [
                name,
                str(len(found)),
                str(len(group) - len(found)),
                f"{np.median([abs(row['length_off_mm']) for row in found]):.2f}",
                f"{_most(found, lambda r: abs(r['length_off_mm'])):.2f}",
                f"{_most(found, lambda r: abs(r['blade_off_mm'])):.2f}",
                f"{np.percentile(np.concatenate([row['widths_off_mm'] for row in found]), 95):.2f}",
                f"{_most(found, lambda r: max(r['widths_off_mm'])):.2f}",
                f"{_most(found, lambda r: r['p95_mm']):.2f}",
                f"{np.median([row['expected_mm'] for row in found]):.2f}",
                f"{_most(group, lambda r: r['seconds']):.1f}",
                f"{_most(group, lambda r: r['peak_mb']):.0f}",
            ]
        )
    return _table(heads, body)
