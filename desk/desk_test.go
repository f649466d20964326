package desk_test

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/work"
)

// house is a desk on a real store, with readers and a planner that tests set.
type house struct {
	*desk.Desk
	runner *work.Runner
	store  *store.Store
	mu     sync.Mutex
	now    time.Time
	reader desk.OrderReader // nil: file is what is read
	file   order.File
	table  desk.Table
	make   func(context.Context, plant.Book, plan.Options) (*plan.Plan, error)
	check  error
}

func (h *house) ReadOrders(name string, r io.Reader, known desk.Known) (order.File, error) {
	if h.reader != nil {
		return h.reader.ReadOrders(name, r, known)
	}
	f := h.file
	f.Rows = slices.Clone(f.Rows)
	return f, nil
}

func (h *house) ReadTable(string, string, io.Reader, desk.Known) (desk.Table, error) {
	return h.table, nil
}

func (h *house) clock() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.now
}

func (h *house) later(d time.Duration) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.now = h.now.Add(d)
}

func emptyHouse(t testing.TB) *house {
	t.Helper()
	s, err := store.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	h := &house{store: s, runner: work.New(nil), now: demo.Now}
	h.Desk = h.another(t)
	t.Cleanup(func() {
		if err := h.runner.Shutdown(context.Background()); err != nil {
			t.Error(err)
		}
		s.Close()
	})
	return h
}

