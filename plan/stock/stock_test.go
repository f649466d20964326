package stock_test

import (
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plan/stock"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

var now = time.Date(2031, 3, 3, 6, 0, 0, 0, time.UTC)

func line(key string, quantity int, days int) order.Line {
	r, err := ident.ParseRelease(key)
	if err != nil {
		panic(err)
	}
	return order.Line{
		Key: r, Customer: "C1", Item: "A", Quantity: quantity, UnderPct: 10, OverPct: 10,
		Due: now.AddDate(0, 0, days), DueAt: order.AtGate, State: order.Open,
	}
}

func with(l order.Line, change func(*order.Line)) order.Line { change(&l); return l }

func book(i order.Item, done map[string]trace.Quantities, lines ...order.Line) plant.Book {
	b := plant.Book{Items: []order.Item{i}, Lines: lines, Done: map[ident.Release]trace.Quantities{}}
	for k, q := range done {
		r, err := ident.ParseRelease(k)
		if err != nil {
			panic(err)
		}
		b.Done[r] = q
	}
	return b
}

func key(s string) ident.Release { return ident.NewRelease(s, "", "") }

// By hand: free goods go by due time, and a stock that is then below its least
// raises an order up to its most.
func TestFreeGoodsGoByDueTime(t *testing.T) {
	i := order.Item{Code: "A", Customer: "C1", StockLeast: 1000, StockMost: 4000, StockDays: 5}
	stocked := with(line("S1", 3000, 0), func(l *order.Line) { l.Kind = order.ForStock })
	b := book(i, map[string]trace.Quantities{"S1": {InUnits: 3000}},
		line("J2", 2000, 4), line("J1", 1500, 2), stocked, with(line("J3", 500, 1), func(l *order.Line) { l.State = order.OnHold }))
	s := stock.Of(b, now)
	if got := s.Lines[key("J1")]; got.FromStock != 1500 || got.Short != 0 {
		t.Errorf("J1 %+v", got)
	}
	if got := s.Lines[key("J2")]; got.FromStock != 1500 || got.Short != 500 {
		t.Errorf("J2 %+v", got)
	}
	if got := s.Lines[key("J3")]; got.FromStock != 0 {
		t.Errorf("a line on hold took goods: %+v", got)
	}
	if it := s.Items["A"]; it.Free != 3000 || it.Promised != 3000 || it.Left() != 0 || !it.Low() {
		t.Errorf("%+v", it)
	}
	if len(s.Raised) != 1 {
		t.Fatalf("raised %v", s.Raised)
	}
	r := s.Raised[0]
	if r.Quantity != 4000 || !r.Due.Equal(now.AddDate(0, 0, 5)) || r.Kind != order.ForStock || r.Key != ident.NewRelease("STOCK-A", "1", "1") {
		t.Errorf("raised %+v", r)
	}
	if err := r.Validate(); err != nil {
		t.Error(err)
	}
	filled := stock.Filled(b, now)
	if again := stock.Of(filled, now); len(again.Raised) != 0 || again.Items["A"].Coming != 4000 {
		t.Errorf("raised twice: %+v", again.Raised)
	}
	if len(b.Lines) != 4 {
		t.Error("the book was changed")
	}
}

func TestWhatIsFree(t *testing.T) {
	i := order.Item{Code: "A"}
	closed := func(l *order.Line) { l.State = order.Closed }
	tests := []struct {
		source string
		line   order.Line
		done   trace.Quantities
		free   int
	}{
		{"within the tolerance it goes with the order", line("J1", 1000, 1), trace.Quantities{BoxesGood: 1100}, 0},
		{"beyond the most that is taken", line("J1", 1000, 1), trace.Quantities{BoxesGood: 1130}, 30},
		{"no more than stands there", line("J1", 1000, 1), trace.Quantities{BoxesGood: 1130, Shipped: 1120}, 10},
		{"closed: nothing unless it went to stock", with(line("J1", 1000, 1), closed), trace.Quantities{InUnits: 1100, Shipped: 1000}, 0},
		{"closed, to stock", with(line("J1", 1000, 1), func(l *order.Line) { closed(l); l.ToStock = true }), trace.Quantities{InUnits: 1100, Shipped: 1000}, 100},
		{"given away", with(line("S", 1000, 1), func(l *order.Line) {
			l.Kind = order.ForStock
			l.Given = []order.Allotment{{Other: key("J9"), Boxes: 400, By: "Ana"}}
		}), trace.Quantities{InUnits: 1000}, 600},
		{"on hold", with(line("S", 1000, 1), func(l *order.Line) { l.Kind, l.State = order.ForStock, order.OnHold }), trace.Quantities{InUnits: 1000}, 0},
	}
	for _, tt := range tests {
		s := stock.Of(book(i, map[string]trace.Quantities{tt.line.Key.String(): tt.done}, tt.line), now)
		if got := s.Lines[tt.line.Key].Free; got != tt.free {
			t.Errorf("%s: %d free, want %d", tt.source, got, tt.free)
		}
	}
}

func TestBlanket(t *testing.T) {
	blanket := with(line("B1/1/0", 20000, 90), func(l *order.Line) { l.Kind = order.Blanket })
	calls := []order.Line{
		blanket, with(line("B1/1/1", 5000, 2), func(l *order.Line) { l.State = order.Closed }), line("B1/1/2", 6000, 9), line("B1/2/1", 700, 9),
		with(line("B1/1/2R1", 300, 9), func(l *order.Line) { l.Parent = "B1/1/2" }),
	}
	done := map[string]trace.Quantities{"B1/1/1": {BoxesGood: 4900, Shipped: 4900}}
	got, ok := stock.Of(book(order.Item{Code: "A"}, done, calls...), now).BlanketOf(calls[2].Key)
	if !ok || got.Called != 10900 || got.Shipped != 4900 || got.Left() != 9100 || len(got.Calls) != 2 {
		t.Errorf("%+v", got)
	}
	calls[2].Closes = true
	if got, _ := stock.Of(book(order.Item{Code: "A"}, done, calls...), now).BlanketOf(calls[2].Key); got.Left() != 0 || !got.Ended {
		t.Errorf("after the last call-off %+v", got)
	}
	calls[2].Quantity = 16000
	if got, _ := stock.Of(book(order.Item{Code: "A"}, done, calls...), now).BlanketOf(calls[2].Key); got.Over != 900 {
		t.Errorf("called too much: %+v", got)
	}
}

// The demo's kits: 7,500 cases with five partitions each, 4,000 lids with a box each.
func TestKitsOfTheDemo(t *testing.T) {
	b := demo.Book()
	b.Done = map[ident.Release]trace.Quantities{
		key("J1008"): {BoxesGood: 7500}, key("J1009"): {BoxesGood: 20004},
	}
	s := stock.Of(b, now)
	if len(s.Kits) != 2 {
		t.Fatalf("%d kits", len(s.Kits))
	}
	k, ok := s.KitOf(key("J1009"))
	if !ok || k.Ordered != 7500 || k.Ready != 4000 || k.Scarce != "FW-1009" || len(k.Missing) != 0 {
		t.Errorf("%+v", k)
	}
	var less []order.Line
	for _, l := range b.Lines {
		if l.Key != key("J1011") {
			less = append(less, l)
		}
	}
	b.Lines = less
	if k, _ := stock.Of(b, now).KitOf(key("J1012")); k.Ready != 0 || len(k.Missing) != 1 {
		t.Errorf("without its part %+v", k)
	}
}

// TestLaws: no goods come from nowhere, whatever the order of the lines.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBook(t)
		s := stock.Of(b, now)
		promised, sum := map[ident.Item]int{}, map[ident.Release]int{}
		for _, a := range s.Allots {
			promised[a.Item] += a.Boxes
			sum[a.From] += a.Boxes
			if a.Boxes < 1 || a.From == a.To {
				t.Fatalf("allotment %+v", a)
			}
		}
		for code, it := range s.Items {
			if it.Promised != promised[code] || it.Left() < 0 || it.Promised > it.Free {
				t.Fatalf("%s: %+v, allotted %d", code, it, promised[code])
			}
		}
		for r, n := range sum {
			if n > s.Lines[r].Free {
				t.Fatalf("%s gives %d of %d free", r, n, s.Lines[r].Free)
			}
		}
		for _, l := range b.Lines {
			if n := s.Lines[l.Key]; n.Short < 0 || n.FromStock > l.Quantity {
				t.Fatalf("%s: %+v", l.Key, n)
			}
		}
		turned := b
		turned.Lines = rapid.Permutation(b.Lines).Draw(t, "turned")
		if again := stock.Of(turned, now); !reflect.DeepEqual(again.Lines, s.Lines) || !reflect.DeepEqual(again.Items, s.Items) {
			t.Fatal("the order of the lines changes the standing")
		}
		if again := stock.Of(stock.Filled(b, now), now); len(again.Raised) > 0 {
			t.Fatalf("raised twice: %+v", again.Raised)
		}
	})
}

