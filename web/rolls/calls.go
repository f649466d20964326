package rolls

import (
	"encoding/csv"
	"net/http"
	"strconv"
	"time"
)

// Calls writes the call-off list as CSV, units in the column names.
func (p Pages) Calls(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	st, err := p.StandingOrNone(r)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="call-off.csv"`)
	out := csv.NewWriter(w)
	rows := [][]string{{"call_by", "supplier", "truck", "truck_full_pct", "paper", "width_mm", "rolls", "length_m", "mass_kg", "short_m", "cover_m", "needed_at"}}
	if st != nil {
		now := p.Desk.Clock()
		for _, c := range snap.PaperAhead(st.Plan, st.Head.ID, now, now).Calls.Calls {
			by := ""
			if !c.By.IsZero() {
				by = c.By.Format(time.RFC3339)
			}
			rows = append(rows, []string{by, c.Supplier, strconv.Itoa(c.Truck), number(c.FullPct, 0), string(c.Paper), number(c.Web.Millimetres(), -1),
				strconv.Itoa(c.Rolls), number(c.Metres.Metres(), 0), number(float64(c.Mass), 0), number(c.Short.Metres(), 0), number(c.Cover.Metres(), 0), c.NeededAt.Format(time.RFC3339)})
		}
	}
	return out.WriteAll(rows)
}

func number(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
