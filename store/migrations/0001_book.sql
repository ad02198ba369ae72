-- What the file is: the schema's own mark and a few counters.
CREATE TABLE meta (
	key      TEXT NOT NULL PRIMARY KEY,
	value    TEXT NOT NULL,
	checksum BLOB NOT NULL
) STRICT, WITHOUT ROWID;

-- The migrations that made this schema, each with the hash of its text.
CREATE TABLE migrations (
	number   INTEGER PRIMARY KEY,
	name     TEXT NOT NULL,
	hash     BLOB NOT NULL,
	applied  INTEGER NOT NULL, -- seconds since 1970-01-01 UTC
	checksum BLOB NOT NULL
) STRICT;

-- The ledger: append-only. A row is never changed, by no migration either.
CREATE TABLE ledger (
	seq  INTEGER PRIMARY KEY,
	body BLOB NOT NULL, -- canonical bytes of the entry, without its texts
	hash BLOB NOT NULL  -- over the domain, seq, the hash before, body
) STRICT;

-- The words of an entry. The body holds SHA-256(salt, text). Both are null
-- once the text was erased.
CREATE TABLE texts (
	seq   INTEGER NOT NULL REFERENCES ledger (seq),
	field TEXT NOT NULL, -- raw, words, name, reason
	salt  BLOB,
	text  TEXT,
	PRIMARY KEY (seq, field)
) STRICT, WITHOUT ROWID;

-- Projection: which entries are about which machine, and what later entries
-- made of them. Machine 0 is the shop alone.
CREATE TABLE lines (
	machine      INTEGER NOT NULL,
	seq          INTEGER NOT NULL,
	kind         TEXT NOT NULL,
	day          INTEGER NOT NULL, -- days since 1970-01-01, the shop's calendar; 0 not known
	at           INTEGER NOT NULL, -- seconds since 1970-01-01 UTC; 0 not known
	hours_tenths INTEGER,          -- as the meter shows
	jobs         TEXT NOT NULL,
	finding      TEXT NOT NULL,
	shop         INTEGER NOT NULL, -- 1: changes how the whole shop looks
	state        TEXT NOT NULL,    -- '' stands, taken-back, replaced
	by_seq       INTEGER NOT NULL, -- the entry that did so
	deleted      INTEGER NOT NULL, -- 1: its message was deleted later
	PRIMARY KEY (machine, seq)
) STRICT, WITHOUT ROWID;

CREATE INDEX lines_seq ON lines (seq);

CREATE INDEX lines_shop ON lines (seq) WHERE shop = 1;

-- Projection: where an entry came from. The key makes a repeat harmless.
CREATE TABLE sources (
	channel  TEXT NOT NULL,
	message  TEXT NOT NULL,
	revision INTEGER NOT NULL,
	ordinal  INTEGER NOT NULL,
	seq      INTEGER NOT NULL,
	writer   INTEGER NOT NULL,
	place    TEXT NOT NULL,
	PRIMARY KEY (channel, message, revision, ordinal)
) STRICT, WITHOUT ROWID;

CREATE INDEX sources_writer ON sources (writer, seq);

-- Questions asked and what became of them. Outside the chain.
CREATE TABLE questions (
	id       INTEGER PRIMARY KEY,
	state    TEXT NOT NULL,
	person   INTEGER NOT NULL,
	who      TEXT NOT NULL,
	place    TEXT NOT NULL,
	asked    INTEGER NOT NULL,
	expires  INTEGER NOT NULL,
	channel  TEXT NOT NULL,
	message  TEXT NOT NULL,
	revision INTEGER NOT NULL,
	ordinal  INTEGER NOT NULL,
	said     INTEGER NOT NULL,
	raw      TEXT NOT NULL,
	held     BLOB,
	checksum BLOB NOT NULL
) STRICT;

CREATE INDEX questions_pending ON questions (id) WHERE state IN ('open', 'lapsed');

-- What the bot says on its own: one row for a kind and local day.
CREATE TABLE posts (
	kind     TEXT NOT NULL,
	day      INTEGER NOT NULL,
	state    TEXT NOT NULL,
	text     TEXT NOT NULL,
	at       INTEGER NOT NULL,
	data     BLOB,
	checksum BLOB NOT NULL,
	PRIMARY KEY (kind, day)
) STRICT, WITHOUT ROWID;

-- Edits and deletions heard of; the latest revision wins, a deletion stays.
CREATE TABLE heard (
	channel  TEXT NOT NULL,
	message  TEXT NOT NULL,
	revision INTEGER NOT NULL,
	deleted  INTEGER NOT NULL,
	at       INTEGER NOT NULL,
	checksum BLOB NOT NULL,
	PRIMARY KEY (channel, message)
) STRICT, WITHOUT ROWID;

-- For people with any SQLite tool: the book in words.
CREATE VIEW service_book AS
SELECT
	l.seq,
	(SELECT t.text FROM texts AS t WHERE t.seq = l.machine AND t.field = 'name') AS first_tag,
	CASE l.day WHEN 0 THEN NULL ELSE date(l.day * 86400, 'unixepoch') END AS day,
	l.kind,
	l.hours_tenths / 10.0 AS hours,
	l.jobs,
	l.finding,
	(SELECT t.text FROM texts AS t WHERE t.seq = l.seq AND t.field = 'words') AS words,
	(SELECT t.text FROM texts AS t WHERE t.seq = l.seq AND t.field = 'raw') AS message,
	CASE WHEN l.state = '' THEN 'stands' ELSE l.state END AS state,
	l.by_seq,
	l.deleted
FROM lines AS l;
