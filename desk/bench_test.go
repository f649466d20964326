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

// bigBook is a book of the size of a plant of 60,000 t a year (common
// practice, no published source), filled from the demo plant.
func bigBook() plant.Book {
	return demo.Generated(demo.Size{Lines: 2500, Items: 10_000, Rolls: 2000})
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

// BenchmarkRecord is one typed fact acknowledged, with the next page's
// snapshot; facts go to all lines in turn, for a line's facts are folded again.
func BenchmarkRecord(b *testing.B) {
	h := bigHouse(b)
	lines := h.snapshot(b).Lines
	n := 0
	for b.Loop() {
		n++
		f := trace.Fact{ID: ident.Fact(fmt.Sprint("b", n)), At: demo.Now, Kind: trace.StackFound, Source: "desk", Release: lines[n%len(lines)].Key, Good: 1, Stack: "S1"}
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
