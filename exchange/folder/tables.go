package folder

import (
	"fmt"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plan/runs"
	"github.com/flutewright/flutewright/plant"
)

// tablesOf makes the CSV tables of a plan. Moments are in the plant's zone.
func tablesOf(p *plan.Plan, b plant.Book) ([]*table, error) {
	zone, err := time.LoadLocation(b.Plant.Calendar.Zone)
	if err != nil {
		return nil, fmt.Errorf("time zone %q: %w", b.Plant.Calendar.Zone, err)
	}
	c := clock{zone}
	p = Worded(p, b)
	tables := []*table{
		runsTable(p, c), lanesTable(p), rollsTable(p), paperTable(p, c), jobsTable(p, c), loadsTable(p), ordersTable(p, c), unplannedTable(p), noticesTable(p, c),
	}
	if b.Plant.Display.Units == "us" {
		for _, t := range tables {
			t.inUS()
		}
	}
	return tables, nil
}

// Worded returns a plan with its engines' sentences in the plant's units.
func Worded(p *plan.Plan, b plant.Book) *plan.Plan {
	descriptions := map[ident.Item]string{}
	for _, i := range b.Items {
		descriptions[i.Code] = i.Description
	}
	return plan.Worded(p, FormatOf(b), func(code ident.Item) string { return descriptions[code] })
}

// FormatOf is how a book's plant shows quantities.
func FormatOf(b plant.Book) quantity.Format {
	d := b.Plant.Display
	return quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates}
}

func runsTable(p *plan.Plan, c clock) *table {
	t := newTable("runs", "run", "grade", "web_mm", "length_m", "trim_mm", "start", "end", "run_min", "change_min", "speed_m_min", "speed_limit", "ends_order", "ends_cuts")
	times := map[int]jobs.RunTime{}
	for _, r := range p.Clock.Runs {
		times[r.Run] = r
	}
	ends := map[int]plan.Setup{}
	for _, s := range p.Setups {
		ends[s.Run] = s
	}
	for _, r := range p.Runs {
		rt, s := times[r.Seq], ends[r.Seq]
		t.add(count(r.Seq), string(r.Grade), num(r.Web.Millimetres(), 3), num(r.Length.Metres(), 6), num(r.Trim.Millimetres(), 3),
			c.at(rt.Start), c.at(rt.End), num(float64(rt.Minutes), 1), num(float64(rt.Change), 1), num(rt.Speed.MetresPerMinute(), 1), rt.SpeedWhy,
			s.EndsOrder, count(s.EndsCount))
	}
	return t
}

func lanesTable(p *plan.Plan) *table {
	t := newTable("lanes", "run", "lane", "order", "level", "outs", "slit_mm", "chop_mm", "cuts", "sheets", "upgraded")
	for _, r := range p.Runs {
		for i, l := range r.Lanes {
			t.add(count(r.Seq), count(i+1), l.Order, count(l.Level), count(l.Outs), num(l.Slit.Millimetres(), 3), num(l.Chop.Millimetres(), 3),
				count(l.Cuts), count(l.Sheets), yes(l.Upgraded))
		}
	}
	return t
}

func rollsTable(p *plan.Plan) *table {
	t := newTable("rolls", "run", "ply", "stand", "paper", "web_mm", "need_m", "need_kg", "roll", "inbound", "from_it_m", "splice")
	for _, n := range p.Rolls.Needs {
		head := []string{count(n.Run), count(n.Ply), n.Stand, string(n.Paper), num(n.Web.Millimetres(), 3), num(n.Metres.Metres(), 1), num(float64(n.Mass), 1)}
		if len(n.Rolls) == 0 {
			t.add(append(head, "", "", "", "")...)
		}
		for _, u := range n.Rolls {
			t.add(append(head[:len(head):len(head)], string(u.Roll), u.Truck, num(u.Metres.Metres(), 1), yes(u.Splice))...)
		}
	}
	return t
}

func paperTable(p *plan.Plan, c clock) *table {
	t := newTable("paper", "paper", "web_mm", "need_m", "need_kg", "house_m", "held_m", "inbound_m", "short_m", "short_run", "short_at", "ended_by", "ended_at", "in_time", "note")
	for _, v := range p.Rolls.Positions {
		by, at, in := "", "", ""
		if e := v.EndedBy; e != nil {
			by, at, in = e.ID, c.at(e.ETA), yes(e.InTime)
		}
		t.add(string(v.Paper), num(v.Web.Millimetres(), 3), num(v.Need.Metres(), 1), num(float64(v.NeedMass), 1), num(v.House.Metres(), 1), num(v.Held.Metres(), 1),
			num(v.Inbound.Metres(), 1), num(v.Short.Metres(), 1), count(v.ShortRun), c.at(v.ShortAt), by, at, in, v.Note)
	}
	return t
}

