-- +goose Up
CREATE TABLE revision (n INTEGER NOT NULL);
INSERT INTO revision (n) VALUES (0);

-- The book: one row an entry, its body as JSON; NULL where it was removed.
CREATE TABLE entries (
	kind       TEXT    NOT NULL,
	key        TEXT    NOT NULL,
	version    INTEGER NOT NULL,
	body       TEXT,
	asleep     INTEGER NOT NULL DEFAULT 0,
	revision   INTEGER NOT NULL,
	changed_at TEXT    NOT NULL,
	changed_by TEXT    NOT NULL,
	PRIMARY KEY (kind, key)
);
CREATE INDEX entries_revision ON entries (revision);

CREATE TABLE history (
	seq     INTEGER PRIMARY KEY AUTOINCREMENT,
	kind    TEXT    NOT NULL,
	key     TEXT    NOT NULL,
	version INTEGER NOT NULL,
	at      TEXT    NOT NULL,
	who     TEXT    NOT NULL,
	why     TEXT    NOT NULL,
	before  TEXT,
	after   TEXT
);
CREATE INDEX history_entry ON history (kind, key, version);

CREATE TABLE staged (
	id           INTEGER PRIMARY KEY AUTOINCREMENT,
	name         TEXT NOT NULL,
	at           TEXT NOT NULL,
	who          TEXT NOT NULL,
	body         BLOB NOT NULL,
	confirmed_at TEXT,
	confirmed_by TEXT
);

-- Plans: immutable once ended.
CREATE TABLE plans (
	number   INTEGER PRIMARY KEY AUTOINCREMENT,
	state    TEXT NOT NULL,
	started  TEXT NOT NULL,
	ended    TEXT,
	who      TEXT NOT NULL,
	head     TEXT NOT NULL,
	body     BLOB
);

CREATE TABLE plan_in_force (
	seq  INTEGER PRIMARY KEY AUTOINCREMENT,
	area TEXT    NOT NULL,
	plan INTEGER NOT NULL REFERENCES plans (number),
	at   TEXT    NOT NULL,
	who  TEXT    NOT NULL
);
CREATE INDEX plan_in_force_area ON plan_in_force (area, seq);

-- The ledger: facts are added, never changed.
CREATE TABLE facts (
	seq         INTEGER PRIMARY KEY AUTOINCREMENT,
	id          TEXT    NOT NULL UNIQUE,
	at          TEXT    NOT NULL,
	kind        TEXT    NOT NULL,
	release     TEXT    NOT NULL,
	plan        INTEGER NOT NULL,
	run         INTEGER NOT NULL,
	machine     TEXT    NOT NULL,
	corrects    TEXT    NOT NULL,
	body        TEXT    NOT NULL,
	revision    INTEGER NOT NULL,
	recorded_at TEXT    NOT NULL
);
CREATE INDEX facts_at ON facts (at);
CREATE INDEX facts_release ON facts (release) WHERE release <> '';
CREATE INDEX facts_corrects ON facts (corrects) WHERE corrects <> '';
CREATE INDEX facts_revision ON facts (revision);
CREATE INDEX facts_holds ON facts (kind) WHERE kind IN ('held', 'released from hold');

-- +goose StatementBegin
CREATE TRIGGER history_keeps BEFORE UPDATE ON history
BEGIN SELECT RAISE(ABORT, 'history is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER history_stays BEFORE DELETE ON history
BEGIN SELECT RAISE(ABORT, 'history is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER entries_stay BEFORE DELETE ON entries
BEGIN SELECT RAISE(ABORT, 'an entry is removed by an empty body, never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER plans_keep BEFORE UPDATE ON plans
WHEN OLD.state IN ('ready', 'cancelled', 'failed')
BEGIN SELECT RAISE(ABORT, 'a plan that has ended is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER plans_stay BEFORE DELETE ON plans
BEGIN SELECT RAISE(ABORT, 'a plan is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER plan_in_force_keeps BEFORE UPDATE ON plan_in_force
BEGIN SELECT RAISE(ABORT, 'what was in force is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER plan_in_force_stays BEFORE DELETE ON plan_in_force
BEGIN SELECT RAISE(ABORT, 'what was in force is never deleted'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER facts_keep BEFORE UPDATE ON facts
BEGIN SELECT RAISE(ABORT, 'a fact is never changed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER facts_stay BEFORE DELETE ON facts
BEGIN SELECT RAISE(ABORT, 'a fact is never deleted'); END;
-- +goose StatementEnd

-- +goose Down
DROP TABLE facts;
DROP TABLE plan_in_force;
DROP TABLE plans;
DROP TABLE staged;
DROP TABLE history;
DROP TABLE entries;
DROP TABLE revision;
