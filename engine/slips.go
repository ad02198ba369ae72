package engine

// Slip is what a figure that is in doubt may be instead.
type Slip string

// Slips.
const (
	PointMissing    Slip = "point missing"             // 12234 for 1223.4
	PointAdded      Slip = "point added"               // 122.3 for 1223
	DigitsSwapped   Slip = "digits swapped"            // 1483 for 1438
	DigitDoubled    Slip = "one digit too many"        // 14438 for 1438
	DigitDropped    Slip = "one digit too few"         // 148 for 1438
	OneBeforeWrong  Slip = "the other one is wrong"    // the point judged against
	NewMeter        Slip = "new meter"                 // was fitted
	RolledOver      Slip = "rolled over"               // past 9,999.9
	EarlierDay      Slip = "from an earlier day"       // Day where it can be told
	LaterDay        Slip = "from a later day"          // for one that was back-dated
	AnotherMachines Slip = "another machine's"         // Machine
	RightAsIs       Slip = "right, it did run so much" // only for OverUsual
)

// Suggestion is one likely reading of a figure in doubt. Figure is what the
// meter will then have shown.
type Suggestion struct {
	Kind    Slip
	Figure  Tenths
	Day     Day       // for EarlierDay and LaterDay, 0 where it cannot be told
	Machine MachineID // for AnotherMachines
}

// Where a rollover is believed: 9,999.9 h is the end of the drums, so the last
// figure must be near it and the new one near zero [common practice].
const (
	rollsFrom Tenths = 95_000
	rollsTo   Tenths = 5_000
)

// likely are the readings of a figure in doubt in the order in which they are
// to be offered: typing slips that bring it nearer; another machine's, where the figure is far off; a
// rollover, where it can be one; the figure as it stands, where only habit
// speaks against it; the other figure being wrong, a new meter, another day; and
// another machine's last, where the figure is near; and slips that take it
// further away.
func (j *judge) likely(figure Tenths, v Verdict, cal Calendar, others func(Tenths) []MachineID) []Suggestion {
	s, unlikely := j.byDistance(figure, j.typed(figure))
	far := max(v.Gain, -v.Gain).Hours() > freeGain
	if far {
		s = append(s, ofOthers(figure, others)...)
	}
	if v.Why == BelowLast && j.rolled(figure, v.Against) {
		s = append(s, Suggestion{Kind: RolledOver, Figure: figure})
	}
	if v.Why == OverUsual {
		s = append(s, Suggestion{Kind: RightAsIs, Figure: figure})
	}
	if j.fitsWithout(figure, v) {
		s = append(s, Suggestion{Kind: OneBeforeWrong, Figure: figure})
	}
	hours := j.meter.Machine(figure, j.at)
	switch v.Why {
	case BelowLast:
		s = append(s, Suggestion{Kind: NewMeter, Figure: figure})
		s = append(s, Suggestion{Kind: EarlierDay, Figure: figure, Day: j.dayOf(hours, cal)})
	case AboveNext:
		s = append(s, Suggestion{Kind: LaterDay, Figure: figure, Day: j.dayOf(hours, cal)})
	}
	if !far {
		s = append(s, ofOthers(figure, others)...)
	}
	return append(s, unlikely...)
}

// byDistance parts the slips of the finger that bring a figure nearer to what
// the machine should stand at from those that take it further away: a figure
// that is a little low as it stands is rather an older one.
func (j *judge) byDistance(figure Tenths, all []Suggestion) (near, far []Suggestion) {
	band, ok := ForecastOf(j.meter).HoursAt(j.at)
	for _, s := range all {
		if ok && j.off(s.Figure, TenthsOf(band.Mid)) > j.off(figure, TenthsOf(band.Mid)) {
			far = append(far, s)
		} else {
			near = append(near, s)
		}
	}
	return near, far
}

func ofOthers(figure Tenths, others func(Tenths) []MachineID) (s []Suggestion) {
	if others == nil {
		return nil
	}
	for _, id := range others(figure) {
		s = append(s, Suggestion{Kind: AnotherMachines, Figure: figure, Machine: id})
	}
	return s
}

