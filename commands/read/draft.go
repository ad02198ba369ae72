package read

import (
	"slices"

	"woodruff/engine"
)

// service adds work to a draft; work of one day, way and hand is one line.
func (d *draft) service(a *Act) {
	for i := range d.services {
		s := d.services[i]
		if s.Day == a.Day && s.By != a.By && s.Words == "" && len(a.Jobs) > 0 && slices.Equal(s.Jobs, a.Jobs) {
			d.twice = true // by whom was it? "Wilm greased it, no it was Joss"
			return
		}
		if s.Day != a.Day || s.How != a.How || s.By != a.By || s.Words != "" || a.Words != "" || len(s.Wants) > 0 || len(a.Wants) > 0 {
			continue
		}
		for _, j := range a.Jobs {
			if !hasJob(s.Jobs, j) {
				s.Jobs = append(s.Jobs[:len(s.Jobs):len(s.Jobs)], j)
			}
		}
		return
	}
	for _, s := range d.services {
		if s.Words != "" && s.Words == a.Words && s.Day == a.Day {
			return
		}
	}
	a.Jobs = append([]engine.Job(nil), a.Jobs...)
	d.services = append(d.services, a)
}

func hasJob(jobs []engine.Job, j engine.Job) bool {
	for _, x := range jobs {
		if x == j {
			return true
		}
	}
	return false
}

// seen adds a finding, fill or symptom; what repeats or is overruled goes.
func (d *draft) seen(a *Act) {
	for i := range d.rest {
		o := d.rest[i]
		if o.Kind != a.Kind {
			continue
		}
		switch a.Kind {
		case Finding:
			if o.Finding == a.Finding {
				if o.Amount == (engine.Amount{}) {
					o.Amount = a.Amount
				}
				return
			}
		case Symptom:
			for _, s := range a.Symptoms {
				if s == engine.Stalls && hasSymptom(o.Symptoms, engine.StartsDies) {
					continue // the same dying told once more
				}
				if !hasSymptom(o.Symptoms, s) {
					o.Symptoms = append(o.Symptoms[:len(o.Symptoms):len(o.Symptoms)], s)
				}
			}
			return
		}
	}
	d.rest = append(d.rest, a)
}

func hasSymptom(list []engine.Symptom, s engine.Symptom) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

// settleDrafts puts the acts in order, or the question before them.
func (r *report) settleDrafts(drafts []*draft, asks map[Slot][]Option, asked map[Slot]bool) []Act {
	var acts []Act
	for _, d := range drafts {
		if acts == nil {
			acts = d.acts()
			continue
		}
		acts = append(acts, d.acts()...)
	}
	if len(acts) == 0 {
		return nil
	}
	for _, d := range drafts {
		if d.twice {
			asked[AskMeaning] = true
		}
		if d.unsure {
			asked[AskMachine] = true
			if asks[AskMachine] == nil {
				asks[AskMachine] = d.options
			}
		}
	}
	for _, s := range []Slot{AskMachine, AskHours, AskJobs, AskDay, AskMeaning} {
		if !asked[s] {
			continue
		}
		for i := range acts {
			if acts[i].Machine == 0 {
				acts[i].Wants = append(acts[i].Wants, AskMachine)
			}
			if s == AskDay && (acts[i].Kind == Service || acts[i].Kind == Reading) && acts[i].Day == 0 {
				acts[i].Wants = append(acts[i].Wants, AskDay)
			}
		}
		q := Act{Kind: Unclear, Ask: s, Held: acts, Options: asks[s]}
		if s == AskMeaning && len(q.Options) == 0 && Writes(acts) {
			q.Options = []Option{{Acts: acts}}
		}
		if len(q.Options) > 6 {
			q.Options = q.Options[:6]
		}
		return []Act{q}
	}
	return acts
}

// acts are a draft's readings, services and the rest, the hours of a reading
// given to the work of its day.
func (d *draft) acts() []Act {
	clean := -1
	other := false
	for i, a := range d.rest {
		if a.Kind == Finding {
			if a.Finding == engine.Clean {
				clean = i
			} else if a.Finding != engine.HardORing && a.Finding != engine.SwollenORing && a.Finding != engine.WarpedBowl && a.Finding != engine.Weep && a.Finding != engine.Air {
				other = true
			}
		}
	}
	if clean >= 0 && other {
		d.rest = append(d.rest[:clean:clean], d.rest[clean+1:]...)
	}
	for i := range d.services {
		s := d.services[i]
		for _, h := range d.readings {
			if h.Day == s.Day {
				s.Hours = h.Hours
				if len(h.Wants) > 0 {
					s.Wants = append(s.Wants, h.Wants...)
				}
			}
		}
	}
	out := make([]Act, 0, len(d.readings)+len(d.services)+len(d.rest))
	for _, list := range [][]*Act{d.readings, d.services, d.rest} {
		for _, a := range list {
			out = append(out, *a)
		}
	}
	return out
}
