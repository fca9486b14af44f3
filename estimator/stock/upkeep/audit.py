"""Do the records agree with themselves: file, references, ledger sums, promises, geometry.

Each finding says what to do about it.
"""

from collections import defaultdict
from collections.abc import Iterator

from shapely import Polygon
from shapely.errors import GEOSException

from estimator.errors import Check, Level, finding
from estimator.stock.leather.lots import polygon_of
from estimator.stock.store.backups import damage
from estimator.stock.store.database import Records
from estimator.stock.store.exact import decimal_of
from estimator.stock.upkeep.judging import unreadable

GRACE_MM = 0.01
GRACE_MM2 = 1.0


def audit(records: Records) -> tuple[Check, ...]:
    """Look for anything in the records that contradicts itself.

    Parameters
    ----------
    records : Records
        Open; nothing is changed.

    Returns
    -------
    tuple of Check
        Empty if all is well.
    """
    is_alone = not records.connection.in_transaction
    if is_alone:
        records.connection.execute("BEGIN")  # all looks see the same moment
    try:
        found = [finding(Level.STOP, "file", problem=text) for text in damage(records)]
        if found:
            return tuple(found)  # nothing that is said of their contents could be trusted
        found += _ledger(records)
        found += _batches(records)
        found += _promises(records)
        found += _leather_of_jobs(records)
        found += _money_of_leather(records)
        found += _geometry(records)
        if not found:
            found += [finding(Level.STOP, "value", problem=text) for text in unreadable(records)]
    finally:
        if is_alone:
            records.connection.execute("ROLLBACK")
    return tuple(found)


def _ledger(records: Records) -> Iterator[Check]:
    """Balances that are not the sum of their movements."""
    for row in records.rows(
        "SELECT name, unit, on_hand_millionths AS held, promised_millionths AS promised,"
        " value_millionths AS value, coalesce(sum_held, 0) AS sum_held,"
        " coalesce(sum_promised, 0) AS sum_promised, coalesce(sum_value, 0) AS sum_value"
        " FROM item LEFT JOIN (SELECT item, sum(on_hand_millionths) AS sum_held,"
        " sum(promised_millionths) AS sum_promised, sum(value_millionths) AS sum_value"
        " FROM movement GROUP BY item) ON item = name"
    ):
        for what in ("held", "promised", "value"):
            if row[what] != row[f"sum_{what}"]:
                yield finding(
                    Level.STOP,
                    "ledger-sum",
                    item=row["name"],
                    what=what,
                    balance=decimal_of(row[what]),
                    movements=decimal_of(row[f"sum_{what}"]),
                )


def _batches(records: Records) -> Iterator[Check]:
    """Batches that are not the sum of their movements."""
    for row in records.rows(
        "SELECT batch.number, batch.item, left_millionths, coalesce(total, 0) AS total FROM batch"
        " LEFT JOIN (SELECT batch AS of_batch, sum(on_hand_millionths) AS total FROM movement"
        " WHERE batch IS NOT NULL GROUP BY batch) ON of_batch = batch.number"
        " WHERE left_millionths <> coalesce(total, 0)"
    ):
        yield finding(
            Level.STOP,
            "batch-sum",
            batch=row["number"],
            item=row["item"],
            balance=decimal_of(row["left_millionths"]),
            movements=decimal_of(row["total"]),
        )


def _promises(records: Records) -> Iterator[Check]:
    """Materials promised to jobs that are not under way."""
    for row in records.rows(
        "SELECT movement.job, item, sum(promised_millionths) AS total, state FROM movement"
        " LEFT JOIN job ON reference = movement.job WHERE movement.job <> ''"
        " GROUP BY movement.job, item"
        " HAVING total < 0 OR (total > 0 AND coalesce(state, '') NOT IN ('accepted', 'cut'))"
    ):
        yield finding(
            Level.STOP,
            "promise",
            amount=decimal_of(row["total"]),
            item=row["item"],
            job=row["job"],
            state=row["state"] or "unknown",
        )


def _leather_of_jobs(records: Records) -> Iterator[Check]:
    for row in records.rows(
        "SELECT tag, leather.job, job.state FROM leather LEFT JOIN job ON reference = leather.job"
        " WHERE leather.state = 'promised' AND coalesce(job.state, '') <> 'accepted'"
    ):
        yield finding(
            Level.STOP,
            "leather-promise",
            hide=row["tag"],
            job=row["job"],
            state=row["state"] or "unknown",
        )
    for row in records.rows(
        "SELECT planned_leather.job, planned_leather.tag FROM planned_leather"
        " JOIN job ON reference = planned_leather.job AND job.revision = planned_leather.revision"
        " LEFT JOIN leather ON leather.tag = planned_leather.tag"
        " WHERE (job.state = 'accepted' AND (leather.state IS NOT 'promised'"
        " OR leather.job IS NOT reference))"
        " OR (job.state IN ('cut', 'done') AND leather.state IS NOT 'cut')"
    ):
        yield finding(Level.STOP, "job-leather", job=row["job"], hide=row["tag"])


