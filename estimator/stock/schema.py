"""The tables of the records, as steps from each version of them to the next. Forward only.

Figures that end in ``_millionths`` are whole millionths of a unit or of the currency;
outlines are polygons in well-known binary (OGC 06-103r4), mm; days are ISO 8601 dates.
A step is never changed once it was released: a change is a step of its own.
"""

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

STEPS: tuple[str, ...] = (LEATHER,)
"""Step ``k`` leads from version ``k`` to ``k + 1``."""
