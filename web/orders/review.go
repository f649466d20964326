package orders

import (
	"fmt"
	"maps"
	"net/http"
	"slices"
	"strconv"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

type reviewPage struct {
	frame.Base
	desk.Staged
	Columns []string // of the waiting rows
	Waiting []waiting
	Changed []order.Change
	New     []order.FileRow
	Gone    []order.Line
	More    map[string]int // rows of each kind that are not shown
	Overdue int            // of the new lines
}

type waiting struct {
	order.Waiting
	InOrder []string // cells in the order of Columns
}

// shownRows bounds each list of the review; the counts are of all rows.
const shownRows = 200

// Review shows what a staged file would change.
func (p Pages) Review(w http.ResponseWriter, r *http.Request) error {
	id, err := stagedID(r)
	if err != nil {
		return err
	}
	s, err := p.Desk.Staged(r.Context(), id)
	if err != nil {
		return err
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := reviewPage{Base: p.Base(w, r, snap, "Orders", "Review "+s.Name), Staged: s, More: map[string]int{}}
	pg.Trail = []frame.Link{{Words: "Orders", To: "/orders"}, {Words: "Import", To: "/orders/import"}}
	pg.New = most(pg.More, "new", s.Diff.New)
	pg.Changed = most(pg.More, "changed", s.Diff.Changed)
	pg.Gone = most(pg.More, "gone", s.Diff.Gone)
	for _, row := range s.Diff.New {
		if row.Line.Due.Before(pg.Now) {
			pg.Overdue++
		}
	}
	pg.waitingRows(most(pg.More, "waiting", s.File.Waiting))
	return p.Render(w, http.StatusOK, pages["review.html"], pg)
}

func most[T any](more map[string]int, kind string, rows []T) []T {
	if len(rows) > shownRows {
		more[kind] = len(rows) - shownRows
		return rows[:shownRows]
	}
	return rows
}

// waitingRows lays the cells of the waiting rows under common columns, the key first.
func (pg *reviewPage) waitingRows(rows []order.Waiting) {
	names := map[string]bool{}
	for _, w := range rows {
		for c := range w.Cells {
			names[c] = true
		}
	}
	for _, first := range []string{"order", "line", "release", "customer", "item", "due", "quantity"} {
		if names[first] {
			pg.Columns = append(pg.Columns, first)
			delete(names, first)
		}
	}
	pg.Columns = append(pg.Columns, slices.Sorted(maps.Keys(names))...)
	for _, w := range rows {
		v := waiting{Waiting: w}
		for _, c := range pg.Columns {
			v.InOrder = append(v.InOrder, w.Cells[c])
		}
		pg.Waiting = append(pg.Waiting, v)
	}
}

// Confirm takes the chosen kinds of a staged file into the book, in one go.
func (p Pages) Confirm(w http.ResponseWriter, r *http.Request) error {
	id, err := stagedID(r)
	if err != nil {
		return err
	}
	take := desk.Kinds{New: r.FormValue("new") != "", Changed: r.FormValue("changed") != "", Gone: r.FormValue("gone") != ""}
	if take == (desk.Kinds{}) {
		return frame.Done(w, r, r.URL.Path, "Nothing was chosen: the book is as it was.")
	}
	t, err := p.Desk.ConfirmOrders(r.Context(), id, take, frame.Who(r))
	if err != nil {
		return err
	}
	return frame.Done(w, r, "/orders", fmt.Sprintf("Taken in: %d new, %d changed, %d gone and closed. Plan again to follow them.", t.New, t.Changed, t.Closed))
}

// Again sets a staged file against the book as it is now, under a new number.
func (p Pages) Again(w http.ResponseWriter, r *http.Request) error {
	id, err := stagedID(r)
	if err != nil {
		return err
	}
	s, err := p.Desk.StageAgain(r.Context(), id, frame.Who(r))
	if err != nil {
		return err
	}
	http.Redirect(w, r, fmt.Sprintf("/orders/import/%d", s.ID), http.StatusSeeOther)
	return nil
}

func stagedID(r *http.Request) (int64, error) {
	id, err := strconv.ParseInt(r.PathValue("id"), 10, 64)
	if err != nil {
		return 0, fault.NotFound
	}
	return id, nil
}
