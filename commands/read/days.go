package read

import (
	"strconv"
	"time"

	"woodruff/engine"
)

// when is a day as a message names it. Which day a bare weekday means depends
// on whether work was done or put off.
type when struct {
	offset  int // from today, with known
	known   bool
	weekday int    // 1 is Monday, 0 none
	mod     string // last, next, this
	date    bool   // month and day, perhaps year
	year    int
	month   int
	dom     int
	either  bool   // 3/4: day and month can be swapped
	vague   string // past, future, tonight: no certain day
	hours   int    // so many hours ago, with known
	checked int    // the weekday that a date was told with
}

// readWhen reads the day that starts at the first token.
func readWhen(toks []token, senses []sense, k int) (when, int) {
	if w, n := readDate(toks); n > 0 && n >= k {
		return w, n
	}
	if w, n := readAgo(toks); n > 0 && n >= k {
		return w, n
	}
	for _, s := range senses {
		switch s.class {
		case "day":
			v, _ := strconv.Atoi(s.value)
			return when{known: true, offset: v}, k
		case "vagueday":
			return when{vague: s.value}, k
		case "weekday":
			v, _ := strconv.Atoi(s.value)
			return when{weekday: v}, k
		case "daymod":
			if s.value == "prep" || len(toks) <= k {
				continue
			}
			if v := weekdayOf(toks[k]); v != 0 {
				return when{weekday: v, mod: s.value}, k + 1
			}
		}
	}
	return when{}, 0
}

func weekdayOf(t token) int {
	n := lex.words.next[t.lem]
	if n == nil {
		return 0
	}
	for _, s := range n.senses {
		if s.class == "weekday" {
			v, _ := strconv.Atoi(s.value)
			return v
		}
	}
	return 0
}

func monthOf(t token) int {
	if t.kind != word {
		return 0
	}
	n := lex.words.next[t.lem]
	if n == nil {
		return 0
	}
	for _, s := range n.senses {
		if s.class == "month" {
			v, _ := strconv.Atoi(s.value)
			return v
		}
	}
	return 0
}

var ordinals = map[string]int{"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6,
	"seventh": 7, "eighth": 8, "ninth": 9, "tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13,
	"fourteenth": 14, "fifteenth": 15, "sixteenth": 16, "seventeenth": 17, "eighteenth": 18,
	"nineteenth": 19, "twentieth": 20, "thirtieth": 30}

// dayOfMonth reads 20, 20th, twentieth, twenty first; marked says that it can
// only be a day: it ends like one.
func dayOfMonth(toks []token) (dom int, n int, marked bool) {
	if len(toks) == 0 {
		return 0, 0, false
	}
	if toks[0].kind == figure {
		v, err := strconv.Atoi(toks[0].w)
		if err != nil || v < 1 || v > 31 {
			return 0, 0, false
		}
		if len(toks) > 1 && toks[1].glued && len(toks[1].w) == 2 {
			switch toks[1].w {
			case "st", "nd", "rd", "th":
				return v, 2, true
			}
		}
		return v, 1, false
	}
	if v := ordinals[toks[0].w]; v != 0 {
		return v, 1, true
	}
	if v, ok := digitWord(toks[0].lem); ok && v >= 1 && v <= 31 {
		if v >= 20 && len(toks) > 1 {
			if u := ordinals[toks[1].w]; u > 0 && u < 10 && v+u <= 31 {
				return v + u, 2, true
			}
			if u, ok := digitWord(toks[1].lem); ok && u > 0 && u < 10 && v+u <= 31 {
				return v + u, 2, false
			}
		}
		return v, 1, false
	}
	return 0, 0, false
}

