package trace

import (
	"cmp"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/ident"
)

// pile is a stack while facts are read in time.
type pile struct {
	id      ident.Stack
	run     Run
	made    int // as set down by the stacker; 0: never told
	opening int // as first found, while no run is known to have made it
	rest    int // what is left
	place   string
	at      time.Time
	placed  time.Time
	named   int // how early a job named it; 0: none did
}

// booking reads the standing facts of one release in time.
type booking struct {
	tally
	piles   []*pile
	byID    map[ident.Stack]*pile
	cut     map[Run]int // good at the knife
	cutLast time.Time
	first   int // pieces through the first machine
	taken   int // sheets taken off the floor
	owed    int // of these, those that no pile has given yet
	thrown  int // thrown away, from no pile yet
	recount int
	names   int
	waste   Counts // its waste fields alone
	bundled int
	jobs    map[ident.Machine]Progress
	on      map[ident.Machine]JobState
}

func newBooking(w Way) *booking {
	return &booking{
		tally: *newTally(w), byID: map[ident.Stack]*pile{}, cut: map[Run]int{},
		jobs: map[ident.Machine]Progress{}, on: map[ident.Machine]JobState{},
	}
}

func (b *booking) add(f Fact) {
	b.tally.add(f)
	switch f.Kind {
	case RunEnded:
		b.cut[Run{f.Plan, f.Run}] += f.Good
		b.cutLast = f.At
		b.waste.WasteCut += f.Waste
	case StackMade, StackFound, StackMoved:
		b.stand(f)
	case JobStarted, JobCounted, JobEnded:
		b.job(f)
	case Bundled:
		b.bundled += f.Good
	case WasteBooked:
		b.wasted(f)
	}
}

// wasted reads a booking of waste: a reason for what a machine has counted, or
// sheets thrown away from the floor, from the stack named or, later, from any.
func (b *booking) wasted(f Fact) {
	switch {
	case f.Waste == 0:
	case f.Machine != "":
		b.waste.WasteWhy = shared(b.waste.WasteWhy, f)
	default:
		b.waste.Lost += f.Waste
		b.waste.LostWhy = shared(b.waste.LostWhy, f)
		n := f.Waste
		if p := b.byID[f.Stack]; p != nil && f.Stack != "" {
			n -= min(p.rest, f.Waste)
			p.rest -= min(p.rest, f.Waste)
		}
		b.thrown += n
	}
}

func shared(list []Share, f Fact) []Share {
	for i := range list {
		if list[i].Why == f.Reason && list[i].Machine == f.Machine {
			list[i].Sheets += f.Waste
			return list
		}
	}
	return append(list, Share{f.Reason, f.Machine, f.Waste})
}

// stand reads a fact of a stack.
func (b *booking) stand(f Fact) {
	p := b.byID[f.Stack]
	if p == nil {
		p = &pile{id: f.Stack}
		b.piles = append(b.piles, p)
		if f.Stack != "" {
			b.byID[f.Stack] = p
		}
	}
	if f.Place != "" {
		p.place, p.placed = f.Place, f.At
	}
	switch {
	case f.Kind == StackMade: // set down again under one number: the later count
		p.rest += f.Good - p.made - p.opening
		p.made, p.opening, p.run = f.Good, 0, Run{f.Plan, f.Run}
	case f.Kind == StackFound && p.at.IsZero():
		p.rest, p.opening = f.Good, f.Good
	case f.Kind == StackFound:
		gone := min(max(0, p.rest-f.Good), b.thrown) // what was thrown away is what the count misses
		b.thrown -= gone
		b.recount += f.Good - p.rest + gone
		p.rest = f.Good
	}
	if f.Kind != StackMoved && p.at.IsZero() {
		p.at = f.At
	}
	b.feed()
}

// job reads a fact of a job.
func (b *booking) job(f Fact) {
	b.jobs[f.Machine] = b.jobs[f.Machine].with(f)
	if p := b.byID[f.Stack]; p != nil && f.Stack != "" && p.named == 0 {
		b.names++
		p.named = b.names
	}
	s, running := b.on[f.Machine]
	if f.Kind == JobStarted && !running {
		s, running = JobState{Release: f.Release, Since: f.At}, true
	}
	if running {
		s.Good += f.Good
		s.Waste += f.Waste
		b.on[f.Machine] = s
	}
	if f.Kind == JobEnded {
		delete(b.on, f.Machine)
	}
	b.waste.WasteFed += f.Waste
	if slices.Contains(b.way.first(), f.Machine) {
		b.first += f.Good + f.Waste
	}
	taken := max(b.taken, ceil(b.first, max(b.way.PerSheet, 1)), b.fed())
	b.owed += taken - b.taken
	b.taken = taken
	b.feed()
}

// feed takes what is owed out of the piles that stand there.
func (b *booking) feed() {
	slices.SortStableFunc(b.piles, feedOrder)
	for _, p := range b.piles {
		n := min(p.rest, b.owed) // a rest below nothing was fed from where it never stood
		p.rest -= n
		b.owed -= n
	}
}

// feedOrder puts the piles that jobs named first, then the older ones.
func feedOrder(a, b *pile) int {
	if (a.named == 0) != (b.named == 0) {
		return cmp.Compare(b.named, a.named)
	}
	return cmp.Or(cmp.Compare(a.named, b.named), a.at.Compare(b.at), cmp.Compare(a.id, b.id))
}

// account closes the books.
func (b *booking) account(r ident.Release) Account {
	setDown, opening := map[Run]int{}, 0
	for _, p := range b.piles {
		setDown[p.run] += p.made
		opening += p.opening
	}
	c := b.waste
	c.Opening, c.Recount, c.Bundled = opening, b.recount, b.bundled
	made := opening + b.recount
	for _, n := range setDown {
		c.ToFloor += n
		made += n
	}
	for run, n := range b.cut {
		c.Knife += n
		c.Unset += max(0, n-setDown[run])
	}
	made += c.Unset
	a := Account{Quantities: b.quantities(), Jobs: b.jobs, On: b.on}
	a.SheetsMade, a.Bundled = made, b.bundled
	c.Fed, c.Between = b.taken, b.taken-a.SheetsFed
	c.PressGood, c.Early, c.Tagged = b.good, a.BoxesGood-b.good, a.InUnits
	a.SheetsLost = c.Lost
	c.Owed = b.owed + b.thrown
	late := min(c.Unset, c.Owed) // taken straight from what was not set down
	c.Owed, c.Unset = c.Owed-late, c.Unset-late
	for _, p := range b.piles {
		n := min(p.rest, c.Owed) // only what was thrown away is left to be taken from piles
		p.rest -= n
		c.Owed -= n
	}
	slices.SortStableFunc(c.LostWhy, mostFirst)
	slices.SortStableFunc(c.WasteWhy, mostFirst)
	a.Counts, a.Stacks = c, b.stacks(r, c.Unset)
	return a
}

// mostFirst puts the greater share first.
func mostFirst(a, b Share) int {
	return cmp.Or(cmp.Compare(b.Sheets, a.Sheets), cmp.Compare(a.Why, b.Why), cmp.Compare(a.Machine, b.Machine))
}

func (b *booking) stacks(r ident.Release, unset int) []Stack {
	var out []Stack
	for _, p := range b.piles {
		if p.rest > 0 {
			out = append(out, Stack{ID: p.id, Release: r, Sheets: p.rest, Place: p.place, Made: p.at, placed: p.placed})
		}
	}
	if unset > 0 {
		out = append(out, Stack{Release: r, Sheets: unset, Made: b.cutLast})
	}
	return out
}
