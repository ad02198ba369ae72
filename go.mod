module woodruff

go 1.26.0

require (
	github.com/alecthomas/kong v1.17.0
	github.com/hbollon/go-edlib v1.7.0
	github.com/mattn/go-sqlite3 v1.14.53
	github.com/peterh/liner v1.2.3
	golang.org/x/term v0.48.0
	gonum.org/v1/gonum v0.17.0
	pgregory.net/rapid v1.3.0
)

require (
	github.com/clipperhouse/uax29/v2 v2.7.0 // indirect
	github.com/mattn/go-runewidth v0.0.31 // indirect
	golang.org/x/sys v0.50.0 // indirect
)