// readDate reads "nov 20", "20 november 2026", "the 20th", "3/4", "2026-11-20".
func readDate(toks []token) (when, int) {
	if m := monthOf(toks[0]); m != 0 {
		k := 1
		if k < len(toks) && toks[k].w == "the" {
			k++
		}
		if d, n, marked := dayOfMonth(toks[k:]); n > 0 && (marked || !followedByPlace(toks[k+n:])) {
			return withYear(when{date: true, month: m, dom: d}, toks, k+n)
		}
		return when{}, 0
	}
	if toks[0].kind == figure && len(toks) >= 3 && len(toks[0].w) == 4 && toks[1].kind == figure && toks[2].kind == figure && toks[1].glued && toks[2].glued {
		y, e1 := strconv.Atoi(toks[0].w)
		m, e2 := strconv.Atoi(toks[1].w)
		d, e3 := strconv.Atoi(toks[2].w)
		if e1 == nil && e2 == nil && e3 == nil && y > 1990 && y < 2100 && m >= 1 && m <= 12 && d >= 1 && d <= 31 {
			return when{date: true, year: y, month: m, dom: d}, 3
		}
	}
	if toks[0].kind == figure {
		if n, ok := parseDigits(toks[0].w); ok && n.slash {
			return slashDate(n)
		}
		if n, ok := dottedDate(toks[0].w); ok {
			return slashDate(n)
		}
	}
	k := 0
	the := toks[0].w == "the"
	if the {
		k = 1
	}
	d, n, marked := dayOfMonth(toks[k:])
	if n == 0 {
		return when{}, 0
	}
	j := k + n
	if j < len(toks) && toks[j].w == "of" {
		j++
	}
	if j < len(toks) {
		if m := monthOf(toks[j]); m != 0 {
			w, end := withYear(when{date: true, month: m, dom: d}, toks, j+1)
			if m != 5 || j != k+n || marked || w.year != 0 || end == len(toks) || !mayDo(toks[end]) {
				return w, end // "12 may have" is no date
			}
		}
	}
	if marked && (the || toks[0].kind == figure) && len(toks[0].w) > 0 {
		return when{date: true, dom: d}, k + n
	}
	return when{}, 0
}

// mayDo says whether a word goes on from the verb "may" and not from the month.
func mayDo(t token) bool {
	switch t.w {
	case "at", "on", "in", "by", "with", "to", "from", "for", "drained", "clean", "is", "was", "last", "he", "she", "they", "i", "we":
		return false
	}
	return t.kind == word
}

// followedByPlace guards "may 4" against "mar 4 point 5".
func followedByPlace(rest []token) bool {
	return len(rest) > 0 && is(rest[0], "point", "")
}

func withYear(w when, toks []token, k int) (when, int) {
	j := k
	if j < len(toks) && toks[j].kind == comma {
		j++
	}
	if j < len(toks) && toks[j].kind == figure && len(toks[j].w) == 4 {
		if y, err := strconv.Atoi(toks[j].w); err == nil && y >= 2000 && y < 2100 {
			w.year = y
			return w, j + 1
		}
	}
	return w, k
}

func slashDate(n number) (when, int) {
	if n.a >= 2000 && n.a < 2100 && n.b >= 1 && n.b <= 12 && n.c >= 1 && n.c <= 31 {
		return when{date: true, year: n.a, month: n.b, dom: n.c}, 1 // 2026/11/23
	}
	w := when{date: true, year: n.c, month: n.a, dom: n.b, either: true}
	if w.year > 0 && w.year < 100 {
		w.year += 2000
	}
	if n.a < 1 || n.b < 1 || n.a > 31 || n.b > 31 || (n.a > 12 && n.b > 12) {
		return when{}, 0
	}
	return w, 1
}

// resolved is a day settled, or the reason why it is not.
type resolved struct {
	day     engine.Day
	options []engine.Day // when it must be asked
	unsure  bool
}

// past settles a day on which work was done.
func (w when) past(ctx Context) resolved {
	switch {
	case w.vague != "":
		return resolved{unsure: true, options: lastDays(ctx.Day)}
	case w.known:
		if w.offset > 0 {
			return resolved{unsure: true}
		}
		if w.hours > 0 {
			return resolved{day: ctx.Day - hoursBack(ctx, w.hours)}
		}
		return resolved{day: ctx.Day + engine.Day(w.offset)}
	case w.weekday != 0:
		if day, ok := w.ofWeek(ctx); ok {
			return resolved{day: day, unsure: day > ctx.Day}
		}
		if w.mod == "next" {
			return resolved{unsure: true}
		}
		back := (isoWeekday(ctx.Day) - w.weekday + 7) % 7
		if back == 0 && w.mod != "this" {
			back = 7
		}
		return resolved{day: ctx.Day - engine.Day(back)}
	case w.date:
		return w.settleDate(ctx, -1)
	}
	return resolved{}
}

