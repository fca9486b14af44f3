"""The tables of the records, as steps from each version of them to the next. Forward only.

Figures that end in ``_millionths`` are whole millionths of a unit or of the currency;
outlines are polygons in well-known binary (OGC 06-103r4), mm; days are ISO 8601 dates.
A step is never changed once it was released: a change is a step of its own.
"""

import sqlite3
from collections.abc import Iterator

APPLICATION_ID = 0x53486561
"""Stands in the file's header, so that another program's file is not taken for records."""

LEATHER = """
CREATE TABLE leather (
    tag TEXT PRIMARY KEY CHECK (length(tag) BETWEEN 1 AND 200),
    state TEXT NOT NULL DEFAULT 'rack' CHECK (state IN ('rack', 'promised', 'cut', 'retired')),
    parent TEXT REFERENCES leather (tag),
    outline BLOB NOT NULL,
    area_mm2 REAL NOT NULL CHECK (area_mm2 > 0),
    backbone_deg REAL NOT NULL,
    thickness_min_mm REAL NOT NULL CHECK (thickness_min_mm > 0),
    thickness_max_mm REAL NOT NULL CHECK (thickness_max_mm >= thickness_min_mm),
    tannage TEXT NOT NULL CHECK (tannage IN ('vegetable', 'chrome', 'combination')),
    colour_lot TEXT NOT NULL,
    price_millionths INTEGER NOT NULL CHECK (price_millionths >= 0),
    shipping_millionths INTEGER NOT NULL CHECK (shipping_millionths >= 0),
    stamped_area_mm2 REAL,
    is_offcut INTEGER NOT NULL CHECK (is_offcut IN (0, 1)),
    supplier TEXT NOT NULL,
    place TEXT NOT NULL,
    picture TEXT NOT NULL,
    received_on TEXT NOT NULL CHECK (received_on IS date(received_on)),
    left_on TEXT CHECK (left_on IS date(left_on)),
    job TEXT NOT NULL DEFAULT '',
    note TEXT NOT NULL DEFAULT '',
    CHECK (parent IS NULL OR parent <> tag),
    CHECK ((state IN ('cut', 'retired')) = (left_on IS NOT NULL)),
    CHECK (state <> 'promised' OR job <> '')
) STRICT;
CREATE INDEX leather_by_state ON leather (state, is_offcut, area_mm2);
CREATE INDEX leather_by_parent ON leather (parent);
CREATE INDEX leather_by_job ON leather (job);
CREATE TABLE flaw (
    leather TEXT NOT NULL REFERENCES leather (tag),
    number INTEGER NOT NULL CHECK (number >= 1),
    outline BLOB NOT NULL,
    kind TEXT NOT NULL,
    spoil TEXT NOT NULL CHECK (spoil IN ('unusable', 'weak', 'cosmetic')),
    note TEXT NOT NULL,
    PRIMARY KEY (leather, number)
) STRICT;
CREATE TRIGGER leather_stays BEFORE DELETE ON leather
BEGIN SELECT RAISE (ABORT, 'leather is retired, not deleted'); END;
"""

