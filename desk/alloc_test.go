package desk_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
)

// stocked is the demo's book with a stock order of J1001's item, made and in units.
func stocked(t *testing.T, h *house, boxes int) ident.Release {
	t.Helper()
	l := lineOf(t, h.snapshot(t), "J1001")
	l.Key, l.Kind, l.Quantity = ident.NewRelease("STOCK-"+string(l.Item), "1", "1"), order.ForStock, boxes
	if err := h.SaveLine(t.Context(), l, 0, "Ana", ""); err != nil {
		t.Fatal(err)
	}
	record(t, h, trace.Fact{ID: "u1", At: demo.Now, Kind: trace.UnitFound, Source: "desk", Release: l.Key, Unit: "U1", Good: boxes})
	return l.Key
}

func TestGoodsAreGivenByANamedPerson(t *testing.T) {
	h := demoHouse(t)
	from, to := stocked(t, h, 2000), ident.NewRelease("J1001", "", "")
	for source, bad := range map[string]struct {
		from, to ident.Release
		boxes    int
		by, want string
	}{
		"nobody":        {from, to, 500, "desk", "who decides"},
		"too many":      {from, to, 2001, "Ana", "from 1 to 2,000"},
		"another item":  {from, ident.NewRelease("J1002", "", ""), 500, "Ana", "holds"},
		"back too many": {from, to, -1, "Ana", "boxes"},
	} {
		err := h.Allot(t.Context(), bad.from, bad.to, bad.boxes, bad.by, "")
		if !errors.Is(err, fault.Invalid) || !strings.Contains(err.Error(), bad.want) {
			t.Errorf("%s: %v", source, err)
		}
	}
	if err := h.Allot(t.Context(), from, to, 500, "Ana", "by phone"); err != nil {
		t.Fatal(err)
	}
	if err := h.Allot(t.Context(), from, to, 300, "Bo", ""); err != nil {
		t.Fatal(err)
	}
	s := h.snapshot(t)
	if l := lineOf(t, s, "J1001"); len(l.Taken) != 1 || l.Taken[0].Boxes != 800 || l.Taken[0].By != "Bo" {
		t.Errorf("%+v", l.Taken)
	}
	if err := h.Allot(t.Context(), from, to, -800, "Bo", "back"); err != nil {
		t.Fatal(err)
	}
	if l := lineOf(t, h.snapshot(t), "J1001"); len(l.Taken) != 0 {
		t.Errorf("%+v", l.Taken)
	}
}

// What was shipped out of stock is settled when the order closes: the stock is
// as true after the line has left the snapshot as before.
func TestAClosingDeliverySettlesTheGoods(t *testing.T) {
	h := demoHouse(t)
	from, to := stocked(t, h, 20_000), ident.NewRelease("J1001", "", "")
	l := lineOf(t, h.snapshot(t), "J1001")
	v := desk.Delivery{ID: "d1", Boxes: 1000, Closing: desk.Closing{Version: 1, Who: "Ana"}}
	if _, err := h.Deliver(t.Context(), to, v); err != nil {
		t.Fatal(err)
	}
	if got := lineOf(t, h.snapshot(t), "J1001"); got.State != order.Open {
		t.Fatal("a partial delivery closed the line")
	}
	v.ID, v.Boxes, v.Closes = "d2", l.Quantity-1000, true
	for range 2 { // sent twice
		if _, err := h.Deliver(t.Context(), to, v); err != nil {
			t.Fatal(err)
		}
	}
	free := func() int {
		g, err := h.Goods(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return g.Items[l.Item].Free
	}
	want := 20_000 - l.Quantity
	if got := free(); got != want {
		t.Errorf("%d free, want %d", got, want)
	}
	h.later(30 * 24 * time.Hour)
	fresh, err := h.another(t).Goods(t.Context())
	if err != nil || fresh.Items[l.Item].Free != want || fresh.Lines[from].Free != want {
		t.Errorf("a month later: %+v, %v", fresh.Items[l.Item], err)
	}
}

func TestOversGoToStock(t *testing.T) {
	h := demoHouse(t)
	key := ident.NewRelease("J1001", "", "")
	l := lineOf(t, h.snapshot(t), "J1001")
	record(t, h, trace.Fact{ID: "u1", At: demo.Now, Kind: trace.UnitFound, Source: "desk", Release: key, Unit: "U1", Good: l.Quantity + 200})
	if _, err := h.Deliver(t.Context(), key, desk.Delivery{ID: "d", Boxes: l.Quantity, Closes: true, Closing: desk.Closing{Version: 1, ToStock: true, Who: "Ana"}}); err != nil {
		t.Fatal(err)
	}
	h.later(30 * 24 * time.Hour)
	g, err := h.another(t).Goods(t.Context())
	if err != nil || g.Items[l.Item].Free != 200 {
		t.Errorf("%+v, %v", g.Items[l.Item], err)
	}
}

func TestLowStockIsOrderedWhenPlanning(t *testing.T) {
	h := demoHouse(t)
	s := h.snapshot(t)
	i, _ := s.Item("FW-1001")
	i.StockLeast, i.StockMost = 1000, 2500
	if err := h.SaveItem(t.Context(), i, s.Version(desk.KindItem, "FW-1001"), "Ana", ""); err != nil {
		t.Fatal(err)
	}
	asked := make(chan plant.Book, 4)
	h.make = func(_ context.Context, b plant.Book, _ plan.Options) (*plan.Plan, error) {
		asked <- b
		return &plan.Plan{}, nil
	}
	for range 2 {
		if _, err := h.StartPlan(t.Context(), desk.PlanOptions{}, "Ana"); err != nil {
			t.Fatal(err)
		}
		n := 0
		for _, l := range (<-asked).Lines {
			if l.Kind == order.ForStock {
				n++
				if l.Quantity != 2500 || l.Key.Order != "STOCK-FW-1001" {
					t.Errorf("%+v", l)
				}
			}
		}
		if n != 1 {
			t.Errorf("%d stock orders", n)
		}
	}
	record(t, h, trace.Fact{ID: "s1", At: demo.Now, Kind: trace.StackFound, Source: "desk", Release: ident.NewRelease("STOCK-FW-1001", "1", "1"), Stack: "S1", Good: 100})
}

func TestACallOffStaysWhileItsBlanketIsOpen(t *testing.T) {
	h := demoHouse(t)
	l := lineOf(t, h.snapshot(t), "J1001")
	blanket := l
	blanket.Key, blanket.Kind, blanket.Quantity = ident.NewRelease("J1001", "1", "0"), order.Blanket, 90_000
	if err := h.SaveLine(t.Context(), blanket, 0, "Ana", ""); err != nil {
		t.Fatal(err)
	}
	if err := h.CloseLine(t.Context(), l.Key, desk.Closing{Version: 1, Who: "Ana"}); err != nil {
		t.Fatal(err)
	}
	h.later(30 * 24 * time.Hour)
	s, err := h.another(t).Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, ok := s.Line(l.Key); !ok {
		t.Error("a closed call-off left the snapshot while its blanket order is open")
	}
}

func TestAnItemWithLinesIsNotRemoved(t *testing.T) {
	h := demoHouse(t)
	err := h.Remove(t.Context(), desk.KindItem, "FW-1001", 1, "Ana", "")
	if !errors.Is(err, fault.Refused) || !strings.Contains(err.Error(), "open line J1001") {
		t.Errorf("%v", err)
	}
}
