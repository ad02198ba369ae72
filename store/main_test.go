package store

import (
	"flag"
	"os"
	"testing"
)

// update writes test data that is not there yet; what is there is never changed.
var update = flag.Bool("update", false, "write test data that is not there yet")

// childVar tells the test binary, run again as a child, what to be.
const childVar = "STORE_TEST_CHILD"

// children are what the test binary can be as a process of its own.
var children = map[string]func() error{}

func TestMain(m *testing.M) {
	flag.Parse()
	if role := os.Getenv(childVar); role != "" {
		if err := children[role](); err != nil {
			os.Stderr.WriteString(err.Error() + "\n")
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}
