-- Which message ended which question: a repeat of that message is known for
-- what it is.
CREATE TABLE answers (
	channel  TEXT NOT NULL,
	message  TEXT NOT NULL,
	question INTEGER NOT NULL,
	checksum BLOB NOT NULL,
	PRIMARY KEY (channel, message, question)
) STRICT, WITHOUT ROWID;
