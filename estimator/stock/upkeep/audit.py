"""Do the records agree with themselves: file, references, ledger sums, promises, geometry.

Each finding says what to do about it.
"""

from collections import defaultdict
from collections.abc import Iterator

from shapely import Polygon
from shapely.errors import GEOSException

from estimator.errors import Check, Level
from estimator.stock.leather_lots import polygon_of
from estimator.stock.store.backups import damage
from estimator.stock.store.database import Records
from estimator.stock.store.exact import decimal_of
from estimator.stock.upkeep.judging import unreadable

GRACE_MM = 0.01
GRACE_MM2 = 1.0
RETIRE = "retire the wrong one: estimator hide retire TAG"
RESTORE = "put the last good backup in its place: estimator records restore FILE"


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
        found = [_stop("file", text, RESTORE) for text in damage(records)]
        if found:
            return tuple(found)  # nothing that is said of their contents could be trusted
        found += _ledger(records)
        found += _batches(records)
        found += _promises(records)
        found += _leather_of_jobs(records)
        found += _money_of_leather(records)
        found += _geometry(records)
        if not found:
            found += [_stop("value", text, RESTORE) for text in unreadable(records)]
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
        for what, told in (("held", "on hand"), ("promised", "promised"), ("value", "worth")):
            if row[what] != row[f"sum_{what}"]:
                yield _stop(
                    "ledger-sum",
                    f"{row['name']}: {told} {decimal_of(row[what])}, but the movements add up to "
                    f"{decimal_of(row[f'sum_{what}'])}",
                    f"{RESTORE}; or set it right by a count",
                )


def _batches(records: Records) -> Iterator[Check]:
    """Batches that are not the sum of their movements."""
    for row in records.rows(
        "SELECT batch.number, batch.item, left_millionths, coalesce(total, 0) AS total FROM batch"
        " LEFT JOIN (SELECT batch AS of_batch, sum(on_hand_millionths) AS total FROM movement"
        " WHERE batch IS NOT NULL GROUP BY batch) ON of_batch = batch.number"
        " WHERE left_millionths <> coalesce(total, 0)"
    ):
        yield _stop(
            "batch-sum",
            f"batch {row['number']} of {row['item']} has {decimal_of(row['left_millionths'])} left,"
            f" but its movements add up to {decimal_of(row['total'])}",
            RESTORE,
        )


def _promises(records: Records) -> Iterator[Check]:
    """Materials promised to jobs that are not under way."""
    for row in records.rows(
        "SELECT movement.job, item, sum(promised_millionths) AS total, state FROM movement"
        " LEFT JOIN job ON reference = movement.job WHERE movement.job <> ''"
        " GROUP BY movement.job, item"
        " HAVING total < 0 OR (total > 0 AND coalesce(state, '') NOT IN ('accepted', 'cut'))"
    ):
        stands = row["state"] or "not in the records"
        yield _stop(
            "promise",
            f"{decimal_of(row['total'])} of {row['item']} are promised to job {row['job']}, which "
            f"is {stands}",
            RESTORE,
        )


def _leather_of_jobs(records: Records) -> Iterator[Check]:
    """Leather and jobs that disagree."""
    for row in records.rows(
        "SELECT tag, leather.job, job.state FROM leather LEFT JOIN job ON reference = leather.job"
        " WHERE leather.state = 'promised' AND coalesce(job.state, '') <> 'accepted'"
    ):
        yield _stop(
            "leather-promise",
            f"{row['tag']} is promised to job {row['job']}, which is "
            f"{row['state'] or 'not in the records'}",
            RESTORE,
        )
    for row in records.rows(
        "SELECT planned_leather.job, planned_leather.tag FROM planned_leather"
        " JOIN job ON reference = planned_leather.job AND job.revision = planned_leather.revision"
        " LEFT JOIN leather ON leather.tag = planned_leather.tag"
        " WHERE (job.state = 'accepted' AND (leather.state IS NOT 'promised'"
        " OR leather.job IS NOT reference))"
        " OR (job.state IN ('cut', 'done') AND leather.state IS NOT 'cut')"
    ):
        yield _stop(
            "job-leather",
            f"job {row['job']} counts on {row['tag']}, which is not kept for it",
            f"drop the job and quote it again: estimator job drop {row['job']}",
        )


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
        if row["state"] != "cut" or row["cut_for"] != row["job"]:
            problem = f"job {row['job']} paid for {row['tag']}, which was not cut for it"
        else:
            problem = (
                f"{row['tag']} cost {decimal_of(row['price'])}, but job {row['job']} paid "
                f"{decimal_of(row['paid'])} and its offcuts carry on {decimal_of(row['kept'])}"
            )
        yield _stop("leather-money", problem, RESTORE)


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
            yield _stop("outline", f"the outline of {row['tag']} is none, or changed", RESTORE)
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
            place = f"{row['what']} {row['number']} of {row['leather']}"
            yield _stop(row["what"], f"{place} is not an area, or lies off the leather", RESTORE)
    for parent, tags in children.items():
        if parent in outlines:
            yield from _offcuts(parent, tags, outlines)
            yield from _same_ground(parent, filed[parent], outlines)


def _offcuts(parent: str, tags: list[str], outlines: dict[str, Polygon]) -> Iterator[Check]:
    """Offcuts that are more than their parent was; those mapped by hand have axes of their own."""
    if sum(outlines[tag].area for tag in tags) > outlines[parent].area + GRACE_MM2:
        problem = f"{', '.join(tags)} are more leather than {parent}, which they were left of"
        yield _warning("offcuts-area", problem, RETIRE)


def _same_ground(parent: str, tags: list[str], outlines: dict[str, Polygon]) -> Iterator[Check]:
    """Offcuts filed when their parent was cut, in its axes: out of it, or over each other."""
    ground = outlines[parent].buffer(GRACE_MM)
    for place, tag in enumerate(tags):
        if not ground.covers(outlines[tag]):
            problem = f"{tag} reaches out of {parent}, which it was left of"
            yield _warning("offcut-outside", problem, RETIRE)
        for other in tags[place + 1 :]:
            if outlines[tag].intersection(outlines[other]).area > GRACE_MM2:
                problem = f"{tag} and {other} were the same ground of {parent}"
                yield _warning("offcuts-overlap", problem, RETIRE)


def _outline(wkb: bytes) -> Polygon | None:
    try:
        outline = polygon_of(wkb)
    except (GEOSException, TypeError):
        return None
    return outline if outline.is_valid and not outline.is_empty else None


def _stop(code: str, message: str, remedy: str) -> Check:
    return Check(level=Level.STOP, code=code, message=message, remedy=remedy)


def _warning(code: str, message: str, remedy: str) -> Check:
    return Check(level=Level.WARNING, code=code, message=message, remedy=remedy)
