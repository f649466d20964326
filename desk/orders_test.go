package desk_test

import (
	"errors"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/plant/trace"
)

// demoFile is the demo's order book as an order system sends it.
func demoFile() order.File {
	f := order.File{Name: "orders.csv"}
	for i, l := range demo.Book().Lines {
		f.Rows = append(f.Rows, order.FileRow{Row: i + 2, Line: l})
	}
	return f
}

func stage(t *testing.T, h *house, f order.File) desk.Staged {
	t.Helper()
	h.file = f
	st, err := h.StageOrders(t.Context(), f.Name, strings.NewReader(""), "Ana")
	if err != nil {
		t.Fatal(err)
	}
	kept, err := h.Staged(t.Context(), st.ID)
	if err != nil || len(kept.Diff.New) != len(st.Diff.New) || len(kept.Diff.Changed) != len(st.Diff.Changed) || len(kept.Diff.Gone) != len(st.Diff.Gone) {
		t.Fatalf("kept otherwise than answered: %v", err)
	}
	return st
}

func confirm(t *testing.T, h *house, id int64, k desk.Kinds) desk.Taken {
	t.Helper()
	taken, err := h.ConfirmOrders(t.Context(), id, k, "Ana")
	if err != nil {
		t.Fatal(err)
	}
	return taken
}

func TestTheSameFileAgainChangesNothing(t *testing.T) {
	h := demoHouse(t)
	st := stage(t, h, demoFile())
	if d := st.Diff; len(d.New)+len(d.Changed)+len(d.Gone) != 0 || d.Same != 42 {
		t.Errorf("%d new, %v changed, %d gone, %d same", len(d.New), d.Changed, len(d.Gone), d.Same)
	}
}

// hand: the same file with 5 changes and 2 gone.
func TestFiveChangedTwoGoneNoneNew(t *testing.T) {
	h := demoHouse(t)
	f := demoFile()
	f.Rows = f.Rows[2:]
	f.Rows[0].Line.Quantity += 1000
	f.Rows[1].Line.Due = f.Rows[1].Line.Due.Add(24 * time.Hour)
	f.Rows[2].Line.ShipTo = "Gate 4"
	f.Rows[3].Line.PricePer1000 = 301.5
	f.Rows[4].Line.DueAt = map[order.Dock]order.Dock{order.AtGate: order.AtDock, order.AtDock: order.AtGate}[f.Rows[4].Line.DueAt]
	st := stage(t, h, f)
	if d := st.Diff; len(d.New) != 0 || len(d.Changed) != 5 || len(d.Gone) != 2 || d.Same != 35 {
		t.Fatalf("%d new, %d changed, %d gone, %d same", len(d.New), len(d.Changed), len(d.Gone), d.Same)
	}
	if w := st.Diff.Changed[0].Fields; len(w) != 1 || !strings.HasPrefix(w[0], "quantity ") || !strings.Contains(w[0], " → ") {
		t.Errorf("in words: %q", w)
	}
	if _, err := h.ConfirmOrders(t.Context(), st.ID, desk.Kinds{}, "Ana"); !errors.Is(err, fault.Invalid) {
		t.Errorf("no kind chosen: %v", err)
	}
	before := h.snapshot(t)
	if taken := confirm(t, h, st.ID, desk.Kinds{Gone: true}); taken != (desk.Taken{Closed: 2}) {
		t.Errorf("%+v", taken)
	}
	s := h.snapshot(t)
	if l := lineOf(t, s, "J1001"); l.State != order.Closed {
		t.Errorf("J1001 is %s", l.State)
	}
	third := f.Rows[0].Line.Key.Order
	if lineOf(t, s, third).Quantity != lineOf(t, before, third).Quantity {
		t.Error("changed lines were taken though only gone ones were confirmed")
	}
	if _, err := h.ConfirmOrders(t.Context(), st.ID, desk.Kinds{New: true}, "Bo"); !errors.Is(err, fault.Conflict) || !strings.Contains(err.Error(), "Ana") {
		t.Errorf("taken twice: %v", err)
	}

	back := stage(t, h, demoFile()) // the two stand in the next file again, long after
	if d := back.Diff; len(d.Changed) != 2 || d.Changed[0].Fields[0] != "state closed → open" {
		t.Errorf("%+v", d.Changed)
	}
	confirm(t, h, back.ID, desk.Kinds{Changed: true})
	if l := lineOf(t, h.snapshot(t), "J1001"); l.State != order.Open {
		t.Errorf("J1001 is %s", l.State)
	}
}

