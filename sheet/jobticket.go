package sheet

import (
	"cmp"
	"fmt"
	"io"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/convert"
)

// JobTicket prints one job of a release, step 1 being the first converting
// step: what to feed and to expect, which way up, tools and set-up, the blank
// drawn, the bundle and the pallet's layer, and what to watch.
//
// It returns fault.NotFound when the plan holds no such job.
func JobTicket(w io.Writer, book plant.Book, p *plan.Plan, release ident.Release, step int) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	j, err := s.job(release, step)
	if err != nil {
		return err
	}
	return s.tickets(w, fmt.Sprintf("Job %s, step %d", release, step), []jobs.Job{j})
}

// JobTickets prints every job of one machine in sequence, one a page.
//
// It returns fault.NotFound when the plant has no such machine; a machine
// without jobs gets a page that says so.
func JobTickets(w io.Writer, book plant.Book, p *plan.Plan, machine ident.Machine) error {
	s, err := newSource(book, p)
	if err != nil {
		return err
	}
	if _, err := s.machine(machine); err != nil {
		return err
	}
	return s.tickets(w, "Jobs of "+string(machine), s.jobsOf(machine))
}

func (s *source) jobsOf(machine ident.Machine) []jobs.Job {
	var own []jobs.Job
	for _, j := range s.plan.Clock.Jobs {
		if j.Machine == machine {
			own = append(own, j)
		}
	}
	return own
}

func (s *source) tickets(w io.Writer, title string, all []jobs.Job) error {
	f := s.open(title, cautionConverting, s.words.page())
	if len(all) == 0 {
		f.put(margin, f.newPage(title, "", "")+8, style{points: strong}, "This plan holds no job here.")
	}
	for _, j := range all {
		m, err := s.machine(j.Machine)
		if err != nil {
			return err
		}
		t, err := s.ticket(f, m, j)
		if err != nil {
			return err
		}
		t.print()
	}
	return f.finish(w)
}

// ticket is one job with all that its page needs.
type ticket struct {
	*source
	*folio
	job     jobs.Job
	machine convert.Machine
	demand  plan.Demand
	y       float64
}

func (s *source) ticket(f *folio, m convert.Machine, j jobs.Job) (*ticket, error) {
	d, ok := s.demands[j.Release.String()]
	if !ok {
		line, found := s.lines[j.Release]
		if !found {
			return nil, fmt.Errorf("release %s: neither in the plan's demands nor in the book: %w", j.Release, fault.NotFound)
		}
		it := s.items[line.Item]
		d = plan.Demand{Release: j.Release, Item: line.Item, Customer: line.Customer, Grade: it.Grade, Boxes: line.Quantity, PerSheet: it.PiecesPerSheet, Due: line.Due}
		if it.Sheet != nil {
			d.Sheet = *it.Sheet
		}
	}
	return &ticket{source: s, folio: f, machine: m, job: j, demand: d}, nil
}

func (t *ticket) print() {
	it := t.items[t.demand.Item]
	sub := fmt.Sprintf("%s  ·  %s  ·  %s rev. %d", t.customerName(t.demand.Customer), t.describe(it.Code), it.Code, it.Revision)
	t.y = t.newPage(t.job.Release.String(), sub, fmt.Sprintf("%s  job %d", t.job.Machine, t.job.Seq))
	t.y = t.numbers(margin, t.y, t.inner(), 36, t.fourNumbers()) + 2
	t.y = t.table(margin, t.y, t.inner(), t.times()) + 3
	spec, packing := pairs("the sheet and its tools", t.spec()), pairs("bundle and pallet", t.packing())
	watch := pairs("watch: usual limits, the plant's own rule", t.watch())
	t.blank(max(spec.tall(), packing.tall()) + max(watch.tall(), 50))
	half := t.inner()/2 - 3
	t.y = max(t.table(margin, t.y, half, spec), t.table(margin+half+6, t.y, half, packing)) + 4
	t.table(margin, t.y, half, watch)
	t.pallet(margin+half+6, t.y, half)
}

func (t *ticket) fourNumbers() []number {
	turn := "NO"
	if t.job.Turn {
		turn = "YES"
	}
	bundle := "–"
	if n := t.perBundle(); n > 0 {
		bundle = t.Count(n)
	}
	return []number{{"FEED, " + t.fed(), t.Count(t.job.Sheets)}, {"GOOD expected, pieces", t.Count(t.job.Pieces)}, {"TURN the stack over", turn}, {"BUNDLE, pieces", bundle}}
}

// fed is what the machine takes: sheets in the first step, cut pieces in later ones.
func (t *ticket) fed() string {
	if t.job.Step > 1 {
		return "cut pieces"
	}
	return "sheets"
}

func (t *ticket) perBundle() int {
	if l, err := t.load(t.job.Release); err == nil && l.PerBundle > 0 {
		return l.PerBundle
	}
	return t.items[t.demand.Item].BoxesPerBundle
}

func (t *ticket) times() table {
	j := t.job
	return table{columns: []column{
		{head: t.fed() + " here, cured"}, {head: "start", bold: true}, {head: "end"}, {head: "start at the latest"},
		{head: "set-up, min", anchor: "end", width: 22}, {head: "run, min", anchor: "end", width: 18}, {head: "waits for", width: 34, anchor: "end"},
	}, rows: [][]string{{t.clock(j.SheetsAt), t.clock(j.Start), t.clock(j.End), t.clock(j.LatestStart), t.Number(float64(j.SetUp), 0),
		t.Number(float64(j.Run), 0), cmp.Or(j.WaitsFor, "nothing")}}}
}

// pairs is a table of names and values.
func pairs(head string, all []limit) table {
	t := table{points: small, columns: []column{{head: head, width: 42}, {anchor: "end", bold: true}}}
	for _, p := range all {
		t.rows = append(t.rows, []string{p.what, p.allowed})
	}
	return t
}
