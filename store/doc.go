// Package store keeps the service book of one shop in one SQLite file.
//
// The ledger is the book: entries in the order written, each holding the hash
// of the one before, never changed. Everything that can be worked out from it
// (which lines stand, which message a line came from) lies beside it in
// projections, written in the same transaction and made again, equal, by
// Rebuild. Names and texts lie beside it too, salted and hashed into it, so
// that one can be erased on request without breaking the chain. Open
// questions, posts and what was heard of edited messages are rows of their
// own, outside the chain, each with a checksum.
//
// A process opens a book once and shares it: one connection writes, others
// read, and a read goes on while a write is under way. Write returns after the
// commit has been synced to the disk.
package store