func jobsTable(p *plan.Plan, c clock) *table {
	t := newTable("jobs", "machine", "seq", "order", "step", "sheets", "pieces", "set_up_min", "run_min", "sheets_at", "start", "end", "latest_start", "turn", "waits_for", "why")
	for _, j := range p.Clock.Jobs {
		t.add(string(j.Machine), count(j.Seq), j.Release.String(), count(j.Step), count(j.Sheets), count(j.Pieces), num(float64(j.SetUp), 1), num(float64(j.Run), 1),
			c.at(j.SheetsAt), c.at(j.Start), c.at(j.End), c.at(j.LatestStart), yes(j.Turn), j.WaitsFor, j.Why)
	}
	return t
}

func loadsTable(p *plan.Plan) *table {
	t := newTable("loads", "order", "pallet", "boxes", "boxes_per_bundle", "bundles", "odd_bundle", "bundle_length_mm", "bundle_width_mm", "bundle_height_mm",
		"bundle_kg", "bundles_per_layer", "layers", "boxes_per_unit", "units", "last_unit_boxes", "unit_height_mm", "unit_kg", "overhang_mm", "agreed", "warnings", "refusal")
	for _, l := range p.Loads {
		t.add(l.Release.String(), string(l.Pallet), count(l.Boxes), count(l.PerBundle), count(l.Bundles), count(l.OddBundle), num(l.BundleLength.Millimetres(), 1),
			num(l.BundleWidth.Millimetres(), 1), num(l.BundleHeight.Millimetres(), 1), num(float64(l.BundleMass), 2), count(l.PerLayer), count(l.Layers), count(l.PerUnit),
			count(l.Units), count(l.LastUnit), num(l.UnitHeight.Millimetres(), 1), num(float64(l.UnitMass), 1), num(l.Overhang.Millimetres(), 1), yes(l.Agreed),
			strings.Join(l.Warnings, "; "), l.Refusal)
	}
	return t
}

func ordersTable(p *plan.Plan, c clock) *table {
	t := newTable("orders", "order", "customer", "item", "grade", "chop_mm", "slit_mm", "sheet_approved", "boxes", "boxes_to_make", "pieces_per_sheet", "sheets_wanted",
		"sheets_planned", "runs", "route", "due", "due_at", "overdue", "made_at", "at_gate", "at_dock", "late_min", "float_min", "latest_corrugator_exit", "waits_for", "not_planned")
	made := map[string]runs.Made{}
	for _, m := range p.Orders {
		made[m.Order] = m
	}
	ends := map[ident.Release]jobs.Finish{}
	for _, f := range p.Clock.Finishes {
		ends[f.Release] = f
	}
	why := reasons(p)
	for _, d := range p.Demands {
		key := d.Release.String()
		m, f := made[key], ends[d.Release]
		t.add(key, string(d.Customer), string(d.Item), string(d.Grade), num(d.Sheet.Chop.Millimetres(), 3), num(d.Sheet.Slit.Millimetres(), 3), yes(d.Approved),
			count(d.Boxes), count(d.ToMake), count(d.PerSheet), count(d.Wanted), count(m.Planned), list(m.Runs), list(d.Route), c.at(d.Due), f.DueAt, yes(d.Overdue),
			c.at(f.MadeAt), c.at(f.AtGate), c.at(f.AtDock), num(float64(f.Late), 0), num(float64(f.Float), 0), c.at(f.LatestExit), f.WaitsFor, why[key])
	}
	return t
}

// reasons tells for each order why it is not made as wanted, from whichever station stops it.
func reasons(p *plan.Plan) map[string]string {
	why := map[string]string{}
	for _, u := range p.Unplanned {
		why[u.Order] = u.Reason
	}
	for _, d := range p.Demands {
		if d.Fault != "" {
			why[d.Release.String()] = d.Fault
		}
	}
	for _, r := range p.Clock.Refused {
		if why[r.Release.String()] == "" {
			why[r.Release.String()] = r.Reason
		}
	}
	return why
}

func unplannedTable(p *plan.Plan) *table {
	t := newTable("unplanned", "order", "reason")
	why := reasons(p)
	for _, d := range p.Demands {
		if reason, ok := why[d.Release.String()]; ok {
			t.add(d.Release.String(), reason)
		}
	}
	return t
}

func noticesTable(p *plan.Plan, c clock) *table {
	t := newTable("notices", "rank", "kind", "order", "act_by", "text")
	for _, n := range p.Notices {
		key := ""
		if n.Release != (ident.Release{}) {
			key = n.Release.String()
		}
		t.add(count(n.Rank), n.Kind, key, c.at(n.ActBy), n.Text)
	}
	return t
}

func list[T any](values []T) string {
	parts := make([]string, len(values))
	for i, v := range values {
		parts[i] = fmt.Sprint(v)
	}
	return strings.Join(parts, "/")
}
