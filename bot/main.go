// Command bot is Woodruff: it keeps a repair shop's service book from what the
// shop types, and says each morning what is due.
package main

import (
	"io"
	"os"
	"time"
	_ "time/tzdata" // zones on machines that have none installed
)

func main() {
	os.Exit(run(os.Args[1:], outside{
		in: os.Stdin, out: os.Stdout, err: os.Stderr, now: time.Now,
	}))
}

// outside is what the program touches of the world; tests hand in their own.
type outside struct {
	in       io.Reader
	out, err io.Writer
	now      func() time.Time
	// hook is called at named points of a write; only tests set it.
	hook func(point string)
}
