package triage

import (
	"cmp"
	"slices"
)

// Step is one thing to do: to look at a sign, or to put a cause right. One of the
// two is set.
type Step struct {
	Sign  SignID
	Cause CauseID
	// Minutes are what the step takes here and now, its set-up with it where that
	// is not open yet; a repair has its parts in them too, and the run after it.
	Minutes Minutes
	// Whole is the expected cost until the machine runs when this is done next and
	// what follows is done in the best order. Zero for a repair that is not the
	// first in that order.
	Whole Minutes
}

// Fault is one machine's trouble as it stands.
type Fault struct {
	Background Background
	Answers    Answers
	Done       []CauseID // put right already, without a cure
	Open       []string  // set-ups that are open
}

// Plan is what to do next and why.
type Plan struct {
	Posterior
	Next Step
	// Others are the other steps that were allowed: the looks, the best first, then
	// the repairs in their order.
	Others []Step
	// Repair is the expected cost of repairs alone, in their best order: what the
	// looks are measured against.
	Repair Minutes
}

// Next finds the step that leads to a running machine at the least expected
// cost: repairs in the order of chance over cost (J. Kalagnanam, M. Henrion, A
// Comparison of Decision Analysis and Expert Rules for Sequential Diagnosis,
// 1990), a set-up shared by several priced as one block, against every look
// followed by the best of what its answers call for (D. Heckerman, J. Breese, K.
// Rommelse, Decision-Theoretic Troubleshooting, 1995). It looks two looks ahead.
// A look must save more than it costs; where none does, the next step is a repair.
//
// allowed says which steps may be offered at all: safety is a filter that comes
// before any cost. nil allows everything.
func (n *Net) Next(f Fault, allowed func(Step) bool) (Plan, error) {
	odds, err := n.odds(f.Background)
	if err != nil {
		return Plan{}, err
	}
	b, err := n.believe(odds, f.Answers)
	if err != nil {
		return Plan{}, err
	}
	s, err := n.search(f, allowed)
	if err != nil {
		return Plan{}, err
	}
	for k, left := range s.left {
		if left == nothingLeft {
			b.weight[k] = 0
		}
	}
	p, err := n.posterior(b.weight)
	if err != nil {
		return Plan{}, err
	}
	b.weight = p.sets
	plan := Plan{Posterior: p, Repair: s.repair(b.weight)}
	var repairs []Step
	for _, i := range s.order {
		repairs = append(repairs, Step{Cause: n.Causes[i].ID, Minutes: s.minutes(n.Causes[i].Setup, s.price[i])})
	}
	looks := s.looks(b)
	best := plan.Repair
	if len(looks) > 0 && looks[0].Whole < best {
		plan.Next, plan.Others = looks[0], append(looks[1:], repairs...)
		return plan, nil
	}
	if len(repairs) > 0 {
		repairs[0].Whole = plan.Repair
		plan.Next, plan.Others = repairs[0], append(looks, repairs[1:]...)
	}
	return plan, nil
}

// search finds steps for one fault. It has room of its own, so that weighing an
// answer allocates nothing.
type search struct {
	n       *Net
	open    map[string]bool
	left    [][2]int // by set: the causes that are not put right yet
	price   []Minutes
	ask     []int // signs that may be looked for
	offered []bool
	order   []int     // of repairs, as last found
	at      []Minutes // by cause: when it is put right in that order
	chance  []float64 // by cause
	scratch []float64 // by set
	blocks  []block
}

// nothingLeft marks a set that would have been put right.
var nothingLeft = [2]int{-1, -1}

func (n *Net) search(f Fault, allowed func(Step) bool) (*search, error) {
	s := &search{
		n: n, open: map[string]bool{}, left: make([][2]int, len(n.sets)), price: make([]Minutes, len(n.Causes)),
		offered: make([]bool, len(n.Causes)), at: make([]Minutes, len(n.Causes)), chance: make([]float64, len(n.Causes)),
		scratch: make([]float64, len(n.sets)),
	}
	for _, o := range f.Open {
		s.open[o] = true
	}
	done := make([]bool, len(n.Causes))
	for _, id := range f.Done {
		i, err := n.causeIndex(id)
		if err != nil {
			return nil, err
		}
		done[i] = true
	}
	for k, set := range n.sets {
		switch a, b := set[0], set[1]; {
		case done[a] && done[b]:
			s.left[k] = nothingLeft
		case done[a]:
			s.left[k] = [2]int{b, b}
		case done[b]:
			s.left[k] = [2]int{a, a}
		default:
			s.left[k] = set
		}
	}
	for i, c := range n.Causes {
		s.price[i] = c.Minutes + c.Parts + n.TestRun
		s.offered[i] = !done[i] && (allowed == nil || allowed(Step{Cause: c.ID}))
	}
	for i, sign := range n.Signs {
		if f.Answers[sign.ID] == NotAsked && (allowed == nil || allowed(Step{Sign: sign.ID})) {
			s.ask = append(s.ask, i)
		}
	}
	return s, nil
}

// minutes are what a step takes, with its set-up where that is not open.
func (s *search) minutes(setup string, m Minutes) Minutes {
	if setup != "" && !s.open[setup] {
		m += s.n.setups[setup]
	}
	return m
}

// block is repairs behind one set-up, the best of them first.
type block struct {
	setup   string
	members []int
}