// future settles a day until which something is put off.
func (w when) future(ctx Context) resolved {
	switch {
	case w.vague != "":
		return resolved{unsure: true, options: nextDays(ctx.Day)}
	case w.known:
		if w.offset <= 0 {
			return resolved{unsure: true, options: nextDays(ctx.Day)}
		}
		return resolved{day: ctx.Day + engine.Day(w.offset)}
	case w.weekday != 0:
		if day, ok := w.ofWeek(ctx); ok {
			return resolved{day: day, unsure: day <= ctx.Day}
		}
		ahead := (w.weekday - isoWeekday(ctx.Day) + 7) % 7
		if ahead == 0 {
			ahead = 7
		}
		day := ctx.Day + engine.Day(ahead)
		if w.mod == "last" {
			return resolved{unsure: true}
		}
		// "next Friday" said on a Tuesday is this week's to some and the week
		// after to others.
		if w.mod == "next" && isoWeekday(ctx.Day)+ahead <= 7 {
			return resolved{unsure: true, options: []engine.Day{day, day + 7}}
		}
		return resolved{day: day}
	case w.date:
		return w.settleDate(ctx, 1)
	}
	return resolved{}
}

// A date without a year that has only just gone by is over: nobody puts a job
// off by a year less a few days. One that is about to come, of work that is done,
// is a slip or a plan. Both are asked about.
const (
	justOver  engine.Day = 90
	soonComes engine.Day = 31
)

// settleDate finds the date that is meant: the last one before the day or on it
// where step is negative, else the next one after it. Where only a day of the
// month was given it goes by months.
func (w when) settleDate(ctx Context, step int) resolved {
	if w.checked != 0 {
		plain := w
		plain.checked = 0
		r := plain.settleDate(ctx, step)
		r.unsure = r.unsure || isoWeekday(r.day) != w.checked
		return r
	}
	if !w.either {
		return w.ofDate(ctx, w.month, w.dom, step)
	}
	monthFirst, dayFirst := resolved{unsure: true}, resolved{unsure: true}
	if w.month <= 12 {
		monthFirst = w.ofDate(ctx, w.month, w.dom, step)
	}
	if w.dom <= 12 {
		dayFirst = w.ofDate(ctx, w.dom, w.month, step)
	}
	okM, okD := monthFirst.fits(ctx, step), dayFirst.fits(ctx, step)
	switch {
	case w.dom > 12 && !ctx.DayFirst:
		return monthFirst
	case w.month > 12 && !ctx.MonthFirst:
		return dayFirst
	case okM != okD && w.month <= 12 && w.dom <= 12 && !ctx.DayFirst && !ctx.MonthFirst:
		// One is over, or about to come: it may be what was meant all the same.
		r := resolved{unsure: true, options: append(monthFirst.options, dayFirst.options...)}
		for _, one := range []resolved{monthFirst, dayFirst} {
			if one.fits(ctx, step) {
				r.options = append([]engine.Day{one.day}, r.options...)
			}
		}
		return r
	case okM && okD && monthFirst.day != dayFirst.day && !ctx.DayFirst && !ctx.MonthFirst:
		return resolved{unsure: true, options: []engine.Day{monthFirst.day, dayFirst.day}}
	case okD && (ctx.DayFirst || !okM):
		return resolved{day: dayFirst.day, unsure: ctx.MonthFirst && !okM}
	case okM && (!ctx.DayFirst || !okD):
		return resolved{day: monthFirst.day, unsure: ctx.DayFirst && !okD}
	}
	return resolved{unsure: true}
}

