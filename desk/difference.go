package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
)

// compareFile fills st.Diff: the file's lines against the book's, with the
// versions seen, so that taking it later never overwrites somebody's edit.
//
// A line whose row waits with a fault is not gone, nor is a re-make or a stock
// order, which no customer's file knows. What a file leaves empty it does not state.
func (d *Desk) compareFile(ctx context.Context, s *Snapshot, st *Staged) error {
	st.Versions, st.Items = map[string]int{}, map[string]int{}
	named := map[ident.Release]bool{}
	for i, row := range st.File.Rows {
		named[row.Line.Key] = true
		before, version, err := d.lineNow(ctx, s, row.Line.Key)
		if err != nil {
			return err
		}
		key := row.Line.Key.String()
		st.Versions[key] = version
		fields, items := itemChanges(s, row, st.Items)
		if version == 0 {
			st.Diff.New = append(st.Diff.New, row)
			continue
		}
		row.Line = stated(before, row.Line, st.File.Columns)
		st.File.Rows[i] = row
		fields = append(lineChanges(before, row.Line, s), fields...)
		if len(fields) == 0 && !items {
			st.Diff.Same++
			continue
		}
		st.Diff.Changed = append(st.Diff.Changed, order.Change{Row: row, Before: before, Fields: fields})
	}
	waiting, unnamed := waitingKeys(st.File.Waiting)
	for _, l := range s.Lines {
		if l.State == order.Closed || l.Parent != "" || l.Kind == order.ForStock || named[l.Key] || waiting[l.Key] {
			continue
		}
		st.Versions[l.Key.String()] = s.Version(KindLine, l.Key.String())
		st.Diff.Gone = append(st.Diff.Gone, l)
	}
	st.Notes = append(st.Notes, closedDays(s, st.Diff)...)
	if unnamed > 0 && len(st.Diff.Gone) > 0 {
		st.Notes = append(st.Notes, fmt.Sprintf(
			"%d waiting rows name no readable order: lines that seem gone may stand in them", unnamed))
	}
	return nil
}

// lineNow returns the book's line, from the snapshot or, if it was closed long
// ago, from the store; version 0 if there is none.
func (d *Desk) lineNow(ctx context.Context, s *Snapshot, r ident.Release) (order.Line, int, error) {
	if l, ok := s.Line(r); ok {
		return l, s.Version(KindLine, r.String()), nil
	}
	l, version, err := d.Line(ctx, r)
	if errors.Is(err, fault.NotFound) {
		return order.Line{}, 0, nil
	}
	return l, version, err
}

// stated returns what the book is to hold where the file states now: the
// file's values, the book's where the file has no such column or an empty
// cell, and the state that people set, except that a closed line is opened again.
func stated(before, now order.Line, columns []string) order.Line {
	silent := func(column string) bool { return len(columns) > 0 && !slices.Contains(columns, column) }
	if silent("under_pct") {
		now.UnderPct = before.UnderPct
	}
	if silent("over_pct") {
		now.OverPct = before.OverPct
	}
	if silent("due_at") {
		now.DueAt = before.DueAt
	}
	now.ShipTo = cmp.Or(now.ShipTo, before.ShipTo)
	now.PricePer1000 = cmp.Or(now.PricePer1000, before.PricePer1000)
	now.Priority = cmp.Or(now.Priority, before.Priority)
	now.Parent = cmp.Or(now.Parent, before.Parent)
	now.Note = cmp.Or(now.Note, before.Note)
	if silent("kind") {
		now.Kind = before.Kind
	}
	if silent("closes") {
		now.Closes = before.Closes
	}
	now.Taken, now.Given = before.Taken, before.Given
	now.State = order.Open
	if before.State == order.OnHold {
		now.State = order.OnHold
	}
	return now
}

func lineChanges(a, b order.Line, s *Snapshot) []string {
	var out []string
	say := func(what, before, after string) {
		if before != after {
			out = append(out, what+" "+cmp.Or(before, "none")+" → "+cmp.Or(after, "none"))
		}
	}
	day := func(l order.Line) string { return l.Due.In(s.zone).Format("Mon 2006-01-02 15:04") }
	say("customer", string(a.Customer), string(b.Customer))
	say("item", string(a.Item), string(b.Item))
	say("quantity", thousands(a.Quantity), thousands(b.Quantity))
	say("under %", fmt.Sprint(a.UnderPct), fmt.Sprint(b.UnderPct))
	say("over %", fmt.Sprint(a.OverPct), fmt.Sprint(b.OverPct))
	if !a.Due.Equal(b.Due) {
		say("due", day(a), day(b))
	}
	say("due at", string(a.DueAt), string(b.DueAt))
	say("ship to", a.ShipTo, b.ShipTo)
	say("price per 1000", fmt.Sprint(float64(a.PricePer1000)), fmt.Sprint(float64(b.PricePer1000)))
	say("priority", fmt.Sprint(a.Priority), fmt.Sprint(b.Priority))
	say("kind", string(a.Kind), string(b.Kind))
	if a.Closes != b.Closes {
		say("closes the order", fmt.Sprint(a.Closes), fmt.Sprint(b.Closes))
	}
	say("note", a.Note, b.Note)
	say("state", string(a.State), string(b.State))
	return out
}

// thousands writes 12,345.
func thousands(n int) string {
	digits := fmt.Sprint(n)
	for i := len(digits) - 3; i > 0 && digits[i-1] != '-'; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}

// waitingKeys returns the lines that waiting rows name, and how many rows name none.
func waitingKeys(rows []order.Waiting) (map[ident.Release]bool, int) {
	keys, unnamed := map[ident.Release]bool{}, 0
	for _, w := range rows {
		cell := func(column string) string {
			for name, v := range w.Cells {
				if strings.EqualFold(strings.TrimSpace(name), column) {
					return strings.TrimSpace(v)
				}
			}
			return ""
		}
		if o := cell("order"); o != "" {
			keys[ident.NewRelease(o, cell("line"), cell("release"))] = true
		} else {
			unnamed++
		}
	}
	return keys, unnamed
}
