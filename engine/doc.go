// Package engine is the vocabulary of the trade and its arithmetic: machines,
// meters, readings, work done, findings, intervals, what is due and why.
//
// Everything here is a pure function over plain values. There is no clock, no
// input or output, no goroutine and no randomness: whoever calls passes in the
// instant, the calendar of the shop and the entries of its service book.
//
// Units are in names or types: hours are tenths of an hour, days are days of
// the shop's own calendar, amounts of water are millilitres, fills are tenths
// of a litre.
package engine
