package engine

// Clocks are an interval's two clocks at a pace that is given.
type Clocks struct {
	DueHours Tenths  // on the same meter as the hours given
	Left     Tenths  // negative when past
	DaysLeft float64 // at the pace
	HoursDay Day     // 0 is not in sight
	MonthDay Day
	DueDay   Day
	Rule     Rule
}

// AtPace works an interval's clocks out for a pace in hours a day that somebody
// gives, instead of one from readings: last done at some hours on a day, and now
// at others. A day that the hours run out on counts whole: due is the local day
// that contains the moment.
func AtPace(iv Interval, last Tenths, lastDay Day, now Tenths, at Instant, hoursPerDay float64, cal Calendar) Clocks {
	var c Clocks
	if iv.Every > 0 {
		c.DueHours = last + iv.Every
		if iv.Marks {
			c.DueHours = nextMark(last, iv.Every)
		}
		c.Left = c.DueHours - now
		f := Forecast{Pace: Pace{hoursPerDay, hoursPerDay, hoursPerDay}}.From(at, now)
		if when := f.Crossing(c.DueHours).Median; when != 0 {
			c.HoursDay = cal.DayAt(when)
		}
		if hoursPerDay > 0 {
			c.DaysLeft = c.Left.Hours() / hoursPerDay
		}
	}
	if iv.Months > 0 {
		c.MonthDay = lastDay.AddMonths(iv.Months)
	}
	c.DueDay, c.Rule = earlier(c.HoursDay, c.MonthDay)
	return c
}
