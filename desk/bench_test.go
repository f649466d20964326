package desk_test

import (
	"fmt"
	"runtime"
	"testing"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
)

// bigBook is the demo plant with the book of a plant of 60,000 t a year: 10,000
// items, 2,500 open lines, 2,000 rolls (common practice, no published source).
func bigBook() plant.Book {
	b := demo.Book()
	items, lines, rolls := b.Items, b.Lines, b.Rolls
	b.Items, b.Lines, b.Rolls = nil, nil, nil
	for i := range 10_000 {
		v := items[i%len(items)]
		v.Code = ident.Item(fmt.Sprintf("I%06d", i))
		v.Kit = nil
		b.Items = append(b.Items, v)
	}
	for i := range 2500 {
		v := lines[i%len(lines)]
		v.Key, v.Item = ident.NewRelease(fmt.Sprintf("K%05d", i), "", ""), b.Items[i*4].Code
		b.Lines = append(b.Lines, v)
	}
	for i := range 2000 {
		v := rolls[i%len(rolls)]
		v.ID = ident.Roll(fmt.Sprintf("Q%05d", i))
		b.Rolls = append(b.Rolls, v)
	}
	return b
}

func bigHouse(b *testing.B) *house {
	h := emptyHouse(b)
	if err := h.SetUp(b.Context(), bigBook(), "Ana"); err != nil {
		b.Fatal(err)
	}
	return h
}

// BenchmarkFirstSnapshot loads the whole big book, as a desk does at its start.
func BenchmarkFirstSnapshot(b *testing.B) {
	h := bigHouse(b)
	for b.Loop() {
		if _, err := h.another(b).Snapshot(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
	d := h.another(b)
	before := heap()
	if _, err := d.Snapshot(b.Context()); err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(heap()-before)/1e6, "MB-kept")
	runtime.KeepAlive(d)
}

func heap() int64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}

// BenchmarkSnapshotUnchanged is what every page pays.
func BenchmarkSnapshotUnchanged(b *testing.B) {
	h := bigHouse(b)
	h.snapshot(b)
	for b.Loop() {
		h.snapshot(b)
	}
}

// BenchmarkRecord is one typed fact acknowledged, with the next page's snapshot.
func BenchmarkRecord(b *testing.B) {
	h := bigHouse(b)
	l := h.snapshot(b).Lines[7]
	n := 0
	for b.Loop() {
		n++
		f := trace.Fact{ID: ident.Fact(fmt.Sprint("b", n)), At: demo.Now, Kind: trace.StackFound, Source: "desk", Release: l.Key, Good: 1, Stack: "S1"}
		if _, err := h.Record(b.Context(), f); err != nil {
			b.Fatal(err)
		}
		h.snapshot(b)
	}
}

// BenchmarkSaveLine is one edit acknowledged, with the next page's snapshot.
func BenchmarkSaveLine(b *testing.B) {
	h := bigHouse(b)
	l := h.snapshot(b).Lines[7]
	n := 0
	for b.Loop() {
		n++
		l.Quantity = 1000 + n
		if err := h.SaveLine(b.Context(), l, n, "Ana", ""); err != nil {
			b.Fatal(err)
		}
		h.snapshot(b)
	}
}

// BenchmarkSetUp takes the whole big book in one transaction.
func BenchmarkSetUp(b *testing.B) {
	book := bigBook()
	for b.Loop() {
		h := emptyHouse(b)
		if err := h.SetUp(b.Context(), book, "Ana"); err != nil {
			b.Fatal(err)
		}
	}
}
