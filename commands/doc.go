// Package commands is a message in and an answer out.
//
// Every message goes through the same stages, in desk.go: who and where, read
// (package read), judge (package engine), commit (the book), answer. What each
// act does stands in one table, in acts.go; each thing that a person can ask
// for has a file of its own. The package reads no clock and does no I/O of its
// own: the book and the time zones are handed in.
package commands
