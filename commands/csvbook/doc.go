// Package csvbook reads the two files in which a shop brings its own data: its
// machines and its log. What is wrong with them comes back as faults, one for
// every line and column; whether figures are plausible beside the book, and who
// people are, is the caller's to say.
//
// The machines file has the columns tag, name, aka, kind, meter_reads (tenths,
// whole or none), bowl_ml and owner. The log has day (2026-11-24), time (07:40,
// or empty), machine (a tag), hours, job, finding, amount_ml, by and note. The
// first line names the columns, in any order; all of them are there, and no
// others. In aka, job and finding a semicolon separates several words.
//
// The files are CSV as RFC 4180 describes it, in UTF-8, with or without a byte
// order mark, lines ended by LF or CRLF.
package csvbook