def _money_of_leather(records: Records) -> Iterator[Check]:
    """Lots whose price is not what their job paid and their offcuts carried on, to the coin."""
    for row in records.rows(
        "SELECT charge.leather AS tag, charge.job, amount_millionths AS paid, lot.state,"
        " lot.job AS cut_for, lot.price_millionths AS price,"
        " (SELECT coalesce(sum(price_millionths), 0) FROM leather WHERE parent = lot.tag) AS kept"
        " FROM charge JOIN leather AS lot ON lot.tag = charge.leather"
        " WHERE price <> paid + kept OR lot.state <> 'cut' OR lot.job <> charge.job"
        " ORDER BY charge.leather"
    ):
        yield finding(
            Level.STOP,
            "leather-money",
            hide=row["tag"],
            job=row["job"],
            was_cut=row["state"] == "cut" and row["cut_for"] == row["job"],
            price=decimal_of(row["price"]),
            paid=decimal_of(row["paid"]),
            kept=decimal_of(row["kept"]),
        )


def _geometry(records: Records) -> Iterator[Check]:
    """Outlines that are none, and offcuts that cannot come from their parent."""
    outlines: dict[str, Polygon] = {}
    children: dict[str, list[str]] = defaultdict(list)
    filed: dict[str, list[str]] = defaultdict(list)
    for row in records.rows(
        "SELECT tag, parent, outline, area_mm2, EXISTS (SELECT 1 FROM planned_offcut AS planned"
        " WHERE planned.tag = parent AND planned.outline = leather.outline) AS is_filed"
        " FROM leather ORDER BY tag"
    ):
        outline = _outline(row["outline"])
        if outline is None or abs(outline.area - row["area_mm2"]) > GRACE_MM2:
            yield finding(Level.STOP, "outline", hide=row["tag"])
            continue
        outlines[row["tag"]] = outline
        if row["parent"]:
            children[row["parent"]].append(row["tag"])
        if row["is_filed"]:
            filed[row["parent"]].append(row["tag"])
    for row in records.rows(
        "SELECT 'flaw' AS what, leather, number, outline FROM flaw"
        " UNION ALL SELECT 'zone', leather, number, outline FROM zone"
    ):
        area, ground = _outline(row["outline"]), outlines.get(row["leather"])
        if area is None or (ground is not None and not area.intersects(ground)):
            number, hide = row["number"], row["leather"]
            if row["what"] == "flaw":
                yield finding(Level.STOP, "flaw", number=number, hide=hide)
            else:
                yield finding(Level.STOP, "zone", number=number, hide=hide)
    for parent, tags in children.items():
        if parent in outlines:
            yield from _offcuts(parent, tags, outlines)
            yield from _same_ground(parent, filed[parent], outlines)


def _offcuts(parent: str, tags: list[str], outlines: dict[str, Polygon]) -> Iterator[Check]:
    """Offcuts that are more than their parent was; those mapped by hand have axes of their own."""
    if sum(outlines[tag].area for tag in tags) > outlines[parent].area + GRACE_MM2:
        yield finding(Level.WARNING, "offcuts-area", offcuts=tuple(tags), hide=parent)


def _same_ground(parent: str, tags: list[str], outlines: dict[str, Polygon]) -> Iterator[Check]:
    """Offcuts filed when their parent was cut, in its axes: out of it, or over each other."""
    ground = outlines[parent].buffer(GRACE_MM)
    for place, tag in enumerate(tags):
        if not ground.covers(outlines[tag]):
            yield finding(Level.WARNING, "offcut-outside", offcut=tag, hide=parent)
        for other in tags[place + 1 :]:
            if outlines[tag].intersection(outlines[other]).area > GRACE_MM2:
                yield finding(
                    Level.WARNING, "offcuts-overlap", offcut=tag, other=other, hide=parent
                )


def _outline(wkb: bytes) -> Polygon | None:
    try:
        outline = polygon_of(wkb)
    except (GEOSException, TypeError):
        return None
    return outline if outline.is_valid and not outline.is_empty else None
