package plant

import (
	"bytes"
	"net/http"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/web/frame"
)

type importPage struct {
	frame.Base
	Fields []frame.Field
	Pasted string
	Tables []table
}

// table is one kind of table and the columns that it needs.
type table struct{ Kind, Words, Columns string }

var tables = []table{
	{desk.TablePapers, "papers", "paper, kind, grammage_gsm, price_per_t, webs_mm; sct_cd_kn_m, caliper_mm, burst_kpa, surface"},
	{desk.TableGrades, "board grades", "grade, flute, plies; ect_stated_kn_m, caliper_stated_mm, may_upgrade_to"},
	{desk.TableCustomers, "customers", "customer, name; road_km, over_pct, under_pct, unit_max_height_mm, pallet"},
	{desk.TableItems, "items", "item, style, inside_length_mm, inside_width_mm, inside_height_mm, grade; chop_mm, slit_mm, scores_mm, plate, die, boxes_per_bundle, pallet"},
	{desk.TableRolls, "rolls in the house", "roll, paper, width_mm, and length_m, diameter_mm or mass_kg; location, hold"},
	{desk.TableInbound, "trucks expected", "inbound, eta, paper, width_mm, rolls, length_each_m"},
	{desk.TableStacks, "stacks on the floor", "order, stack, sheets; place"},
	{desk.TableUnits, "units on the floor", "order, unit, boxes; place"},
	{desk.TableJobs, "jobs half done", "machine, order; good, waste, started"},
}

// inUS turns the names of columns into those of a US plant; the readers of tables take either.
var inUS = strings.NewReplacer("_kn_m", "_lb_in", "_mm", "_in", "_gsm", "_lb_msf", "_kpa", "_psi", "_kg", "_lb", "_km", "_mi",
	"length_mm", "length_in", "length_m", "length_ft", "length_each_m", "length_each_ft", "price_per_t", "price_per_short_ton")

func inUnits(list []table, units string) []table {
	if units != "us" {
		return list
	}
	out := slices.Clone(list)
	for i := range out {
		out[i].Columns = inUS.Replace(out[i].Columns)
	}
	return out
}

// ImportForm asks for a table of the book.
func (p Pages) ImportForm(w http.ResponseWriter, r *http.Request) error {
	return p.importForm(w, r, http.StatusOK, nil)
}

func (p Pages) importForm(w http.ResponseWriter, r *http.Request, status int, amiss []frame.Amiss) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := importPage{Base: p.Base(w, r, snap, "Plant", "Import a table"), Tables: inUnits(tables, snap.Plant.Display.Units)}
	pg.Trail = []frame.Link{{Words: "Plant", To: "/plant"}}
	pg.Amiss = amiss
	options := make([]frame.Option, len(tables))
	for i, t := range tables {
		options[i] = frame.Option{Value: t.Kind, Words: t.Words}
	}
	pg.Fields = []frame.Field{
		{Name: "kind", Label: "What is in it", Kind: "select", Value: r.FormValue("kind"), Options: options},
		{Name: "file", Label: "File, CSV or XLSX", Kind: "file", Hint: "up to 24 MB; the first row names the columns"},
	}
	if status != http.StatusOK {
		pg.Pasted = r.FormValue("pasted")
	}
	return p.Render(w, status, pages["import.html"], pg)
}

type resultPage struct {
	frame.Base
	desk.TableResult
	Words string
}

// Import takes a table's good rows and shows the faulty ones beside their reasons.
func (p Pages) Import(w http.ResponseWriter, r *http.Request) error {
	name, body, err := frame.Sent(r)
	var done desk.TableResult
	if err == nil {
		done, err = p.Desk.ImportTable(r.Context(), r.FormValue("kind"), name, bytes.NewReader(body), frame.Who(r))
	}
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		var amiss []frame.Amiss
		for _, v := range vs {
			amiss = append(amiss, frame.Amiss{Words: v.String()})
		}
		return p.importForm(w, r, http.StatusUnprocessableEntity, amiss)
	}
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := resultPage{Base: p.Base(w, r, snap, "Plant", "Read: "+done.Name), TableResult: done}
	for _, t := range tables {
		if t.Kind == done.Kind {
			pg.Words = t.Words
		}
	}
	pg.Trail = []frame.Link{{Words: "Plant", To: "/plant"}, {Words: "Import", To: "/plant/import?kind=" + done.Kind}}
	return p.Render(w, http.StatusOK, pages["result.html"], pg)
}