// fits says whether a settled date lies on the side that it should.
func (r resolved) fits(ctx Context, step int) bool {
	return !r.unsure && r.day != 0 && (r.day > ctx.Day) == (step > 0)
}

// ofDate settles a month and a day of it. One to come that is over is given as
// it is: whoever acts on it says so.
func (w when) ofDate(ctx Context, month, dom, step int) resolved {
	year, now, _ := ctx.Day.Date()
	if w.year != 0 {
		if !validDate(w.year, month, dom) {
			return resolved{unsure: true}
		}
		day := engine.DayOf(w.year, time.Month(month), dom)
		return resolved{day: day, unsure: step < 0 && day > ctx.Day}
	}
	var last, next engine.Day
	see := func(y, m int) {
		if !validDate(y, m, dom) {
			return
		}
		if day := engine.DayOf(y, time.Month(m), dom); day <= ctx.Day {
			last = max(last, day)
		} else if next == 0 || day < next {
			next = day
		}
	}
	if month == 0 {
		for i := -2; i <= 2; i++ {
			see(year, int(now)+i)
		}
		return resolved{day: oneOf(step, last, next), unsure: oneOf(step, last, next) == 0}
	}
	for i := -1; i <= 1; i++ {
		see(year+i, month)
	}
	switch {
	case step > 0 && last != 0 && ctx.Day-last <= justOver:
		return resolved{day: last}
	case step < 0 && next != 0 && next-ctx.Day <= soonComes:
		if last == 0 {
			return resolved{unsure: true}
		}
		return resolved{unsure: true, options: []engine.Day{last}}
	}
	day := oneOf(step, last, next)
	return resolved{day: day, unsure: day == 0}
}

func oneOf(step int, last, next engine.Day) engine.Day {
	if step < 0 {
		return last
	}
	return next
}

func validDate(y, m, d int) bool {
	for m < 1 {
		m += 12
		y--
	}
	for m > 12 {
		m -= 12
		y++
	}
	return d >= 1 && d <= time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

func isoWeekday(d engine.Day) int {
	if w := int(d.Weekday()); w != 0 {
		return w
	}
	return 7
}

func lastDays(d engine.Day) []engine.Day {
	return []engine.Day{d, d - 1, d - 2, d - 3, d - 4}
}

func nextDays(d engine.Day) []engine.Day {
	return []engine.Day{d + 1, d + 2, d + 3, d + 7, d + 14}
}

// joinWeeks reads a weekday together with its week: "wed last week", "friday of
// next week", "the friday before last", "a week on monday".
func joinWeeks(items []item) []item {
	out := items[:0]
	for _, it := range items {
		n := len(out)
		k := n - 1
		for k >= 0 && k >= n-2 && (out[k].has("prep") || out[k].has("det") || out[k].is("daymod", "prep")) && !out[k].dated {
			k--
		}
		if k < 0 {
			out = append(out, it)
			continue
		}
		day, week := out[k], it
		if it.when.weekday != 0 {
			day, week = it, out[k]
		}
		mod := week.val("weekmod")
		if !day.dated || day.when.weekday == 0 || mod == "" || day.numeric || day.when.mod != "" && !(day.when.mod == "last" && mod == "weekon") {
			out = append(out, it)
			continue
		}
		if day.when.mod == "last" {
			mod = "beforelast" // "a week last friday"
		}
		day.n = it.at + it.n - out[k].at
		day.at, day.when.mod = out[k].at, mod
		out = append(out[:k], day)
	}
	return out
}

// ofWeek is the day of a weekday said with its week.
func (w when) ofWeek(ctx Context) (engine.Day, bool) {
	monday := ctx.Day - engine.Day(isoWeekday(ctx.Day)-1)
	in := monday + engine.Day(w.weekday-1)
	switch w.mod {
	case "lastweek":
		return in - 7, true
	case "thisweek":
		return in, true
	case "nextweek":
		return in + 7, true
	case "beforelast":
		return when{weekday: w.weekday}.past(ctx).day - 7, true
	case "weekon":
		return when{weekday: w.weekday}.future(ctx).day + 7, true
	}
	return 0, false
}