func TestALineClosedLongAgoIsKnown(t *testing.T) {
	h := demoHouse(t)
	l := lineOf(t, h.snapshot(t), "J1001")
	l.State = order.Closed
	if err := h.SaveLine(t.Context(), l, 1, "Ana", "shipped"); err != nil {
		t.Fatal(err)
	}
	h.later(30 * 24 * time.Hour)
	fresh := h.another(t)
	s, err := fresh.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, there := s.Line(l.Key); there || len(s.Lines) != 41 {
		t.Error("a line closed a month ago is still in the snapshot")
	}
	if got, version, err := fresh.Line(t.Context(), l.Key); err != nil || got.State != order.Closed || version != 2 {
		t.Errorf("%+v, %d, %v", got, version, err)
	}
	h.file = demoFile()
	st, err := fresh.StageOrders(t.Context(), "orders.csv", strings.NewReader(""), "Ana")
	if err != nil || len(st.Diff.New) != 0 || len(st.Diff.Changed) != 1 {
		t.Fatalf("%+v, %v", st.Diff.New, err)
	}
	if _, err := fresh.ConfirmOrders(t.Context(), st.ID, desk.Kinds{Changed: true}, "Ana"); err != nil {
		t.Fatal(err)
	}
	if s, err = fresh.Snapshot(t.Context()); err != nil || lineOf(t, s, "J1001").State != order.Open {
		t.Errorf("not open again: %v", err)
	}
}

func TestWhatAFileLeavesOutStays(t *testing.T) {
	h := demoHouse(t)
	s := h.snapshot(t)
	l := lineOf(t, s, "J1001")
	l.State, l.Note, l.ShipTo, l.UnderPct = order.OnHold, "asks for a sample", "Gate 4", 3
	if err := h.SaveLine(t.Context(), l, 1, "Ana", ""); err != nil {
		t.Fatal(err)
	}
	child := l
	child.Key.Release, child.Parent, child.State = "2", l.Key.String(), order.Open
	if err := h.SaveLine(t.Context(), child, 0, "Ana", "re-make"); err != nil {
		t.Fatal(err)
	}
	f := demoFile()
	f.Columns = []string{"order", "customer", "item", "due", "due_at", "quantity", "over_pct"}
	f.Waiting = []order.Waiting{{Row: 3, Cells: map[string]string{"Order": " J1002 ", "quantity": "many"}}}
	f.Rows = slices.Delete(f.Rows, 1, 2) // J1002 waits
	st := stage(t, h, f)
	if d := st.Diff; len(d.Changed) != 0 || len(d.Gone) != 0 || d.Same != 41 {
		t.Errorf("changed %v, gone %v, %d same", d.Changed, d.Gone, d.Same)
	}
	f.Waiting[0].Cells = map[string]string{"quantity": "many"}
	if st := stage(t, h, f); len(st.Diff.Gone) != 1 || len(st.Notes) != 1 {
		t.Errorf("a waiting row without an order: gone %v, notes %q", st.Diff.Gone, st.Notes)
	}
}

func TestNewLinesBringTheirItemsAndCustomers(t *testing.T) {
	h := demoHouse(t)
	f := demoFile()
	item := h.snapshot(t).Items[0]
	item.Code, item.Revision, item.Customer, item.Plate = "NEW-1", 1, "C99", ""
	line := f.Rows[0].Line
	line.Key, line.Item, line.Customer = ident.NewRelease("004512", "2", ""), item.Code, "C99"
	f.Customers = []order.Customer{{Code: "C99", Name: "Newcomer"}}
	f.Rows = append(f.Rows, order.FileRow{Row: 44, Line: line, Item: &item})
	st := stage(t, h, f)
	if taken := confirm(t, h, st.ID, desk.Kinds{New: true}); taken != (desk.Taken{New: 1, Items: 1, Customers: 1}) {
		t.Errorf("%+v", taken)
	}
	s := h.snapshot(t)
	if l, ok := s.Line(line.Key); !ok || l.Key.Order != "004512" {
		t.Errorf("%+v", l)
	}

	revised := s.Items[0]
	revised.Grade, revised.UpgradeAllowed = "B-HV", !revised.UpgradeAllowed
	f.Rows[0].Item = &revised
	st = stage(t, h, f)
	if d := st.Diff; len(d.Changed) != 1 || len(d.Changed[0].Fields) != 2 {
		t.Fatalf("%+v", d.Changed)
	}
	confirm(t, h, st.ID, desk.Kinds{Changed: true})
	if got, _ := h.snapshot(t).Item(revised.Code); got.Grade != "B-HV" || got.Revision != s.Items[0].Revision+1 {
		t.Errorf("%+v", got)
	}
}

func TestAnImportOnASeenBookNeverOverwritesALaterEdit(t *testing.T) {
	h := demoHouse(t)
	f := demoFile()
	f.Rows[0].Line.Quantity = 9000
	f.Rows[1].Line.Quantity = 9100
	st := stage(t, h, f)
	l := lineOf(t, h.snapshot(t), "J1002")
	l.Quantity = 7777
	if err := h.SaveLine(t.Context(), l, 1, "Bo", "by phone"); err != nil {
		t.Fatal(err)
	}
	_, err := h.ConfirmOrders(t.Context(), st.ID, desk.Kinds{Changed: true}, "Ana")
	if !errors.Is(err, fault.Conflict) || !strings.Contains(err.Error(), "yours 9100, theirs 7777") {
		t.Fatalf("%v", err)
	}
	if got := lineOf(t, h.snapshot(t), "J1001").Quantity; got == 9000 {
		t.Error("half of the import was taken")
	}
	again, err := h.StageAgain(t.Context(), st.ID, "Ana")
	if err != nil || len(again.Diff.Changed) != 2 || again.Diff.Changed[1].Before.Quantity != 7777 {
		t.Fatalf("%+v, %v", again.Diff.Changed, err)
	}
	confirm(t, h, again.ID, desk.Kinds{Changed: true})
	if got := lineOf(t, h.snapshot(t), "J1002").Quantity; got != 9100 {
		t.Errorf("quantity %d", got)
	}
}

