package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// Kinds of tables. Stacks and units found on the floor become facts.
const (
	TablePapers    = "papers"
	TableGrades    = "grades"
	TableItems     = "items"
	TableCustomers = "customers"
	TableRolls     = "rolls"
	TableInbound   = "inbound"
	TableStacks    = "stacks"
	TableUnits     = "units"
)

// TableKinds lists the tables that ImportTable takes.
func TableKinds() []string {
	return []string{TablePapers, TableGrades, TableItems, TableCustomers, TableRolls, TableInbound, TableStacks, TableUnits}
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
	in := tableImport{snapshot: s, change: Change{Who: who, Why: fmt.Sprintf("import of %s: %s", kind, name)},
		result: TableResult{Kind: kind, Name: name, Waiting: t.Waiting, Asks: t.Asks}}
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
		if len(vs) > 0 {
			in.wait(string(f.ID), vs)
			continue
		}
		in.change.Facts = append(in.change.Facts, f)
	}
	if len(in.change.Puts) == 0 && len(in.change.Facts) == 0 {
		return in.result, nil
	}
	in.change.At, in.change.Who = d.Clock(), named(in.change.Who)
	fresh, err := d.Store.Apply(ctx, in.change)
	if err != nil {
		return TableResult{}, fmt.Errorf("%s %s: %w", in.result.Kind, in.result.Name, err)
	}
	in.result.New += fresh
	in.result.Same += len(in.change.Facts) - fresh
	return in.result, nil
}

// tableImport builds the change that takes a table.
type tableImport struct {
	snapshot *Snapshot
	change   Change
	puts     putter
	facts    []trace.Fact
	result   TableResult
}

func (in *tableImport) take(t Table) {
	s := in.snapshot
	in.plantParts(t)
	for _, v := range t.Customers {
		before, ok := s.Customer(v.Code)
		importRow(in, KindCustomer, string(v.Code), before, v, ok, checkCustomer(v, s))
	}
	for _, v := range t.Items {
		before, ok := s.Item(v.Code)
		if v.Revision = cmp.Or(v.Revision, 1); ok {
			v.Revision = before.Revision
			if len(fieldsChanged(before, v)) > 0 {
				v.Revision++
			}
		}
		importRow(in, KindItem, string(v.Code), before, v, ok, checkItem(v, s))
	}
	named := map[string]bool{}
	for _, v := range t.Rolls {
		before, ok := s.Roll(v.ID)
		importRow(in, KindRoll, string(v.ID), before, v, ok, checkRoll(v, s))
		named[string(v.ID)] = true
	}
	for _, v := range t.Inbound {
		before, ok := s.InboundOf(v.ID)
		importRow(in, KindInbound, v.ID, before, v, ok, checkInbound(v, s))
		named[v.ID] = true
	}
	in.facts = t.Facts
	in.absent(t.Kind, named)
}

// plantParts lays papers and grades into the plant's one entry.
func (in *tableImport) plantParts(t Table) {
	if len(t.Papers) == 0 && len(t.Grades) == 0 {
		return
	}
	p := in.snapshot.Plant
	fresh := in.result
	p.Papers = merge(p.Papers, t.Papers, func(v board.Paper) string { return string(v.Code) }, &fresh)
	p.Grades = merge(p.Grades, t.Grades, func(v board.Grade) string { return string(v.Code) }, &fresh)
	if vs := checkPlant(p); len(vs) > 0 {
		in.wait(t.Kind, vs)
		return
	}
	in.result = fresh
	if fresh.New+fresh.Changed > 0 {
		in.puts.add(KindPlant, PlantKey, p, in.snapshot.Version(KindPlant, PlantKey))
	}
}

// merge returns old with each of rows in its place or at the end, and counts.
func merge[T any](old, rows []T, code func(T) string, n *TableResult) []T {
	out := slices.Clone(old)
	for _, v := range rows {
		at := slices.IndexFunc(out, func(o T) bool { return code(o) == code(v) })
		switch {
		case at < 0:
			out = append(out, v)
			n.New++
		case len(fieldsChanged(out[at], v)) == 0:
			n.Same++
		default:
			out[at] = v
			n.Changed++
		}
	}
	return out
}

func importRow[T any](in *tableImport, kind Kind, key string, before, after T, known bool, vs fault.Violations) {
	switch {
	case len(vs) > 0:
		in.wait(key, vs)
		return
	case !known:
		in.result.New++
	case len(fieldsChanged(before, after)) == 0:
		in.result.Same++
		return
	default:
		in.result.Changed++
	}
	in.puts.add(kind, key, after, in.snapshot.Version(kind, key))
}

func (in *tableImport) wait(key string, vs fault.Violations) {
	in.result.Waiting = append(in.result.Waiting, order.Waiting{
		Cells: map[string]string{in.result.Kind: key}, Faults: vs,
	})
}

func (in *tableImport) absent(kind string, named map[string]bool) {
	keys := in.snapshot.books.rolls.keys
	switch kind {
	case TableRolls:
	case TableInbound:
		keys = in.snapshot.books.inbound.keys
	default:
		return
	}
	for _, k := range keys {
		if !named[k] {
			in.result.Absent = append(in.result.Absent, k)
		}
	}
}
