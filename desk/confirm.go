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
	New     int `json:"new"`
	Changed int `json:"changed"`
	Closed  int `json:"closed"` // lines gone from the file
	Items   int `json:"items"`  // items entered or revised by the rows
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
	t := taking{staged: st, snapshot: s, items: map[ident.Item]order.Item{},
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
		version := t.staged.Items[string(code)]
		i.Revision = 1
		if before, known := t.snapshot.Item(code); known {
			i.Revision = before.Revision + 1
		}
		t.puts.add(KindItem, string(code), i, version)
		t.taken.Items++
	}
	if k.Gone {
		for _, l := range t.staged.Diff.Gone {
			l.State = order.Closed
			t.puts.add(KindLine, l.Key.String(), l, t.staged.Versions[l.Key.String()])
			t.taken.Closed++
		}
	}
}

func (t *taking) row(row order.FileRow) {
	if row.Item != nil {
		t.item(row)
	}
	l := row.Line
	for _, v := range checkLine(l, t.snapshot) {
		if _, coming := t.items[l.Item]; v.Field == "item" && coming {
			continue
		}
		v.Row = row.Row
		t.violations = append(t.violations, v)
	}
	t.puts.add(KindLine, l.Key.String(), l, t.staged.Versions[l.Key.String()])
}

func (t *taking) item(row order.FileRow) {
	i := *row.Item
	before, known := t.snapshot.Item(i.Code)
	if earlier, again := t.items[i.Code]; again {
		before, known = earlier, true
	}
	if known {
		i = itemStated(before, i)
		if len(fieldsChanged(before, i)) == 0 {
			return
		}
	}
	for _, v := range checkItem(i, t.snapshot) {
		v.Row = row.Row
		t.violations = append(t.violations, v)
	}
	t.items[i.Code] = i
}
