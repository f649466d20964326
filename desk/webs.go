package desk

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/webs"
)

// WebsAsk asks which of some web widths are worth keeping.
type WebsAsk struct {
	Candidates []quantity.Length
	Most       int            // widths in a set
	KeepCost   quantity.Money // of one width for a year
	Days       float64        // that the orders cover; 0: by their due times
	Together   float64        // days whose orders are planned at once; 0: all
	Seconds    float64        // of search; 0: 20 s
	Rounds     int            // of each plan, instead of seconds
}

// WebsSearch is one such search, running or ended. It is kept until others push
// it out or the program ends; the book is not touched.
type WebsSearch struct {
	ID       int64
	At       time.Time
	Who      string
	Ask      WebsAsk
	Days     float64 // that the orders cover, stated or by their due times
	Orders   int     // open and closed lines that it is judged by
	Closed   int     // of them
	Aside    int     // lines on hold and blanket orders, left aside
	Faulty   int     // lines without a sheet, left aside
	Progress webs.Progress
	Running  bool
	Result   webs.Result // once ended without a Fault
	Fault    string
}

const (
	websSeconds = 20.0
	websMost    = 8 // searches kept
)

// websKept are the searches of this process, oldest first.
type websKept struct {
	mu   sync.Mutex
	last int64
	list []*WebsSearch
}

func (k *websKept) keep(w *WebsSearch) error {
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, o := range k.list {
		if o.Running {
			return fmt.Errorf("the search that %s began is still running; wait for it or end it: %w", o.Who, fault.Refused)
		}
	}
	k.last = max(k.last+1, w.At.Unix()) // an old address never shows another search
	w.ID = k.last
	k.list = append(k.list, w)
	k.list = k.list[max(0, len(k.list)-websMost):]
	return nil
}

func (k *websKept) change(w *WebsSearch, f func(*WebsSearch)) {
	k.mu.Lock()
	defer k.mu.Unlock()
	f(w)
}

// StartWebs begins a search in the background over the open and closed orders
// of the book. One runs at a time: fault.Refused while another does;
// fault.Violations for a question that cannot be.
func (d *Desk) StartWebs(ctx context.Context, ask WebsAsk, who string) (int64, error) {
	s, err := d.Snapshot(ctx)
	if err != nil {
		return 0, err
	}
	past, err := plan.PastOrders(s.Book, d.Clock())
	if err != nil {
		return 0, err
	}
	if ask.Seconds == 0 {
		ask.Seconds = websSeconds
	}
	p := webs.Problem{Trim: past.Trim, Candidates: ask.Candidates, Most: ask.Most, KeepCost: ask.KeepCost, Days: ask.Days, Together: ask.Together}
	if p.Days == 0 {
		p.Days = past.Days
	}
	if err := p.Validate(); err != nil {
		return 0, err
	}
	w := &WebsSearch{At: d.Clock(), Who: named(who), Ask: ask, Days: p.Days, Orders: len(p.Trim.Orders), Closed: past.Closed, Aside: past.Aside, Faulty: past.Faulty, Running: true}
	if err := d.webs.keep(w); err != nil {
		return 0, err
	}
	id := w.ID
	var r webs.Result
	work := func(ctx context.Context) (err error) {
		r, err = webs.Solve(ctx, p, webs.Options{Seconds: ask.Seconds, Rounds: ask.Rounds, Seed: 1, OnProgress: func(at webs.Progress) {
			d.webs.change(w, func(w *WebsSearch) { w.Progress = at })
		}})
		if err != nil {
			return err
		}
		return webs.Check(p, r)
	}
	ended := func(err error) { d.webs.change(w, func(w *WebsSearch) { d.endWebs(w, r, err) }) }
	if err := d.Worker.Start(websWork(id), work, ended); err != nil {
		ended(err)
		return 0, err
	}
	return id, nil
}

// endWebs keeps what came of a search. What went wrong inside is logged, not shown.
func (d *Desk) endWebs(w *WebsSearch, r webs.Result, err error) {
	w.Running = false
	var known fault.Kind
	switch {
	case err == nil:
		w.Result = slim(r)
	case errors.As(err, &known):
		w.Fault = err.Error()
	default:
		d.Log.Error("search for webs failed", "search", w.ID, "error", err)
		w.Fault = "the search failed; it has been logged"
	}
}

// slim lets go of the plans that sets were shown by: nobody asks for them again.
func slim(r webs.Result) webs.Result {
	for _, list := range [][]webs.Set{r.Sets, r.Best, {r.Today}} {
		for _, s := range list {
			if s.Plan != nil {
				s.Plan.Answers = nil
			}
		}
	}
	return r
}

func websWork(id int64) string { return fmt.Sprintf("webs-%d", id) }

// Webs returns a search as it stands; fault.NotFound when it was pushed out.
func (d *Desk) Webs(id int64) (WebsSearch, error) {
	d.webs.mu.Lock()
	defer d.webs.mu.Unlock()
	for _, w := range d.webs.list {
		if w.ID == id {
			return *w, nil
		}
	}
	return WebsSearch{}, fmt.Errorf("search %d: it is no longer kept; ask again: %w", id, fault.NotFound)
}

// WebsSearches returns the searches that are kept, newest first.
func (d *Desk) WebsSearches() []WebsSearch {
	d.webs.mu.Lock()
	defer d.webs.mu.Unlock()
	var out []WebsSearch
	for i := len(d.webs.list) - 1; i >= 0; i-- {
		out = append(out, *d.webs.list[i])
	}
	return out
}

// EndWebs ends a running search, which keeps what it has priced so far.
func (d *Desk) EndWebs(id int64) error {
	if _, err := d.Webs(id); err != nil {
		return err
	}
	d.Worker.Cancel(websWork(id))
	return nil
}
