package desk

import (
	"context"
	"fmt"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
)

// Kinds of differences to take.
type Kinds struct {
	New, Changed, Gone bool
}

// Taken is what ConfirmOrders has done.
type Taken struct {
	New       int `json:"new"`
	Changed   int `json:"changed"`
	Closed    int `json:"closed"`    // lines gone from the file
	Items     int `json:"items"`     // items entered or revised by the rows
	Customers int `json:"customers"` // customers entered by the file
}

// ConfirmOrders takes a staged file, by kind, in one transaction; Gone closes
// lines. fault.Conflict if it was taken before, or if a line was edited since
// the file was read (*Stale holds both values; StageAgain shows the difference anew).
func (d *Desk) ConfirmOrders(ctx context.Context, id int64, take Kinds, who string) (Taken, error) {
	st, err := d.Store.Staged(ctx, id)
	if err != nil {
		return Taken{}, err
	}
	if st.Confirmed {
		return Taken{}, fmt.Errorf("import %d was taken by %s at %s: %w", id, st.By, st.When.Format(time.RFC3339), fault.Conflict)
	}
	if take == (Kinds{}) {
		return Taken{}, fault.Violations{{Field: "kinds", Rule: "at least one of new, changed and gone must be taken"}}
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Taken{}, err
	}
	t := taking{staged: st, snapshot: s, items: map[ident.Item]order.Item{}, customers: map[ident.Customer]bool{},
		change: Change{Who: who, Why: fmt.Sprintf("import %d: %s", id, st.Name), Confirms: id}}
	t.puts.change = &t.change
	t.take(take)
	if err := t.violations.Err(); err != nil {
		return Taken{}, err
	}
	if t.puts.err != nil {
		return Taken{}, t.puts.err
	}
	if err := d.apply(ctx, t.change); err != nil {
		return Taken{}, err
	}
	return t.taken, nil
}

// taking builds the change that takes a staged file.
type taking struct {
	staged     Staged
	snapshot   *Snapshot
	change     Change
	puts       putter
	items      map[ident.Item]order.Item // as the change leaves them
	customers  map[ident.Customer]bool   // that the change enters
	taken      Taken
	violations fault.Violations
}

func (t *taking) take(k Kinds) {
	if k.New {
		for _, row := range t.staged.Diff.New {
			t.row(row)
			t.taken.New++
		}
	}
	if k.Changed {
		for _, c := range t.staged.Diff.Changed {
			t.row(c.Row)
			t.taken.Changed++
		}
	}
	for code, i := range t.items {
		t.puts.add(KindItem, string(code), i, t.staged.Items[string(code)])
		t.taken.Items++
	}
	if k.Gone {
		for _, l := range t.staged.Diff.Gone {
			l.State = order.Closed
			t.puts.add(KindLine, l.Key.String(), l, t.staged.Versions[l.Key.String()])
			if n := len(t.change.Puts); n > 0 {
				t.change.Puts[n-1].Asleep = t.snapshot.sleeps(l)
			}
			t.taken.Closed++
		}
	}
}

func (t *taking) row(row order.FileRow) {
	l := row.Line
	t.customer(l.Customer)
	if row.Item != nil {
		t.customer(row.Item.Customer)
		t.item(row)
	}
	t.violate(row.Row, checkLine(l, t.snapshot))
	t.puts.add(KindLine, l.Key.String(), l, t.staged.Versions[l.Key.String()])
}

func (t *taking) item(row order.FileRow) {
	i := *row.Item
	before, known := t.snapshot.Item(i.Code)
	if i.Revision = before.Revision; known && len(fieldsChanged(before, i)) == 0 {
		return
	}
	i.Revision++
	t.violate(row.Row, checkItem(i, t.snapshot))
	t.items[i.Code] = i
}

// customer enters a customer that the file brings, once.
func (t *taking) customer(code ident.Customer) {
	if _, known := t.snapshot.Customer(code); known || t.customers[code] {
		return
	}
	for _, c := range t.staged.File.Customers {
		if c.Code == code {
			t.customers[code] = true
			t.violate(0, checkCustomer(c, t.snapshot))
			t.puts.add(KindCustomer, string(code), c, 0)
			t.taken.Customers++
		}
	}
}

// violate keeps violations, except that something is not in the book which
// this change brings.
func (t *taking) violate(row int, vs fault.Violations) {
	for _, v := range vs {
		_, item := t.items[ident.Item(v.Value)]
		if v.Field == "item" && item || v.Field == "customer" && t.customers[ident.Customer(v.Value)] {
			continue
		}
		v.Row = row
		t.violations = append(t.violations, v)
	}
}
