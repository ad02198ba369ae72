package commands

import (
	"fmt"
	"strconv"
	"strings"

	"woodruff/engine"
)

// dayWords writes a day as the shop says it: "Fri 20 Nov", with the year only
// where it is not this one.
func dayWords(d, today engine.Day) string {
	if d == 0 {
		return "on a day not known"
	}
	y, m, day := d.Date()
	s := fmt.Sprintf("%s %d %s", d.Weekday().String()[:3], day, m.String()[:3])
	if ty, _, _ := today.Date(); ty != y {
		s += " " + strconv.Itoa(y)
	}
	return s
}

// ago writes how long ago a day was.
func ago(d, today engine.Day) string {
	switch n := int(today - d); {
	case n == 0:
		return "today"
	case n == 1:
		return "yesterday"
	case n == -1:
		return "tomorrow"
	case n < 0:
		return "in " + count(-n, "day")
	case n < 61:
		return count(n, "day") + " ago"
	case n < 730:
		return count(n/30, "month") + " ago"
	default:
		return count(n/365, "year") + " ago"
	}
}

// oldness writes how old a reading is, "4 days old".
func oldness(d, today engine.Day) string {
	switch n := int(today - d); {
	case n <= 0:
		return "from today"
	case n == 1:
		return "from yesterday"
	default:
		return count(n, "day") + " old"
	}
}

func count(n int, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return strconv.Itoa(n) + " " + unit + "s"
}

// meterWords writes a figure as the machine's meter shows it.
func meterWords(m engine.Machine, t engine.Tenths) string {
	if m.Reads == engine.ReadsWhole && t%10 == 0 {
		return strconv.FormatInt(int64(t/10), 10)
	}
	return t.String()
}

// span writes a number of hours that is not a meter figure.
func span(hours float64) string {
	if hours < 0 {
		return "-" + span(-hours)
	}
	if hours >= 20 {
		return strconv.Itoa(int(hours+0.5)) + " h"
	}
	return strconv.FormatFloat(hours, 'f', 1, 64) + " h"
}

// list joins words with commas.
func list(words []string) string { return strings.Join(words, ", ") }

// and joins words the way one says them.
func and(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// capital makes the first letter a capital.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// firstName is how one says a person's name in the shop.
func firstName(name string) string {
	first, _, _ := strings.Cut(name, " ")
	return first
}

var findingWords = map[engine.Finding]string{
	engine.Clean: "clean", engine.Water: "water", engine.RingUp: "ring up",
	engine.Rust: "rust", engine.Slime: "slime", engine.Debris: "debris",
	engine.SwollenORing: "O-ring swollen", engine.HardORing: "O-ring hard",
	engine.WarpedBowl: "bowl warped", engine.Weep: "fuel weeping",
	engine.Air: "air in the line", engine.Wax: "wax", engine.Ice: "ice",
	engine.Cloudy: "cloudy", engine.Unseen: "couldn't see in",
	engine.NothingCame: "nothing came out",
}

// found writes a finding with its amount: "a little water", "about 40 ml of water".
func found(f engine.Finding, a engine.Amount) string {
	if f != engine.Water {
		return findingWords[f]
	}
	switch {
	case a.Measured > 0:
		return a.Measured.String() + " ml of water"
	case a.Class == engine.Trace:
		return "a little water"
	case a.Class == engine.Some:
		return "some water"
	case a.Class == engine.Lots:
		return "a lot of water"
	}
	return "water, amount not said"
}

var symptomWords = map[engine.Symptom]string{
	engine.WhiteSmoke: "white smoke", engine.BlackSmoke: "black smoke", engine.BlueSmoke: "blue smoke",
	engine.HardStartCold: "hard to start cold", engine.HardStartHot: "hard to start hot",
	engine.HardStart: "hard to start", engine.NoStart: "won't start", engine.StartsDies: "starts, then dies",
	engine.PowerLoss: "no power", engine.Surging: "surging", engine.Stalls: "stalls", engine.Knock: "a knock",
	engine.RoughIdle: "idles rough", engine.FuelSmell: "smell of fuel", engine.RunsHot: "runs hot",
	engine.Smoke: "smoke",
}

var howWords = map[engine.How]string{
	engine.LookedAt: "looked at", engine.Cleaned: "cleaned", engine.Adjusted: "adjusted",
	engine.ToppedUp: "topped up", engine.Renewed: "renewed", engine.Reused: "put back",
}

// done writes work done: "bowl drained", "air cleaner cleaned, not renewed".
func done(j engine.Job, how engine.How, words string) string {
	if j == engine.OtherWork {
		return words
	}
	info, _ := j.Info()
	if how == "" || how == engine.Renewed && info.RenewedSaid() {
		return info.Done
	}
	if j == engine.Drain && how == engine.LookedAt {
		return "bowl looked at"
	}
	if how == engine.Reused {
		return "old " + info.Name + " put back"
	}
	s := info.Name + " " + howWords[how]
	if !j.RestartedBy(how) {
		s += " only"
	}
	return s
}

// jobName is a job as it stands in a list.
func jobName(j engine.Job) string {
	info, _ := j.Info()
	return info.Name
}

func jobNames(jobs []engine.Job) string {
	names := make([]string, len(jobs))
	for i, j := range jobs {
		names[i] = jobName(j)
	}
	return and(names)
}
