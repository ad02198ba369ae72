module woodruff

go 1.26.0

require (
	github.com/alecthomas/kong v1.17.0 // indirect
	github.com/clipperhouse/uax29/v2 v2.7.0 // indirect
	github.com/hbollon/go-edlib v1.7.0 // indirect
	github.com/mattn/go-runewidth v0.0.31 // indirect
	github.com/mattn/go-sqlite3 v1.14.53 // indirect
	github.com/peterh/liner v1.2.3 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	golang.org/x/sys v0.50.0 // indirect
	golang.org/x/term v0.48.0 // indirect
	gonum.org/v1/gonum v0.17.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
