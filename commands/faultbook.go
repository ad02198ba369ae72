package commands

import (
	"slices"

	"woodruff/engine"
	"woodruff/engine/triage"
)

// background is what the book knows of a machine that moves the causes, as it
// stood when the complaint came. What the book does not know is said as such:
// no drain in it, no filter in it.
func (t *turn) background(v *view, complaint *engine.Entry) triage.Background {
	b := triage.Background{}
	sheet := v.sheet(t)
	hours, known := hoursThen(sheet, t.now)
	since := func(j engine.Job) (float64, bool) {
		last, ok := sheet.LastDone(j)
		if !ok || last.Known == engine.Counted || !last.Hours.Known || !known {
			return 0, false
		}
		return hours - last.Hours.Value.Hours(), true
	}
	add := func(id triage.FactorID) { b.Factors = append(b.Factors, id) }
	switch h, ok := since(engine.Drain); {
	case !ok || h > 150:
		add("drained-150h")
	case h > 50:
		add("drained-50h")
	case h <= 10:
		add("drained-10h")
	}
	var late int
	for _, i := range t.items(v.m.ID) {
		if i.Job != engine.Separator && i.Job != engine.FuelFilter {
			continue
		}
		ratio, ok := 0.0, false
		if h, done := since(i.Job); done && i.Reason.Every > 0 {
			ratio, ok = h/i.Reason.Every.Hours(), true
		}
		switch {
		case !ok || ratio > 2.5:
			late = max(late, 3)
		case ratio > 1.5:
			late = max(late, 2)
		case ratio > 1:
			late = max(late, 1)
		case ratio <= 0.1 && late == 0:
			late = -1
		}
	}
	for want, id := range map[int]triage.FactorID{-1: "filter-new", 1: "filter-due", 2: "filter-late", 3: "filter-unknown"} {
		if late == want {
			add(id)
		}
	}
	t.standing(v, complaint, add)
	t.recent(v, complaint, add)
	if known && hours > 4000 {
		add("over-4000h")
	}
	if slices.Contains(b.Factors, "drained-150h") && late >= 2 {
		b.Neglect = 1
	}
	return b
}

// standing adds how long the machine stood before the complaint, where its
// readings show that it did.
func (t *turn) standing(v *view, complaint *engine.Entry, add func(triage.FactorID)) {
	points := v.timeline().Points
	var stood engine.Day
	for k := len(points) - 1; k > 0; k-- {
		if points[k].Day > complaint.Day || points[k].Shown-points[k-1].Shown > 20 { // two hours: moved about the yard
			break
		}
		stood = complaint.Day - points[k-1].Day
	}
	switch {
	case stood > 180:
		add("stood-180d")
	case stood > 60:
		add("stood-60d")
	case stood > 14:
		add("stood-14d")
	}
}

// recent adds what was done on the fuel side and to the tank just before.
func (t *turn) recent(v *view, complaint *engine.Entry, add func(triage.FactorID)) {
	sheet := v.sheet(t)
	var opened, filled bool
	least := 1e9
	for i := range v.h {
		e := &v.h[i]
		if !stands(e) || e.Day > complaint.Day || complaint.Day-e.Day > faultLife || e.Seq == complaint.Seq {
			continue
		}
		fuel := e.Kind == engine.KindService && e.How != engine.LookedAt && slices.ContainsFunc(e.Jobs, func(j engine.Job) bool {
			info, _ := j.Info()
			return info.OpensFuel
		})
		if !fuel && e.Kind != engine.KindFill {
			continue
		}
		at, ok := hoursThen(sheet, e.At)
		then, ok2 := hoursThen(sheet, complaint.At)
		if !ok || !ok2 {
			continue
		}
		switch ran := then - at; {
		case fuel && ran <= 10:
			opened, least = true, min(least, ran)
		case !fuel && ran <= 5:
			filled = true
		}
	}
	switch {
	case opened && least <= 2:
		add("work-2h")
	case opened:
		add("work-10h")
	}
	if filled {
		add("fuelled-5h")
	}
}

// hoursThen are machine hours at an instant, by projection.
func hoursThen(s *engine.Sheet, at engine.Instant) (float64, bool) {
	b, ok := s.Forecast.HoursAt(at)
	return b.Mid, ok
}