LEDGER = """
CREATE TABLE item (
    name TEXT PRIMARY KEY CHECK (length(name) BETWEEN 1 AND 200),
    unit TEXT NOT NULL CHECK (unit IN ('mm', 'm', 'dm2', 'g', 'ml', 'piece', 'h')),
    on_hand_millionths INTEGER NOT NULL DEFAULT 0 CHECK (on_hand_millionths >= 0),
    promised_millionths INTEGER NOT NULL DEFAULT 0 CHECK (promised_millionths >= 0),
    value_millionths INTEGER NOT NULL DEFAULT 0 CHECK (value_millionths >= 0)
) STRICT;
CREATE TABLE batch (
    number INTEGER PRIMARY KEY,
    item TEXT NOT NULL REFERENCES item (name),
    received_on TEXT NOT NULL CHECK (received_on IS date(received_on)),
    expires_on TEXT CHECK (expires_on IS date(expires_on)),
    supplier TEXT NOT NULL,
    left_millionths INTEGER NOT NULL DEFAULT 0 CHECK (left_millionths >= 0)
) STRICT;
CREATE INDEX batch_by_item ON batch (item);
CREATE INDEX batch_open ON batch (item, expires_on IS NULL, expires_on, number)
    WHERE left_millionths > 0;
CREATE TABLE movement (
    number INTEGER PRIMARY KEY,
    item TEXT NOT NULL REFERENCES item (name),
    batch INTEGER REFERENCES batch (number),
    kind TEXT NOT NULL CHECK (
        kind IN ('receive', 'reserve', 'release', 'use', 'count', 'waste', 'return')),
    on_hand_millionths INTEGER NOT NULL,
    promised_millionths INTEGER NOT NULL,
    value_millionths INTEGER NOT NULL,
    job TEXT NOT NULL,
    day TEXT NOT NULL CHECK (day IS date(day)),
    note TEXT NOT NULL,
    CHECK ((batch IS NULL) = (on_hand_millionths = 0)),
    CHECK (CASE kind
        WHEN 'receive' THEN on_hand_millionths > 0 AND promised_millionths = 0
        WHEN 'return' THEN on_hand_millionths > 0 AND promised_millionths = 0
        WHEN 'reserve' THEN on_hand_millionths = 0 AND promised_millionths > 0 AND job <> ''
        WHEN 'release' THEN on_hand_millionths = 0 AND promised_millionths < 0 AND job <> ''
        WHEN 'count' THEN promised_millionths = 0
        ELSE on_hand_millionths < 0 AND promised_millionths = 0 END)
) STRICT;
CREATE INDEX movement_by_job ON movement (job, item, promised_millionths) WHERE job <> '';
CREATE INDEX movement_by_item ON movement (item, number);
CREATE INDEX use_by_day ON movement (day, item, on_hand_millionths) WHERE kind IN ('use', 'waste');
CREATE TRIGGER movement_counts AFTER INSERT ON movement
BEGIN
    UPDATE item SET
        on_hand_millionths = on_hand_millionths + NEW.on_hand_millionths,
        promised_millionths = promised_millionths + NEW.promised_millionths,
        value_millionths = value_millionths + NEW.value_millionths
    WHERE name = NEW.item;
    UPDATE batch SET left_millionths = left_millionths + NEW.on_hand_millionths
    WHERE number = NEW.batch;
END;
CREATE TRIGGER movement_is_not_changed BEFORE UPDATE ON movement
BEGIN SELECT RAISE (ABORT, 'the ledger is only added to; a count corrects it'); END;
CREATE TRIGGER movement_is_not_deleted BEFORE DELETE ON movement
BEGIN SELECT RAISE (ABORT, 'the ledger is only added to; a count corrects it'); END;
"""

JOBS = """
CREATE TABLE job (
    reference TEXT PRIMARY KEY CHECK (length(reference) BETWEEN 1 AND 200),
    customer TEXT NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('quoted', 'accepted', 'cut', 'done', 'dropped')),
    revision INTEGER NOT NULL,
    accepted_on TEXT CHECK (accepted_on IS date(accepted_on)),
    cut_on TEXT CHECK (cut_on IS date(cut_on)),
    ended_on TEXT CHECK (ended_on IS date(ended_on)),
    note TEXT NOT NULL DEFAULT '',
    CHECK ((state IN ('done', 'dropped')) = (ended_on IS NOT NULL)),
    CHECK (state NOT IN ('accepted', 'cut', 'done') OR accepted_on IS NOT NULL),
    CHECK (state NOT IN ('cut', 'done') OR cut_on IS NOT NULL)
) STRICT;
CREATE INDEX job_by_state ON job (state);
CREATE TABLE revision (
    job TEXT NOT NULL REFERENCES job (reference) DEFERRABLE INITIALLY DEFERRED,
    number INTEGER NOT NULL CHECK (number >= 1),
    day TEXT NOT NULL CHECK (day IS date(day)),
    currency TEXT NOT NULL,
    net_millionths INTEGER NOT NULL,
    gross_millionths INTEGER NOT NULL,
    promise_on TEXT NOT NULL CHECK (promise_on IS date(promise_on)),
    due_on TEXT CHECK (due_on IS date(due_on)),
    stops INTEGER NOT NULL CHECK (stops >= 0),
    document TEXT NOT NULL CHECK (json_valid(document)),
    PRIMARY KEY (job, number)
) STRICT;
CREATE TABLE planned_item (
    job TEXT NOT NULL,
    revision INTEGER NOT NULL,
    item TEXT NOT NULL,
    unit TEXT NOT NULL,
    is_material INTEGER NOT NULL CHECK (is_material IN (0, 1)),
    quantity_millionths INTEGER NOT NULL CHECK (quantity_millionths >= 0),
    low_millionths INTEGER NOT NULL,
    high_millionths INTEGER NOT NULL,
    learned_factor REAL NOT NULL CHECK (learned_factor > 0),
    PRIMARY KEY (job, revision, item),
    FOREIGN KEY (job, revision) REFERENCES revision (job, number)
) STRICT;
CREATE TABLE planned_leather (
    job TEXT NOT NULL,
    revision INTEGER NOT NULL,
    tag TEXT NOT NULL,
    consumed_mm2 REAL NOT NULL CHECK (consumed_mm2 >= 0),
    PRIMARY KEY (job, revision, tag),
    FOREIGN KEY (job, revision) REFERENCES revision (job, number)
) STRICT;
CREATE TABLE planned_offcut (
    job TEXT NOT NULL,
    revision INTEGER NOT NULL,
    tag TEXT NOT NULL,
    number INTEGER NOT NULL CHECK (number >= 1),
    outline BLOB NOT NULL,
    PRIMARY KEY (job, revision, tag, number),
    FOREIGN KEY (job, revision, tag) REFERENCES planned_leather (job, revision, tag)
) STRICT;
CREATE TABLE actual (
    number INTEGER PRIMARY KEY,
    job TEXT NOT NULL REFERENCES job (reference),
    item TEXT NOT NULL,
    unit TEXT NOT NULL,
    quantity_millionths INTEGER NOT NULL CHECK (quantity_millionths >= 0),
    day TEXT NOT NULL CHECK (day IS date(day)),
    note TEXT NOT NULL
) STRICT;
CREATE INDEX actual_by_job ON actual (job, item, number);
CREATE TRIGGER revision_is_not_changed BEFORE UPDATE ON revision
BEGIN SELECT RAISE (ABORT, 'a revision stays as it was quoted'); END;
CREATE TRIGGER revision_is_not_deleted BEFORE DELETE ON revision
BEGIN SELECT RAISE (ABORT, 'a revision stays as it was quoted'); END;
"""