func drawBook(t *rapid.T) plant.Book {
	b := plant.Book{Done: map[ident.Release]trace.Quantities{}}
	for _, code := range []ident.Item{"A", "B"} {
		least := rapid.IntRange(0, 3000).Draw(t, "least")
		b.Items = append(b.Items, order.Item{Code: code, Customer: "C1", StockLeast: least, StockMost: least * 2})
	}
	for n := range rapid.IntRange(0, 12).Draw(t, "lines") {
		l := line("J"+string(rune('a'+n)), rapid.IntRange(1, 5000).Draw(t, "quantity"), rapid.IntRange(-2, 9).Draw(t, "due"))
		l.Item = rapid.SampledFrom([]ident.Item{"A", "B"}).Draw(t, "item")
		l.State = rapid.SampledFrom([]order.LineState{order.Open, order.Open, order.OnHold, order.Closed}).Draw(t, "state")
		l.Kind = rapid.SampledFrom([]order.LineKind{order.Ordinary, order.Ordinary, order.ForStock}).Draw(t, "kind")
		l.ToStock = rapid.Bool().Draw(t, "to stock")
		b.Lines = append(b.Lines, l)
		b.Done[l.Key] = trace.Quantities{
			BoxesGood: rapid.IntRange(0, 7000).Draw(t, "good"), InUnits: rapid.IntRange(0, 6000).Draw(t, "units"), Shipped: rapid.IntRange(0, 6000).Draw(t, "shipped"),
		}
	}
	return b
}

func BenchmarkOf(b *testing.B) {
	book := demo.Generated(demo.Size{Lines: 2500, Items: 15_000, Seed: 1})
	book.Done = map[ident.Release]trace.Quantities{}
	for n, l := range book.Lines {
		book.Done[l.Key] = trace.Quantities{BoxesGood: n % 3 * l.Quantity}
	}
	for b.Loop() {
		stock.Of(book, now)
	}
}
