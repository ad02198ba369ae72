//go:build unix

package store

import "syscall"

// canWrite asks the system, without opening the file: closing a second handle
// on it would let go of the locks that SQLite holds in this process.
func canWrite(path string) error {
	const writable = 2 // W_OK of POSIX access(2)
	return syscall.Access(path, writable)
}
