package read

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"woodruff/engine"
)

// A question can be limited: to some days ("this week", "since monday"), to what
// one person did ("what did wilm do"), to what is past its day ("whats overdue").
// And where yes or no answers it, it says so by its turned verb. None of this
// changes what the question is about.

// limit gives the questions among acts what the words from a token on limit them
// to.
func (p *parse) limit(acts []Act, from int) {
	for i := range acts {
		a := &acts[i]
		if a.Kind == Unclear {
			p.limit(a.Held, from)
		}
		if a.Kind != Question {
			continue
		}
		switch a.About {
		case AboutSince, AboutWho, AboutHistory, AboutWater:
			a.By = p.askedOfWhom(from)
			a.From, a.Till = p.span(from, "back")
			if a.From == 0 && a.Whether == WhetherDone && p.endsIn("yet") {
				a.From, a.Till = p.ctx.Day, p.ctx.Day
			}
		case AboutDue, AboutNext:
			a.From, a.Till = p.span(from, "ahead")
			a.Late = p.asksLate(from)
		}
	}
}

// limitsFrom is the token from which on words can limit a question that starts at
// an item: with what stands before it, where that is a machine or a day.
func (p *parse) limitsFrom(start int) int {
	for _, it := range p.items[:start] {
		if it.numeric && !it.named || it.has("verb") || it.has("find") {
			return p.items[start].at
		}
	}
	return 0
}

// endsIn says whether a word stands at the end of a part of the message.
func (p *parse) endsIn(w string) bool {
	for i, t := range p.toks {
		if t.w == w && (i+1 == len(p.toks) || p.toks[i+1].kind != word) {
			return true
		}
	}
	return false
}

// askedOfWhom are the people whose doings are asked about, "" for anybody.
func (p *parse) askedOfWhom(from int) string {
	var who []string
	for _, it := range p.items {
		if it.at >= from && it.person != "" && !slices.Contains(who, it.person) {
			who = append(who, it.person)
		}
	}
	if len(who) > 0 {
		return strings.Join(who, And) // of two, what either did
	}
	for i := max(from, 1); i < len(p.toks); i++ {
		if p.toks[i].w == "i" && (turnable[p.toks[i-1].w] && p.toks[i-1].w != "do" && p.toks[i-1].w != "does" || p.toks[i-1].w == "ive") {
			return Me
		}
	}
	return ""
}

// span are the days that a question is limited to, those behind or those to come;
// 0 and 0 for none.
func (p *parse) span(from int, side class) (first, last engine.Day) {
	for i := from; i < len(p.toks); i++ {
		before := p.tokenBefore(i)
		senses, n := lex.limits.longest(p.toks[i:])
		if n > 0 && lex.limitsOf(before, "not") {
			i += n - 1 // "before the weekend" is no time at the weekend
			continue
		}
		for _, s := range senses {
			if s.class != side {
				continue
			}
			if side == "ahead" {
				return p.daysAhead(s.value)
			}
			first, last = p.daysBack(s.value, p.toks[i:i+n])
			return first, p.untilNow(before, last)
		}
	}
	if side == "back" {
		return p.datedSpan(from)
	}
	return 0, 0
}

// untilNow is the end of what "since" begins.
func (p *parse) untilNow(before token, last engine.Day) engine.Day {
	if before.w == "since" {
		return p.ctx.Day
	}
	return min(last, p.ctx.Day)
}

// limitsOf says whether a word is of a class of the limits.
func (l *lexicon) limitsOf(t token, c class) bool {
	n := l.limits.next[t.w]
	if t.kind != word || n == nil {
		return false
	}
	for _, s := range n.senses {
		if s.class == c {
			return true
		}
	}
	return false
}

// datedSpan is the one day, or the month, that a question names.
func (p *parse) datedSpan(from int) (first, last engine.Day) {
	for i := from; i < len(p.toks); i++ { // an item can be a phrase with the day in it, "since monday"
		if k := p.itemFrom(i); k < len(p.items) && p.items[k].named || lex.limitsOf(p.tokenBefore(i), "not") {
			continue
		}
		senses, k := lex.words.longest(p.toks[i:])
		w, n := readWhen(p.toks[i:], senses, k)
		if n == 0 {
			continue
		}
		if d := w.past(p.ctx); d.day != 0 && !d.unsure {
			return d.day, p.untilNow(p.tokenBefore(i), d.day)
		}
	}
	for i := max(from, 1); i < len(p.toks); i++ {
		m := monthOf(p.toks[i])
		if m == 0 || !lex.limitsOf(p.toks[i-1], "in") {
			continue
		}
		year, now, _ := p.ctx.Day.Date()
		if time.Month(m) > now {
			year--
		}
		first = engine.DayOf(year, time.Month(m), 1)
		return first, p.untilNow(p.toks[i-1], engine.DayOf(year, time.Month(m)+1, 0))
	}
	return 0, 0
}