func TestTables(t *testing.T) {
	h := demoHouse(t)
	s := h.snapshot(t)
	first, second := s.Rolls[0], s.Rolls[1]
	second.Length /= 2
	fresh := first
	fresh.ID = "R9001"
	faulty := first
	faulty.ID, faulty.Paper = "R9002", "XX1"
	h.table = desk.Table{Kind: desk.TableRolls, Rolls: []roll.Roll{first, second, fresh, faulty}}
	got, err := h.ImportTable(t.Context(), desk.TableRolls, "rolls.csv", strings.NewReader(""), "Ana")
	if err != nil || got.New != 1 || got.Changed != 1 || got.Same != 1 || len(got.Waiting) != 1 || len(got.Absent) != 215 {
		t.Errorf("%+v, %v", got, err)
	}
	if r, _ := h.snapshot(t).Roll("R9001"); r.Paper != first.Paper {
		t.Errorf("%+v", r)
	}

	paper := s.Plant.Papers[0]
	paper.PricePerTonne++
	h.table = desk.Table{Kind: desk.TablePapers, Papers: append(slices.Clone(s.Plant.Papers[1:3]), paper)}
	got, err = h.ImportTable(t.Context(), desk.TablePapers, "papers.csv", strings.NewReader(""), "Ana")
	if err != nil || got.Changed != 1 || got.Same != 2 || got.New != 0 {
		t.Errorf("%+v, %v", got, err)
	}
	if p, _ := h.snapshot(t).Paper(paper.Code); p.PricePerTonne != paper.PricePerTonne {
		t.Errorf("%+v", p)
	}

	stack := trace.Fact{ID: "stack S1", At: demo.Now, Kind: trace.StackFound, Source: "import", Stack: "S1", Release: s.Lines[0].Key, Good: 400}
	h.table = desk.Table{Kind: desk.TableStacks, Facts: []trace.Fact{stack}}
	for _, want := range []desk.TableResult{{New: 1}, {Same: 1}} {
		got, err = h.ImportTable(t.Context(), desk.TableStacks, "stacks.csv", strings.NewReader(""), "Ana")
		if err != nil || got.New != want.New || got.Same != want.Same || len(got.Waiting) != 0 {
			t.Errorf("%+v, %v", got, err)
		}
	}
	if q := h.snapshot(t).Done[s.Lines[0].Key]; q.SheetsMade != 400 {
		t.Errorf("%+v", q)
	}
	if _, err := h.ImportTable(t.Context(), "moons", "x", strings.NewReader(""), "Ana"); !errors.Is(err, fault.Invalid) {
		t.Errorf("an unknown table: %v", err)
	}
}

// The way from a real file: read, staged, taken, and read again.
func TestAnOrderFileThroughTheRealReader(t *testing.T) {
	h := demoHouse(t)
	h.reader = exchange.Orders{}
	raw, err := os.ReadFile("../exchange/testdata/orders.csv")
	if err != nil {
		t.Fatal(err)
	}
	if st := stageText(t, h, string(raw)); st.Diff.Same != 42 {
		t.Errorf("the demo's own file: %d same, changed %+v, gone %d, waiting %+v", st.Diff.Same, st.Diff.Changed, len(st.Diff.Gone), st.File.Waiting)
	}
	key := lineOf(t, h.snapshot(t), "J1001").Quantity
	text := strings.Replace(string(raw), strconv.Itoa(key), strconv.Itoa(key+500), 1)
	text = strings.TrimSuffix(text, "\n")
	text = text[:strings.LastIndex(text, "\n")+1] // the last order is gone
	st := stageText(t, h, text)
	if d := st.Diff; len(d.New) != 0 || len(d.Changed) != 1 || len(d.Gone) != 1 {
		t.Fatalf("%d new, %+v, %d gone", len(d.New), d.Changed, len(d.Gone))
	}
	confirm(t, h, st.ID, desk.Kinds{New: true, Changed: true, Gone: true})
	if st := stageText(t, h, text); st.Diff.Same != 41 || len(st.Diff.Gone)+len(st.Diff.Changed) != 0 {
		t.Errorf("taken, and read again: %+v", st.Diff)
	}
}

func stageText(t *testing.T, h *house, text string) desk.Staged {
	t.Helper()
	st, err := h.StageOrders(t.Context(), "orders.csv", strings.NewReader(text), "Ana")
	if err != nil {
		t.Fatal(err)
	}
	return st
}