// repair puts the repairs in order, for sets of such weights, and gives the
// expected cost until the machine runs, times what the sets weigh. A cause that
// may not be put right here costs what handing it on does: its price, at the end.
func (s *search) repair(weight []float64) Minutes {
	clear(s.chance)
	for k, w := range weight {
		if left := s.left[k]; left[0] >= 0 {
			s.chance[left[0]] += w
			if left[1] != left[0] {
				s.chance[left[1]] += w
			}
		}
	}
	s.inOrder()
	var total float64
	for k, w := range weight {
		if left := s.left[k]; left[0] >= 0 {
			total += w * float64(max(s.at[left[0]], s.at[left[1]]))
		}
	}
	return Minutes(total)
}

// inOrder finds the order of repairs by chance over price; what lies behind one
// set-up goes as a block, as far as its members raise the block's worth.
func (s *search) inOrder() {
	s.order = s.order[:0]
	better := func(a, b int) int {
		return cmp.Or(cmp.Compare(s.chance[b]*float64(s.price[a]), s.chance[a]*float64(s.price[b])), cmp.Compare(a, b))
	}
	var free []int
	s.blocks = s.blocks[:0]
	for i, ok := range s.offered {
		if !ok {
			continue
		}
		setup := s.n.Causes[i].Setup
		if setup == "" || s.open[setup] {
			free = append(free, i)
			continue
		}
		at := slices.IndexFunc(s.blocks, func(b block) bool { return b.setup == setup })
		if at < 0 {
			at, s.blocks = len(s.blocks), append(s.blocks, block{setup: setup})
		}
		s.blocks[at].members = append(s.blocks[at].members, i)
	}
	slices.SortFunc(free, better)
	for i := range s.blocks {
		slices.SortFunc(s.blocks[i].members, better)
	}
	var spent Minutes
	do := func(i int) {
		spent += s.price[i]
		s.at[i], s.order = spent, append(s.order, i)
	}
	for len(free) > 0 || len(s.blocks) > 0 {
		worth, which, many := -1.0, -1, 0
		for k, b := range s.blocks {
			p, c := 0.0, float64(s.n.setups[b.setup])
			for m, i := range b.members {
				p, c = p+s.chance[i], c+float64(s.price[i])
				if p/c > worth {
					worth, which, many = p/c, k, m+1
				}
			}
		}
		if which < 0 || len(free) > 0 && s.chance[free[0]]/float64(s.price[free[0]]) >= worth {
			do(free[0])
			free = free[1:]
			continue
		}
		b := s.blocks[which]
		spent += s.n.setups[b.setup]
		for _, i := range b.members[:many] {
			do(i)
		}
		free = append(free, b.members[many:]...)
		slices.SortFunc(free, better)
		s.blocks = slices.Delete(s.blocks, which, which+1)
	}
	for i, ok := range s.offered {
		if !ok {
			s.at[i] = spent + s.price[i]
		}
	}
}

// deeper is how many looks are followed by a second look in the search, and
// seconds how many second looks are tried: those that are best by themselves.
const deeper, seconds = 6, 12

// looks are all looks that may be offered, the best first. The best few are
// weighed two looks deep.
func (s *search) looks(b belief) []Step {
	var all []Step
	for _, i := range s.ask {
		sign := s.n.Signs[i]
		step := Step{Sign: sign.ID, Minutes: s.minutes(sign.Setup, sign.Minutes)}
		step.Whole = step.Minutes + s.n.Asking + s.after(b, i)
		all = append(all, step)
	}
	byWhole := func(a, b Step) int { return cmp.Compare(a.Whole, b.Whole) }
	slices.SortStableFunc(all, byWhole)
	var then []int
	for _, step := range all[:min(seconds, len(all))] {
		then = append(then, s.n.sign[step.Sign])
	}
	for k := range all[:min(deeper, len(all))] {
		all[k].Whole = min(all[k].Whole, all[k].Minutes+s.n.Asking+s.twice(b, then[k], then))
	}
	slices.SortStableFunc(all, byWhole)
	cheapFirst(all)
	return all
}

// alike is how much dearer in all a look may be that takes less time itself and
// is asked for first: the figures of the table are no finer.
const alike = 1.03

// cheapFirst puts the look that takes least in front, among those that are
// nearly the best.
func cheapFirst(all []Step) {
	best := 0
	for k, step := range all {
		if step.Whole <= all[0].Whole*alike && step.Minutes < all[best].Minutes {
			best = k
		}
	}
	if best > 0 {
		first := all[best]
		copy(all[1:best+1], all[:best])
		all[0] = first
	}
}

// after is the expected cost of repairs once a sign's answer is known.
func (s *search) after(b belief, sign int) Minutes {
	var weighs, cost float64
	for _, l := range s.n.like[sign] {
		b.weigh(s.scratch, s.n.Signs[sign].Group, l)
		for _, w := range s.scratch {
			weighs += w
		}
		cost += float64(s.repair(s.scratch))
	}
	return Minutes(cost / weighs)
}

// second is what a look takes after another, whose set-up is open by then.
func (s *search) second(first, then int) Minutes {
	look := s.n.Signs[then]
	if look.Setup == s.n.Signs[first].Setup {
		return look.Minutes
	}
	return s.minutes(look.Setup, look.Minutes)
}

// twice is the expected cost once a sign's answer is known, when the best of the
// second looks may follow.
func (s *search) twice(b belief, sign int, then []int) Minutes {
	var weighs, cost float64
	group := s.n.Signs[sign].Group
	for _, l := range s.n.like[sign] {
		next := b.with(group, l)
		var sum float64
		for _, w := range next.weight {
			sum += w
		}
		if sum == 0 {
			continue
		}
		best := s.repair(next.weight) / Minutes(sum)
		for _, i := range then {
			if i != sign {
				best = min(best, s.second(sign, i)+s.n.Asking+s.after(next, i))
			}
		}
		weighs += sum
		cost += sum * float64(best)
	}
	return Minutes(cost / weighs)
}
