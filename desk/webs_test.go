package desk_test

import (
	"errors"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
)

// A search over the book's orders leaves no trace in it, counts closed orders
// as well, and refuses what cannot be.
func TestWebsOverOpenAndClosedOrders(t *testing.T) {
	h := demoHouse(t)
	ask := desk.WebsAsk{Candidates: []quantity.Length{2200 * quantity.Millimetre, 2500 * quantity.Millimetre}, Most: 1, Rounds: 1}
	before := h.snapshot(t).Revision
	open := searched(t, h, ask)
	if len(open.Result.Sets) != 2 || open.Fault != "" || open.Days < 1 || open.Progress.Done != 2 || open.Closed != 0 {
		t.Fatalf("%+v", open)
	}
	if h.snapshot(t).Revision != before {
		t.Error("asking changed the book")
	}
	l := h.snapshot(t).Lines[0]
	if err := h.CloseLine(t.Context(), l.Key, desk.Closing{Version: h.snapshot(t).Version(desk.KindLine, l.Key.String()), Who: "test", Why: "shipped"}); err != nil {
		t.Fatal(err)
	}
	if got, _, _ := h.Line(t.Context(), l.Key); got.State != order.Closed {
		t.Fatalf("%s is %s", l.Key, got.State)
	}
	if again := searched(t, h, ask); again.Orders != open.Orders || again.Closed != 1 {
		t.Errorf("%d orders with %d closed, %d before", again.Orders, again.Closed, open.Orders)
	}
	ask.Most = 0
	if _, err := h.StartWebs(t.Context(), ask, "test"); !errors.Is(err, fault.Invalid) {
		t.Errorf("no widths at all: %v", err)
	}
	if _, err := h.Webs(1); !errors.Is(err, fault.NotFound) {
		t.Errorf("a search that never was: %v", err)
	}
}

func searched(t *testing.T, h *house, ask desk.WebsAsk) desk.WebsSearch {
	t.Helper()
	id, err := h.StartWebs(t.Context(), ask, "test")
	if err != nil {
		t.Fatal(err)
	}
	for range 2000 {
		w, err := h.Webs(id)
		if err != nil {
			t.Fatal(err)
		}
		if !w.Running {
			return w
		}
		time.Sleep(5 * time.Millisecond)
	}
	t.Fatal("the search does not end")
	return desk.WebsSearch{}
}
