package rolls

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/supply"
	"github.com/flutewright/flutewright/sheet"
	"github.com/flutewright/flutewright/web/frame"
)

// callList is what must be called off now; none without a plan.
func (p Pages) callList(r *http.Request) (*desk.Snapshot, []supply.Call, error) {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return nil, nil, err
	}
	st, err := p.StandingOrNone(r)
	if err != nil || st == nil {
		return snap, nil, err
	}
	return snap, snap.CallOff(st.Plan, st.Head.ID, p.Desk.Clock()).Calls, nil
}

// CallsSheet prints the call-off list, or one truck of it, on a page.
func (p Pages) CallsSheet(w http.ResponseWriter, r *http.Request) error {
	snap, calls, err := p.callList(r)
	if err != nil {
		return err
	}
	if truck := r.FormValue("truck"); truck != "" {
		calls = slices.DeleteFunc(slices.Clone(calls), func(c supply.Call) bool { return strconv.Itoa(c.Truck) != truck })
		if len(calls) == 0 {
			return fmt.Errorf("truck %s is not on the list any more: %w", truck, fault.NotFound)
		}
	}
	var b bytes.Buffer
	if err := sheet.CallOffSheet(&b, snap.Book, calls, p.Desk.Now()); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="call-off.pdf"`)
	_, err = b.WriteTo(w)
	return frame.Gone(err)
}

// Calls writes the call-off list as CSV, units in the column names.
func (p Pages) Calls(w http.ResponseWriter, r *http.Request) error {
	_, calls, err := p.callList(r)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="call-off.csv"`)
	rows := [][]string{{"call_by", "supplier", "truck", "truck_full_pct", "paper", "width_mm", "rolls", "length_m", "mass_kg", "short_m", "cover_m", "needed_at"}}
	for _, c := range calls {
		by := ""
		if !c.By.IsZero() {
			by = c.By.Format(time.RFC3339)
		}
		rows = append(rows, []string{by, c.Supplier, strconv.Itoa(c.Truck), number(c.FullPct, 0), string(c.Paper), number(c.Web.Millimetres(), -1),
			strconv.Itoa(c.Rolls), number(c.Metres.Metres(), 0), number(float64(c.Mass), 0), number(c.Short.Metres(), 0), number(c.Cover.Metres(), 0), c.NeededAt.Format(time.RFC3339)})
	}
	return csv.NewWriter(w).WriteAll(rows)
}

func number(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