PHOTOGRAPHS = """
CREATE TABLE photograph (
    leather TEXT PRIMARY KEY REFERENCES leather (tag),
    file TEXT NOT NULL CHECK (file <> ''),
    mm_per_px REAL NOT NULL CHECK (mm_per_px > 0),
    left_mm REAL NOT NULL,
    bottom_mm REAL NOT NULL,
    error_mm REAL NOT NULL CHECK (error_mm >= 0)
) STRICT;
CREATE TABLE proposal (
    leather TEXT NOT NULL,
    number INTEGER NOT NULL,
    state TEXT NOT NULL CHECK (state IN ('proposed', 'confirmed')),
    confidence REAL CHECK (confidence BETWEEN 0 AND 1),
    shown_as INTEGER NOT NULL CHECK (shown_as >= 0),
    PRIMARY KEY (leather, number),
    FOREIGN KEY (leather, number) REFERENCES flaw (leather, number)
) STRICT;
"""

MONEY = """
ALTER TABLE planned_offcut ADD COLUMN share REAL CHECK (share BETWEEN 0 AND 1);
CREATE TABLE charge (
    leather TEXT PRIMARY KEY REFERENCES leather (tag),
    job TEXT NOT NULL,
    amount_millionths INTEGER NOT NULL CHECK (amount_millionths >= 0)
) STRICT;
CREATE INDEX charge_by_job ON charge (job);
CREATE TRIGGER charge_is_not_changed BEFORE UPDATE ON charge
BEGIN SELECT RAISE (ABORT, 'a charge stays as it was booked'); END;
CREATE TRIGGER charge_is_not_deleted BEFORE DELETE ON charge
BEGIN SELECT RAISE (ABORT, 'a charge stays as it was booked'); END;
CREATE TABLE zone (
    leather TEXT NOT NULL REFERENCES leather (tag),
    number INTEGER NOT NULL CHECK (number >= 1),
    outline BLOB NOT NULL,
    name TEXT NOT NULL,
    share REAL NOT NULL CHECK (share BETWEEN 0 AND 1),
    PRIMARY KEY (leather, number)
) STRICT;
"""

STEPS: tuple[str, ...] = (LEATHER, LEDGER, JOBS, PHOTOGRAPHS, MONEY)
"""Step ``k`` leads from version ``k`` to ``k + 1``."""


def statements(script: str) -> Iterator[str]:
    """Split a script into its statements; triggers hold semicolons of their own.

    Parameters
    ----------
    script : str
        SQL.

    Yields
    ------
    str
        One complete statement after the other.

    Examples
    --------
    >>> list(statements("SELECT 1; SELECT ';';"))
    ['SELECT 1;', "SELECT ';';"]
    """
    statement = ""
    for piece in script.split(";"):
        statement += piece + ";"
        if sqlite3.complete_statement(statement):
            if statement.strip(" \n;"):
                yield statement.strip()
            statement = ""
