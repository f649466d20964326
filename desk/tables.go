package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// Kinds of tables. Stacks and units found on the floor, and jobs half done, become facts.
const (
	TablePapers    = "papers"
	TableGrades    = "grades"
	TableItems     = "items"
	TableCustomers = "customers"
	TableRolls     = "rolls"
	TableInbound   = "inbound"
	TableStacks    = "stacks"
	TableUnits     = "units"
	TableJobs      = "jobs"
)

// TableKinds lists the tables that ImportTable takes.
func TableKinds() []string {
	return []string{TablePapers, TableGrades, TableItems, TableCustomers, TableRolls, TableInbound, TableStacks, TableUnits, TableJobs}
}

// Table is a table as read: the good rows of its kind, and the waiting ones.
type Table struct {
	Kind      string
	Papers    []board.Paper
	Grades    []board.Grade
	Items     []order.Item
	Customers []order.Customer
	Rolls     []roll.Roll
	Inbound   []roll.Inbound
	Facts     []trace.Fact // stacks and units found: ids that a repeat of the file gives again
	Waiting   []order.Waiting
	Asks      []string
	Notes     []string // what was taken all the same, and ought to be looked at
}

// TableResult is what an import of a table did.
type TableResult struct {
	Kind    string          `json:"kind"`
	Name    string          `json:"name"`
	New     int             `json:"new"`
	Changed int             `json:"changed"`
	Same    int             `json:"same"`
	Absent  []string        `json:"absent,omitempty"` // rolls and deliveries of the book that the file does not name; they stay
	Waiting []order.Waiting `json:"waiting"`
	Asks    []string        `json:"asks,omitempty"`
	Notes   []string        `json:"notes,omitempty"` // taken all the same
}

// ImportTable reads a table and takes its good rows in one transaction; faulty
// rows are returned with their reasons. A row that the plant's rules refuse
// waits like an unreadable one. fault.Conflict if the book changed meanwhile.
func (d *Desk) ImportTable(ctx context.Context, kind, name string, r io.Reader, who string) (TableResult, error) {
	if d.Tables == nil {
		return TableResult{}, errors.New("desk: no reader of tables")
	}
	if !slices.Contains(TableKinds(), kind) {
		return TableResult{}, fault.Violations{{Field: "kind", Value: kind, Rule: fmt.Sprintf("must be one of %v", TableKinds())}}
	}
	known, s, err := d.known(ctx)
	if err != nil {
		return TableResult{}, err
	}
	t, err := d.Tables.ReadTable(kind, name, r, known)
	if err != nil {
		return TableResult{}, fmt.Errorf("%s %s: %w", kind, name, err)
	}
	in := tableImport{snapshot: s, at: d.Clock(), change: Change{Who: who, Why: fmt.Sprintf("import of %s: %s", kind, name)},
		result: TableResult{Kind: kind, Name: name, Waiting: t.Waiting, Asks: t.Asks, Notes: t.Notes}}
	in.puts.change = &in.change
	in.take(t)
	return d.finishImport(ctx, &in)
}

func (d *Desk) finishImport(ctx context.Context, in *tableImport) (TableResult, error) {
	if in.puts.err != nil {
		return TableResult{}, in.puts.err
	}
	for _, f := range in.facts {
		f, vs := d.factToKeep(ctx, in.snapshot, f)
		if len(vs) == 0 {
			var err error
			if f, vs, err = d.foundBefore(ctx, f); err != nil {
				return TableResult{}, err
			}
		}
		if len(vs) > 0 {
			in.wait(string(f.ID), vs)
			continue
		}
		in.change.Facts = append(in.change.Facts, f)
	}
	if len(in.change.Puts) == 0 && len(in.change.Facts) == 0 {
		return in.result, nil
	}
	in.change.At, in.change.Who = in.at, named(in.change.Who)
	in.change.Facts = append(in.change.Facts, in.counts...)
	fresh, err := d.Store.Apply(ctx, in.change)
	if err != nil {
		return TableResult{}, fmt.Errorf("%s %s: %w", in.result.Kind, in.result.Name, err)
	}
	in.result.New += fresh - len(in.counts)
	in.result.Same += len(in.change.Facts) - fresh
	return in.result, nil
}

// foundBefore sets a found stack or unit against the fact of the same name. A
// file that states no time is read at another moment each time: what it says
// again is the same fact, and what it says otherwise waits with both values.
func (d *Desk) foundBefore(ctx context.Context, f trace.Fact) (trace.Fact, fault.Violations, error) {
	there, err := d.Store.Facts(ctx, FactQuery{ID: f.ID, Limit: 1})
	if err != nil || len(there) == 0 {
		return f, nil, err
	}
	again := f
	again.At = there[0].At
	if reflect.DeepEqual(again, there[0]) {
		return again, nil, nil
	}
	return f, fault.Violations{{Field: "fact", Value: string(f.ID),
		Rule:   fmt.Sprintf("was found before otherwise: %d of %s at %s", there[0].Good, there[0].Release, cmp.Or(there[0].Place, "no place")),
		Remedy: "take that fact back, or tell what happened since"}}, nil
}
