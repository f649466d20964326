package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/trace"
)

// Counted is one release with its five counts.
type Counted struct {
	Release ident.Release `json:"release"`
	Ordered int           `json:"ordered"`
	trace.Counts
	Cannot []string `json:"cannot,omitempty" doc:"counts that cannot be, in words"`
}

// Foretold is a release that will end short, or may.
type Foretold struct {
	Release  ident.Release  `json:"release"`
	Least    int            `json:"least" doc:"boxes wanted at least"`
	Have     int            `json:"have" doc:"boxes made, or given to it"`
	Expect   int            `json:"expect" doc:"boxes in the end"`
	Worst    int            `json:"worst" doc:"boxes in the end with the worst likely share of waste"`
	Missing  int            `json:"missing" doc:"boxes; 0 where only the worst case falls short"`
	On       ident.Machine  `json:"on,omitempty"`
	Sheets   int            `json:"sheets" doc:"still on the floor or to come, not held"`
	Coming   int            `json:"coming" doc:"of the sheets: from runs still ahead"`
	Held     int            `json:"held" doc:"sheets on hold"`
	Value    quantity.Money `json:"value" doc:"of what is missing, at the line's price"`
	DecideBy time.Time      `json:"decide_by,omitzero"`
}

// OverMade is a release of which more was made than ordered.
type OverMade struct {
	Release ident.Release   `json:"release"`
	Ordered int             `json:"ordered"`
	Made    int             `json:"made" doc:"made for it or taken from others, less given away"`
	Over    int             `json:"over" doc:"boxes beyond what is ordered, in the house"`
	Beyond  int             `json:"beyond" doc:"of these: more than its customer takes; free"`
	Next    []ident.Release `json:"next" doc:"open releases of the item that lack boxes: its own order's call-offs first, then by due time"`
}

type counts struct {
	Shorts   []Foretold `json:"shorts" doc:"the dearest first"`
	Overs    []OverMade `json:"overs" doc:"the most first"`
	Releases []Counted  `json:"releases"`
	Count    int        `json:"count" doc:"of all releases with counts"`
}

// Wasted is waste of one day at one place for one reason.
type Wasted struct {
	Day     string        `json:"day" doc:"YYYY-MM-DD in the plant's zone"`
	Place   string        `json:"place"`
	Reason  string        `json:"reason"`
	Planned bool          `json:"planned" doc:"known before: trim, first cuts, ends, changes, set-up sheets, cut-outs; all else is controllable"`
	Sheets  int           `json:"sheets"`
	Mass    quantity.Mass `json:"mass_kg" doc:"as weighed, else by area and grammage"`
}

// HandedOver is what a shift hands to the next.
type HandedOver struct {
	Shift     string       `json:"shift"`
	From      time.Time    `json:"from"`
	Until     time.Time    `json:"until"`
	Who       []string     `json:"who" doc:"who told facts in it"`
	Made      []MadeOn     `json:"made"`
	Running   []string     `json:"running"`
	Waits     []string     `json:"waits"`
	Holds     []string     `json:"holds"`
	Waste     []HandedLoss `json:"waste"`
	Questions []string     `json:"questions" doc:"what needs a decision, worst first"`
}

// MadeOn is what one machine made against the plan, as the sheet prints it.
type MadeOn struct {
	Machine string           `json:"machine"`
	Unit    string           `json:"unit" doc:"of planned and made: boxes, or the plant's unit of length along the web"`
	Planned string           `json:"planned"`
	Made    string           `json:"made"`
	Done    int              `json:"done" doc:"runs or jobs ended"`
	Of      int              `json:"of" doc:"that the plan has end in the shift"`
	Stood   quantity.Minutes `json:"stood_min"`
	Why     []string         `json:"why,omitempty" doc:"it stood"`
}

// HandedLoss is waste told in the shift.
type HandedLoss struct {
	Reason string        `json:"reason"`
	Place  string        `json:"place"`
	Mass   quantity.Mass `json:"mass_kg"`
	Sheets int           `json:"sheets"`
}