// typed are the figures within one slip of the finger of what was typed that
// are plausible, at most one of each kind: the one nearest to what the machine
// should stand at. Where a decimal point alone explains it, nothing else is
// looked for.
func (j *judge) typed(figure Tenths) []Suggestion {
	band, _ := ForecastOf(j.meter).HoursAt(j.at)
	expect := TenthsOf(band.Mid)
	var s []Suggestion
	add := func(kind Slip, figures []Tenths) {
		best, found := Tenths(0), false
		for _, f := range figures {
			if f == figure || !j.try(f, j.after-1, j.after).OK {
				continue
			}
			if !found || j.off(f, expect) < j.off(best, expect) {
				best, found = f, true
			}
		}
		for _, have := range s {
			found = found && have.Figure != best
		}
		if found {
			s = append(s, Suggestion{Kind: kind, Figure: best})
		}
	}
	if figure%10 == 0 && j.meter.Reads != ReadsWhole {
		add(PointMissing, []Tenths{figure / 10})
	}
	add(PointAdded, []Tenths{figure * 10})
	if len(s) > 0 {
		return s
	}
	digits, scale := digitsOf(figure)
	add(DigitsSwapped, swapped(digits, scale))
	add(DigitDoubled, shortened(digits, scale))
	add(DigitDropped, lengthened(digits, scale))
	return s
}

func (j *judge) off(figure, expect Tenths) Tenths {
	d := j.meter.Machine(figure, j.at) - expect
	return max(d, -d)
}

// fitsWithout says whether a figure would do if the point it was judged against
// were not there.
func (j *judge) fitsWithout(figure Tenths, v Verdict) bool {
	points, before, after := j.meter.Points, j.after-1, j.after
	if v.Against.At > j.at {
		for after < len(points) && points[after].Hours == v.Against.Hours {
			after++
		}
	} else {
		for before >= 0 && points[before].Hours == v.Against.Hours {
			before--
		}
	}
	return j.try(figure, before, after).OK
}

// rolled says whether the meter can have gone past its end since a point.
func (j *judge) rolled(figure Tenths, last Point) bool {
	gain := rollsAt - last.Shown + figure
	return last.Shown > rollsFrom && figure < rollsTo && gain.Hours() <= mostPerDay*max(span(last.At, j.at), 1)
}

// dayOf is the day on which the machine stood at some hours by its readings, or
// 0 where they do not reach so far.
func (j *judge) dayOf(hours Tenths, cal Calendar) Day {
	points := j.meter.Points
	first, last := points[0], points[len(points)-1]
	if hours < first.Hours || hours > last.Hours {
		return 0
	}
	return cal.DayAt(ForecastOf(j.meter).Crossing(hours).Median)
}

// digitsOf are the digits as typed: without tenths where there are none.
func digitsOf(figure Tenths) (digits []byte, scale Tenths) {
	scale = 1
	if figure%10 == 0 {
		figure, scale = figure/10, 10
	}
	for figure > 0 {
		digits = append([]byte{byte(figure % 10)}, digits...)
		figure /= 10
	}
	return digits, scale
}

func figureOf(digits []byte, scale Tenths) Tenths {
	var f Tenths
	for _, d := range digits {
		f = f*10 + Tenths(d)
	}
	return f * scale
}

// swapped are the figures with two neighbouring digits the other way round.
func swapped(digits []byte, scale Tenths) (out []Tenths) {
	for i := 1; i < len(digits); i++ {
		d := append([]byte(nil), digits...)
		d[i-1], d[i] = d[i], d[i-1]
		out = append(out, figureOf(d, scale))
	}
	return out
}

// shortened are the figures with one digit less.
func shortened(digits []byte, scale Tenths) (out []Tenths) {
	for i := range digits {
		d := append(append([]byte(nil), digits[:i]...), digits[i+1:]...)
		out = append(out, figureOf(d, scale))
	}
	return out
}

// lengthened are the figures with one digit more.
func lengthened(digits []byte, scale Tenths) (out []Tenths) {
	for i := 0; i <= len(digits); i++ {
		for n := byte(0); n <= 9; n++ {
			d := append(append(append([]byte(nil), digits[:i]...), n), digits[i:]...)
			out = append(out, figureOf(d, scale))
		}
	}
	return out
}
