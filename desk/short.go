package desk

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// Short is a release that is foretold to end with fewer boxes than its customer takes.
type Short struct {
	Line     order.Line
	Least    int            // boxes wanted at least
	Have     int            // made, or given to it
	Foretold trace.Foretold // of its last machine
	Expect   int            // boxes in the end
	Missing  int            // Least − Expect; 0 where only the worst case falls short
	Worst    int            // boxes in the end with the band's worst share of waste
	On       ident.Machine  // the machine it runs on; "": none
	Sheets   int            // still on the floor or to come, not held
	Coming   int            // of Sheets: those that runs of the plan in force still bring
	Held     int            // sheets that stand there on hold
	Value    quantity.Money // of what is missing, at the line's price
	DecideBy time.Time      // by then its last sheets must leave the corrugator; zero: no plan knows it
}

// Shorts returns the open releases that are foretold to end short, or may,
// the dearest first: those whose runs are over, by what stands there, what the
// machines have counted and the waste they make.
func (d *Desk) Shorts(ctx context.Context) ([]Short, error) {
	f, err := d.foreteller(ctx)
	if err != nil {
		return nil, err
	}
	var out []Short
	for r := range f.s.state.Accounts {
		if v, short := f.short(r); short {
			out = append(out, v)
		}
	}
	slices.SortFunc(out, func(a, b Short) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(b.Missing, a.Missing), ident.Compare(a.Line.Key, b.Line.Key))
	})
	return out, nil
}

// ShortOf foretells the end of one release; ok is false where nothing of it was
// told yet or more is to come than can be judged.
func (d *Desk) ShortOf(ctx context.Context, r ident.Release) (v Short, ok bool, err error) {
	f, err := d.foreteller(ctx)
	if err != nil {
		return Short{}, false, err
	}
	v, ok = f.foretell(r)
	return v, ok, nil
}

func (d *Desk) foreteller(ctx context.Context) (foreteller, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return foreteller{}, err
	}
	p, head, err := d.Current(ctx)
	if err != nil && !errors.Is(err, fault.NotFound) {
		return foreteller{}, err
	}
	f := foreteller{s, stock.Of(s.Book, d.Clock()), s.coming(p, head.ID, d.Clock()), map[ident.Release]time.Time{}}
	if p != nil {
		for _, e := range p.Clock.Finishes {
			f.exits[e.Release] = e.LatestExit
		}
	}
	return f, nil
}

// coming are the sheets that the plan's runs still bring, by release: of runs
// that facts do not end, or, where no fact speaks of the plan's runs, of those
// that end after now.
func (s *Snapshot) coming(p *plan.Plan, id ident.Plan, now time.Time) map[ident.Release]int {
	if p == nil {
		return nil
	}
	out := make(map[ident.Release]int, len(p.Orders))
	told := false
	for r := range s.Floor.RunsDone {
		told = told || r.Plan == id
	}
	over := map[int]bool{}
	for _, t := range p.Clock.Runs {
		over[t.Run] = !told && !t.End.After(now)
	}
	for _, r := range p.Runs {
		if over[r.Seq] || !s.Floor.RunsDone[trace.Run{Plan: id, Run: r.Seq}].Ended.IsZero() {
			continue
		}
		for _, l := range r.Lanes {
			if key, err := ident.ParseRelease(l.Order); err == nil {
				out[key] += l.Sheets
			}
		}
	}
	return out
}

type foreteller struct {
	s      *Snapshot
	goods  stock.Standing
	coming map[ident.Release]int
	exits  map[ident.Release]time.Time
}

// short foretells a release and reports whether it falls short, or may.
func (f foreteller) short(r ident.Release) (Short, bool) {
	v, ok := f.foretell(r)
	return v, ok && f.coming[r] == 0 && v.Worst < v.Least
}

func (f foreteller) foretell(r ident.Release) (Short, bool) {
	l, there := f.s.Line(r)
	a := f.s.state.Accounts[r]
	if !there || a == nil || l.State == order.Closed || l.Kind == order.Blanket {
		return Short{}, false
	}
	if a.SheetsMade == 0 && a.Counts.PressGood == 0 && a.BoxesWaste == 0 {
		return Short{}, false // nothing has been made of it yet
	}
	item, _ := f.s.Item(l.Item)
	v := Short{Line: l, Least: l.Least(), DecideBy: f.exits[r]}
	goods := f.goods.Lines[r]
	v.Have = max(goods.Have, goods.Shipped) + goods.FromStock
	for m, on := range f.s.Floor.JobsOn {
		if on.Release == r {
			v.On = m
		}
	}
	for _, st := range a.Stacks {
		if f.s.heldStack(st) {
			v.Held += st.Sheets
		} else {
			v.Sheets += st.Sheets
		}
	}
	v.Coming = f.coming[r]
	v.Sheets += v.Coming
	pieces, stated := f.left(item, a, v.Sheets)
	v.Sheets += a.Counts.Between
	v.Foretold = trace.Foretell(a.Counts.PressGood, a.BoxesWaste, pieces, stated)
	v.Expect = v.Have + v.Foretold.Expect - v.Foretold.Good
	v.Worst = v.Have + v.Foretold.Worst - v.Foretold.Good
	v.Missing = max(0, v.Least-v.Expect)
	v.Value = cmp.Or(l.PricePer1000, f.s.Plant.Prices.DefaultPer1000) / 1000 * quantity.Money(max(v.Missing, v.Least-v.Worst))
	return v, true
}

func (s *Snapshot) heldStack(st trace.Stack) bool {
	_, held := s.state.Holds.Stacks[st.ID]
	_, all := s.state.Holds.Releases[st.Release]
	return held || all
}

// left is how many pieces the last machine will still be fed, and its stated
// share of waste: of sheets before the first machine, and of those between two.
// What steps before it lose, and what a set-up still to come loses, is taken off.
func (f foreteller) left(item order.Item, a *trace.Account, sheets int) (pieces int, stated float64) {
	per := max(item.PiecesPerSheet, 1)
	steps := f.s.stepsOf(item, a)
	if len(steps) == 0 {
		return sheets * per, 0
	}
	last := steps[len(steps)-1]
	stated = last.Loss.RunningPct / 100
	before := steps[:len(steps)-1]
	if len(before) > 0 && a.Counts.Fed > 0 {
		before[0].Loss.SetUpSheets, before[0].Loss.PerColourSheets = 0, 0 // it is set up
	}
	pieces = convert.PiecesExpected(sheets, per, before, item.Colours) + a.Counts.Between*per
	if a.Counts.PressGood+a.BoxesWaste == 0 {
		setUp := last.Loss.SetUpSheets
		if len(before) == 0 {
			setUp = (setUp + item.Colours*last.Loss.PerColourSheets) * per
		}
		pieces = max(0, pieces-setUp)
	}
	return pieces, stated
}

// stepsOf returns one machine a step: the one that counted, else the agreed one, else any of its kind.
func (s *Snapshot) stepsOf(item order.Item, a *trace.Account) []convert.Machine {
	agreed := map[convert.Kind]convert.Machine{}
	for _, code := range item.Route {
		m, _ := s.Machine(code)
		agreed[m.Kind] = m
	}
	var out []convert.Machine
	for _, k := range s.steps(item) {
		best, found := agreed[k]
		for _, m := range s.Plant.Machines {
			_, counted := a.Jobs[m.Code]
			if m.Kind == k && (!found || counted) {
				best, found = m, true
			}
		}
		out = append(out, best)
	}
	return out
}