func (f *face) looks(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "get-counts", Method: http.MethodGet, Path: "/counts", Summary: "The five counts of each release, the shorts that are foretold, and the overs",
	}, f.counts)
	huma.Register(api, huma.Operation{
		OperationID: "get-waste", Method: http.MethodGet, Path: "/waste", Summary: "Waste by day, place and reason",
	}, f.waste)
	huma.Register(api, huma.Operation{
		OperationID: "get-handover", Method: http.MethodGet, Path: "/handover", Summary: "What a shift hands to the next",
	}, f.handover)
	f.paper(api)
}

func (f *face) counts(ctx context.Context, in *Listed) (*answer[counts], error) {
	snap, err := f.desk.Snapshot(ctx)
	if err != nil {
		return nil, f.problem(err)
	}
	shorts, err := f.desk.Shorts(ctx)
	if err != nil {
		return nil, f.problem(err)
	}
	overs, err := f.desk.Overs(ctx)
	if err != nil {
		return nil, f.problem(err)
	}
	out := counts{Shorts: []Foretold{}, Overs: []OverMade{}}
	for _, o := range overs {
		v := OverMade{o.Line.Key, o.Line.Quantity, o.Made, o.Boxes, o.Beyond, []ident.Release{}}
		for _, n := range o.Next {
			v.Next = append(v.Next, n.Key)
		}
		out.Overs = append(out.Overs, v)
	}
	for _, s := range shorts {
		out.Shorts = append(out.Shorts, Foretold{
			s.Line.Key, s.Least, s.Have, s.Expect, s.Worst, s.Missing, s.On, s.Sheets, s.Coming, s.Held, s.Value, s.DecideBy,
		})
	}
	all := []Counted{}
	for _, l := range snap.Lines {
		a, ok := snap.Account(l.Key)
		if !ok || a.Quantities == (trace.Quantities{}) {
			continue
		}
		item, _ := snap.Item(l.Item)
		all = append(all, Counted{l.Key, l.Quantity, a.Counts, trace.Excess(a.Quantities, l.Quantity, max(item.PiecesPerSheet, 1), l.OverPct)})
	}
	out.Releases, out.Count = cut(all, in.From, in.Limit), len(all)
	return say(f, out, nil)
}

func (f *face) waste(ctx context.Context, in *struct {
	Since time.Time `query:"since" doc:"default: seven days before until"`
	Until time.Time `query:"until" doc:"default: now"`
}) (*answer[[]Wasted], error) {
	until := in.Until
	if until.IsZero() {
		until = f.desk.Now()
	}
	since := in.Since
	if since.IsZero() {
		since = until.Add(-7 * 24 * time.Hour)
	}
	if !since.Before(until) {
		return nil, f.problem(fault.Violations{{Field: "since", Value: since.Format(time.RFC3339), Rule: "must be before until"}})
	}
	rows, err := f.desk.Waste(ctx, since, until)
	out := make([]Wasted, len(rows))
	for i, r := range rows {
		out[i] = Wasted{r.Day.Format(time.DateOnly), r.Place, r.Reason, r.Planned, r.Sheets, r.Mass}
	}
	return say(f, out, err)
}

func (f *face) handover(ctx context.Context, in *struct {
	At time.Time `query:"at" doc:"a moment of the shift; default: the latest that is half over or more"`
}) (*answer[HandedOver], error) {
	h, err := f.desk.Handover(ctx, in.At)
	out := HandedOver{
		Shift: h.Shift, From: h.From, Until: h.Until, Who: some(h.Who), Running: some(h.Running), Waits: some(h.Waits), Holds: some(h.Holds), Questions: some(h.Questions),
		Made: make([]MadeOn, len(h.Made)), Waste: make([]HandedLoss, len(h.Waste)),
	}
	for i, m := range h.Made {
		out.Made[i] = MadeOn{m.Machine, m.Unit, m.Planned, m.Made, m.Done, m.Of, quantity.InMinutes(m.Stood), m.Why}
	}
	for i, w := range h.Waste {
		out.Waste[i] = HandedLoss(w)
	}
	return say(f, out, err)
}
