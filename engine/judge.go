package engine

import "slices"

// Doubt is why a figure is not taken as it stands. The zero value is none.
type Doubt string

// Doubts.
const (
	BelowLast Doubt = "below the last one"
	AboveNext Doubt = "above a later one"
	OverDay   Doubt = "more than 24 h a day"
	OverUsual Doubt = "far more than it usually runs"
)

// What a reading may gain.
const (
	mostPerDay   = 24.0 // hours
	freeGain     = 40.0 // hours that are never too many for a machine's habits
	usualTimes   = 3.0  // times the machine's own 90th percentile daily gain
	usualPercent = 0.9
)

// Verdict is whether a figure is plausible, and if not, why and what was
// probably meant.
type Verdict struct {
	OK      bool
	Why     Doubt
	Against Point   // the point that it was judged against, where there is one
	Gain    Tenths  // machine hours between the two, in time order
	Days    float64 // and days of 24 hours
	Likely  []Suggestion
}

// JudgeReading says whether a figure that the meter is said to have shown at an
// instant of a day can be taken. This is the one place where that is decided:
//
//   - it is at or above the last one before it, and at or below the next one
//     where it is back-dated. The same figure again is fine, and so is the
//     first of a machine;
//   - it gains no more than 24 h a day;
//   - it gains no more than the larger of 40 h and 3 times the machine's own
//     90th percentile daily gain times the days.
//
// Days are those between the two instants, in 24 hours, so that a clock change
// moves nothing. They count as at least one: meters are read at any time of the
// day and written later, and a shop that says "24 h a day" means a whole one
// [common practice]. Where at is 0, noon of the day is meant.
//
// others names the other machines that the figure fits; it may be nil.
func JudgeReading(meter Meter, figure Tenths, day Day, at Instant, cal Calendar, others func(Tenths) []MachineID) Verdict {
	if at == 0 && day != 0 {
		at = cal.Start(day) + DayLength/2
	}
	j := judge{meter: meter, at: at}
	j.after, _ = slices.BinarySearchFunc(meter.Points, at+1, func(p Point, i Instant) int { return int(p.At - i) })
	v := j.try(figure, j.after-1, j.after)
	if !v.OK {
		v.Likely = j.likely(figure, v, cal, others)
	}
	return v
}

type judge struct {
	meter Meter
	at    Instant
	after int // the first point later than at
	p90   Maybe[float64]
}

// try judges a figure between two points of the meter; an index outside means
// that there is none on that side.
func (j *judge) try(figure Tenths, before, after int) Verdict {
	hours := j.meter.Machine(figure, j.at)
	if before >= 0 {
		p := j.meter.Points[before]
		v := Verdict{Against: p, Gain: hours - p.Hours, Days: span(p.At, j.at)}
		if v.Why = j.doubt(v.Gain, v.Days, BelowLast); v.Why != "" {
			return v
		}
	}
	if after < len(j.meter.Points) {
		p := j.meter.Points[after]
		v := Verdict{Against: p, Gain: p.Hours - hours, Days: span(j.at, p.At)}
		if v.Why = j.doubt(v.Gain, v.Days, AboveNext); v.Why != "" {
			return v
		}
	}
	v := Verdict{OK: true}
	if before >= 0 {
		v.Against = j.meter.Points[before]
		v.Gain, v.Days = hours-v.Against.Hours, span(v.Against.At, j.at)
	}
	return v
}

func (j *judge) doubt(gain Tenths, days float64, backwards Doubt) Doubt {
	days = max(days, 1)
	switch g := gain.Hours(); {
	case gain < 0:
		return backwards
	case g > mostPerDay*days:
		return OverDay
	case g > freeGain && g > usualTimes*j.usual()*days:
		return OverUsual
	}
	return ""
}

// usual is the machine's own 90th percentile daily gain in hours.
func (j *judge) usual() float64 {
	if !j.p90.Known {
		j.p90 = Known(dailyGain(j.meter.Points, usualPercent))
	}
	return j.p90.Value
}

// dailyGain is a percentile of the hours a day between readings, where spells
// under a day count as one. It is 0 with fewer than two readings.
func dailyGain(points []Point, percent float64) float64 {
	gains := make([]float64, 0, len(points))
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if b.At == a.At || b.Hours < a.Hours {
			continue // the same moment twice, or a slip: neither is a gain
		}
		gains = append(gains, (b.Hours-a.Hours).Hours()/max(span(a.At, b.At), 1))
	}
	slices.Sort(gains)
	return quantile(gains, percent)
}