// another returns a second desk on the same store, as a second browser or process has.
func (h *house) another(t testing.TB) *desk.Desk {
	t.Helper()
	d, err := desk.New(desk.Deps{
		Store: h.store, Clock: h.clock, Worker: h.runner, Orders: h, Tables: h,
		Make: func(ctx context.Context, b plant.Book, o plan.Options) (*plan.Plan, error) {
			return h.make(ctx, b, o)
		},
		Check: func(plant.Book, *plan.Plan) error { return h.check },
	})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// demoHouse is a desk with the demo plant's book.
func demoHouse(t testing.TB) *house {
	t.Helper()
	h := emptyHouse(t)
	if err := h.SetUp(t.Context(), demo.Book(), "Ana"); err != nil {
		t.Fatal(err)
	}
	return h
}

func (h *house) snapshot(t testing.TB) *desk.Snapshot {
	t.Helper()
	s, err := h.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func lineOf(t testing.TB, s *desk.Snapshot, order string) order.Line {
	t.Helper()
	l, ok := s.Line(ident.NewRelease(order, "", ""))
	if !ok {
		t.Fatalf("no line %s", order)
	}
	return l
}

func TestSetUpTakesTheWholeBookOnce(t *testing.T) {
	h := emptyHouse(t)
	if empty, err := h.Empty(t.Context()); !empty || err != nil {
		t.Fatalf("empty %v, %v", empty, err)
	}
	broken := demo.Book()
	broken.Lines[3].Quantity = -1
	if err := h.SetUp(t.Context(), broken, "Ana"); !errors.Is(err, fault.Invalid) {
		t.Fatalf("a broken template: %v", err)
	}
	if empty, _ := h.Empty(t.Context()); !empty {
		t.Fatal("a broken template left something in the book")
	}
	want := demo.Book()
	if err := h.SetUp(t.Context(), want, "Ana"); err != nil {
		t.Fatal(err)
	}
	s := h.snapshot(t)
	got := s.Book
	got.Done = want.Done
	for part, pair := range map[string][2]any{
		"plant": {got.Plant, want.Plant}, "customers": {got.Customers, want.Customers}, "items": {got.Items, want.Items},
		"lines": {got.Lines, want.Lines}, "rolls": {got.Rolls, want.Rolls}, "inbound": {got.Inbound, want.Inbound},
	} {
		got, err := json.Marshal(pair[0])
		want, werr := json.Marshal(pair[1])
		if err != nil || werr != nil || string(got) != string(want) {
			t.Errorf("the %s that are kept differ from the template: %s, want %s", part, got, want)
		}
	}
	if err := h.SetUp(t.Context(), want, "Bo"); !errors.Is(err, fault.Conflict) {
		t.Errorf("a second set-up: %v", err)
	}
	if g, ok := s.Grade("B-ST"); !ok || len(g.Plies) != 3 {
		t.Errorf("grade B-ST: %+v", g)
	}
	if s.Zone().String() != "Europe/London" {
		t.Errorf("zone %s", s.Zone())
	}
}

func TestTwoDesksNeverOverwriteEachOther(t *testing.T) {
	h := demoHouse(t)
	other := h.another(t)
	mine := h.snapshot(t)
	theirs, err := other.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	l := lineOf(t, mine, "J1001")
	version := mine.Version(desk.KindLine, "J1001")
	first := lineOf(t, theirs, "J1001")
	first.Quantity = 6000
	if err := other.SaveLine(t.Context(), first, theirs.Version(desk.KindLine, "J1001"), "Bo", "by phone"); err != nil {
		t.Fatal(err)
	}
	l.Quantity = 5500
	err = h.SaveLine(t.Context(), l, version, "Ana", "")
	if !errors.Is(err, fault.Conflict) || !strings.Contains(err.Error(), "quantity: yours 5500, theirs 6000") || !strings.Contains(err.Error(), "Bo") {
		t.Fatalf("the second editor sees %v", err)
	}
	now := h.snapshot(t)
	if got := lineOf(t, now, "J1001").Quantity; got != 6000 {
		t.Errorf("quantity %d", got)
	}
	if lineOf(t, mine, "J1001").Quantity == 6000 {
		t.Error("a snapshot in use has changed")
	}
	edits, err := h.History(t.Context(), desk.KindLine, "J1001")
	if err != nil || len(edits) != 2 || edits[0].Who != "Bo" || edits[0].Why != "by phone" || edits[1].Before != nil {
		t.Errorf("%+v, %v", edits, err)
	}
}

func TestASnapshotIsKeptUntilSomethingChanges(t *testing.T) {
	h := demoHouse(t)
	a := h.snapshot(t)
	if b := h.snapshot(t); a != b {
		t.Error("nothing changed, but there is a new snapshot")
	}
	r, _ := a.Roll("R0001")
	r.Hold, r.HoldReason = true, "wet"
	if err := h.SaveRoll(t.Context(), r, a.Version(desk.KindRoll, "R0001"), "Ana", ""); err != nil {
		t.Fatal(err)
	}
	b := h.snapshot(t)
	if got, _ := b.Roll("R0001"); !got.Hold || b.Revision <= a.Revision {
		t.Errorf("%+v at revision %d after %d", got, b.Revision, a.Revision)
	}
	if err := h.Remove(t.Context(), desk.KindRoll, "R0001", 2, "Ana", "used up"); err != nil {
		t.Fatal(err)
	}
	c := h.snapshot(t)
	fresh, err := h.another(t).Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Rolls) != 216 || !reflect.DeepEqual(c.Book, fresh.Book) {
		t.Error("a snapshot that was brought up to date differs from one loaded afresh")
	}
}

func TestEditsAreChecked(t *testing.T) {
	h := demoHouse(t)
	s := h.snapshot(t)
	l := lineOf(t, s, "J1001")
	l.Quantity, l.Item = -5, "NONE"
	var vs fault.Violations
	if err := h.SaveLine(t.Context(), l, 1, "Ana", ""); !errors.As(err, &vs) || len(vs) != 2 {
		t.Errorf("line: %v", err)
	}
	i := s.Items[0]
	i.Grade = "X-XX"
	if err := h.SaveItem(t.Context(), i, 1, "Ana", ""); !errors.Is(err, fault.Invalid) {
		t.Errorf("item: %v", err)
	}
	c := s.Customers[0]
	c.OverPct = 400
	if err := h.SaveCustomer(t.Context(), c, 1, "Ana", ""); !errors.Is(err, fault.Invalid) {
		t.Errorf("customer: %v", err)
	}
	r := s.Rolls[0]
	r.Paper = "XX999"
	if err := h.SaveRoll(t.Context(), r, 1, "Ana", ""); !errors.Is(err, fault.Invalid) {
		t.Errorf("roll: %v", err)
	}
	in := s.Inbound[0]
	in.Rolls = 0
	if err := h.SaveInbound(t.Context(), in, 1, "Ana", ""); !errors.Is(err, fault.Invalid) {
		t.Errorf("inbound: %v", err)
	}
	p := s.Plant
	p.Grades = p.Grades[1:]
	if err := h.SavePlant(t.Context(), p, 1, "Ana", ""); !errors.Is(err, fault.Invalid) {
		t.Errorf("a plant without a grade that items name: %v", err)
	}
	if err := h.Remove(t.Context(), desk.KindCustomer, string(s.Customers[0].Code), 1, "Ana", ""); !errors.Is(err, fault.Refused) {
		t.Errorf("removing a customer with orders: %v", err)
	}
	if h.snapshot(t) != s {
		t.Error("a refused edit changed the book")
	}
}

func TestNewSaysWhatIsMissing(t *testing.T) {
	for i, d := range []desk.Deps{{}, {Store: &store.Store{}}, {Store: &store.Store{}, Clock: time.Now}} {
		if _, err := desk.New(d); err == nil {
			t.Error(i, "no error")
		}
	}
}