// tokenBefore is the token before one, none at the start.
func (p *parse) tokenBefore(i int) token {
	if i == 0 {
		return token{}
	}
	return p.toks[i-1]
}

// daysBack are the days of a stretch of time that is over, or still under way.
func (p *parse) daysBack(value string, words []token) (first, last engine.Day) {
	kind, rest, _ := strings.Cut(value, " ")
	today := p.ctx.Day
	year, month, _ := today.Date()
	monday := today - engine.Day(isoWeekday(today)-1)
	n, err := strconv.Atoi(rest)
	if err != nil {
		n = numberIn(words)
	}
	switch kind {
	case "week":
		first = monday + engine.Day(7*n)
		return first, first + 6
	case "month":
		return engine.DayOf(year, month+time.Month(n), 1), engine.DayOf(year, month+time.Month(n)+1, 0)
	case "year":
		return engine.DayOf(year+n, 1, 1), engine.DayOf(year+n, 12, 31)
	case "days":
		return today - engine.Day(n), today
	case "weeks":
		return today - engine.Day(7*n), today
	case "months":
		return today.AddMonths(-n), today
	case "weekend":
		if first = monday + 5; first > today {
			first -= 7
		}
		return first, first + 1
	case "season":
		of, back, _ := strings.Cut(rest, " ")
		return p.season(time.Month(atoi(of)), back != "0")
	}
	return today, today
}

// season is the last of its kind that has begun, or, with over, that has ended;
// by the weather's quarters, which begin with their months [common practice].
func (p *parse) season(from time.Month, over bool) (first, last engine.Day) {
	year, _, _ := p.ctx.Day.Date()
	for y := year; ; y-- {
		first, last = engine.DayOf(y, from, 1), engine.DayOf(y, from+3, 0)
		if first <= p.ctx.Day && (!over || last < p.ctx.Day) {
			return first, last
		}
	}
}

// numberIn is the figure among a phrase's words, 1 where none can be read.
func numberIn(words []token) int {
	for _, t := range words {
		if n := atoi(t.w); t.kind == figure && n > 0 {
			return n
		}
		if n, ok := digitWord(t.lem); ok && n > 0 {
			return n
		}
	}
	return 1
}

// daysAhead are the days of a stretch of time to come.
func (p *parse) daysAhead(value string) (first, last engine.Day) {
	today := p.ctx.Day
	monday := today - engine.Day(isoWeekday(today)-1)
	year, month, _ := today.Date()
	switch value {
	case "weekend":
		return max(monday+5, today), monday + 6
	case "week 1":
		return monday + 7, monday + 13
	}
	return engine.DayOf(year, month+1, 1), engine.DayOf(year, month+2, 0)
}

// asksLate says whether only what is past its day is asked for.
func (p *parse) asksLate(from int) bool {
	for i := from; i < len(p.toks); i++ {
		if senses, _ := lex.limits.longest(p.toks[i:]); len(senses) > 0 && senses[0].class == "late" {
			return true
		}
	}
	return false
}

// asksWhether says whether a part is answered by yes or no: it begins with its
// verb, or with "any".
func (p *parse) asksWhether(items []item) bool {
	for _, it := range items {
		switch {
		case it.brk != 0, it.named, it.person != "":
		case turnable[p.toks[it.at].w], p.toks[it.at].w == "anything", p.toks[it.at].w == "any":
			return true
		case it.has("askany"):
			return true
		case it.has("ask"), it.has("askwhy"), it.has("asktell"), it.has("topic"):
			return false
		case !it.filler():
			return false
		}
	}
	return false
}

// whetherAsked is what a part of a question asks where yes or no answers it.
func (p *parse) whetherAsked(items []item, t Topic) Whether {
	if !p.asksWhether(items) {
		return ""
	}
	switch {
	case t == AboutWater, t == AboutSince && indexOf(items, "topicwater") >= 0:
		return WhetherWater // "any water since monday" too
	case t == AboutSince, t == AboutWho:
		return WhetherDone
	case t == AboutDue:
		return WhetherDue
	}
	return ""
}
