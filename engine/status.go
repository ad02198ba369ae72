package engine

// SinceJob is how long ago a job was done.
type SinceJob struct {
	Last Last // its Seq is 0 where the job is not in the book
	// Hours run since, with the 80 % band; not known without hours on both ends.
	Hours Maybe[Band]
	Days  Maybe[Day] // days since
	Basis Basis      // what the hours lean on: say how old the last reading is
}

// Since is how long ago a job was done on a machine, by its book.
func Since(m Machine, h []Entry, job Job, now Instant, cal Calendar) SinceJob {
	s := Fold(m, h, cal)
	return s.Since(job, now)
}

// Since is the same for a sheet that is folded already.
func (s *Sheet) Since(job Job, now Instant) SinceJob {
	last, ok := s.LastDone(job)
	since := SinceJob{Last: last, Basis: s.Forecast.Basis}
	if !ok {
		return since
	}
	if last.Day != 0 {
		since.Days = Known(s.cal.DayAt(now) - last.Day)
	}
	b, ok := s.since(last).HoursAt(now)
	if !ok || !last.Hours.Known {
		return since
	}
	done := last.Hours.Value.Hours()
	slack := s.slackSince(last.At).Hours()
	since.Hours = Known(Band{Low: max(b.Low-done, 0), Mid: max(b.Mid-done, 0), High: max(b.High-done, 0) + slack})
	return since
}

// LastReading is the last figure of a machine's meter; ok is false without any.
func LastReading(m Machine, h []Entry) (Point, bool) { return Timeline(m, h).Last() }

// OutOfUse is the standing entry that took the machine out of use, nil while it
// is in use.
func OutOfUse(h []Entry) *Entry {
	s := Sheet{h: h}
	for i := range h {
		if k := h[i].Kind; h[i].State == Standing && (k == KindOut || k == KindBack) {
			s.later(&s.out, i)
		}
	}
	return s.OutOfUse()
}

// OutOfUse is the same for a sheet that is folded already.
func (s *Sheet) OutOfUse() *Entry {
	if e := s.entry(s.out); e != nil && e.Kind == KindOut {
		return e
	}
	return nil
}

// LaidUp is the standing entry that laid the machine up, nil while it is not.
func (s *Sheet) LaidUp() *Entry {
	if e := s.entry(s.laid); e != nil && e.Kind == KindParked {
		return e
	}
	return nil
}

// WaterFinds are the looks that found water, in time order.
func (s *Sheet) WaterFinds() []Look {
	var finds []Look
	for _, l := range s.Looks() {
		if l.Saw == SawWater {
			finds = append(finds, l)
		}
	}
	return finds
}
