package desk

import (
	"cmp"
	"errors"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/board"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// tableImport builds the change that takes a table.
type tableImport struct {
	snapshot *Snapshot
	change   Change
	puts     putter
	at       time.Time
	facts    []trace.Fact
	counts   []trace.Fact // of rolls, beside their rows
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
		vs := checkRoll(v, s)
		importRow(in, KindRoll, string(v.ID), before, v, ok, vs)
		if f, counted := s.countOf(before, v, s.Version(KindRoll, string(v.ID)), in.at, in.change.Who); ok && counted && len(vs) == 0 {
			in.counts = append(in.counts, f)
		}
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
	var broken fault.Violations
	if err := p.Validate(); errors.As(err, &broken) {
		in.wait(t.Kind, broken)
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
