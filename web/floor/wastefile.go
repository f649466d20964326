package floor

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

// WasteTable sends the table as CSV, in kilograms; by=run gives it for each run and job.
func (p Pages) WasteTable(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	since, until := p.window(r, snap)
	list, by, err := p.Desk.WasteBySource(r.Context(), since, until)
	if err != nil {
		return err
	}
	rows := [][]string{{"day", "place", "reason", "planned", "sheets", "mass_kg"}}
	for _, v := range list {
		rows = append(rows, wasteCells(v))
	}
	if r.FormValue("by") == "run" {
		rows = sourceRows(by)
	}
	w.Header().Set("Content-Type", "text/csv; charset=utf-8")
	w.Header().Set("Content-Disposition", `attachment; filename="waste.csv"`)
	return frame.Gone(csv.NewWriter(w).WriteAll(rows))
}

func wasteCells(v desk.WasteRow) []string {
	planned := "no"
	if v.Planned {
		planned = "yes"
	}
	return []string{v.Day.Format("2006-01-02"), cell(v.Place), cell(v.Reason), planned, strconv.Itoa(v.Sheets), strconv.FormatFloat(float64(v.Mass), 'f', 1, 64)}
}

// sourceRows are the rows of each run and job under their head.
func sourceRows(by []desk.WasteOf) [][]string {
	rows := [][]string{{"plan", "run", "order", "machine", "day", "place", "reason", "planned", "sheets", "mass_kg"}}
	for _, of := range by {
		source := []string{"", "", "", string(of.Machine)}
		if of.Run.Run > 0 {
			source[0], source[1] = strconv.FormatInt(int64(of.Run.Plan), 10), strconv.Itoa(of.Run.Run)
		}
		if of.Release != (ident.Release{}) {
			source[2] = of.Release.String()
		}
		for _, v := range of.Rows {
			rows = append(rows, append(slices.Clone(source), wasteCells(v)...))
		}
	}
	return rows
}

// cell keeps typed words from being read as a formula by a spreadsheet.
func cell(words string) string {
	if words != "" && strings.ContainsRune("=+-@\t\r", rune(words[0])) {
		return "'" + words
	}
	return words
}
