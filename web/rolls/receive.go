package rolls

import (
	"fmt"
	"net/http"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/roll"
	"github.com/flutewright/flutewright/web/frame"
)

type receivePage struct {
	frame.Base
	Delivery roll.Inbound
	Fields   []frame.Field
}

// ReceiveForm asks for the rolls of a delivery.
func (p Pages) ReceiveForm(w http.ResponseWriter, r *http.Request) error {
	return p.receive(w, r, http.StatusOK, nil)
}

func (p Pages) receive(w http.ResponseWriter, r *http.Request, status int, vs fault.Violations) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	in, known := snap.InboundOf(r.PathValue("inbound"))
	if !known {
		return fmt.Errorf("delivery %s: %w", r.PathValue("inbound"), fault.NotFound)
	}
	pg := receivePage{Base: p.Base(w, r, snap, "Rolls", "Receive "+in.ID), Delivery: in}
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls"}}
	f := pg.F
	pg.Fields = []frame.Field{
		{Name: "rolls", Label: "Rolls, one a line", Kind: "textarea", Wide: true, Value: r.FormValue("rolls"),
			Hint: fmt.Sprintf("roll; mass in %s; diameter in %s; moisture in %%; place; why it is held. What was not measured stays empty. A tab parts as well.", f.MassUnit(), f.LengthUnit())},
	}
	pg.Amiss = frame.Mark(pg.Fields, vs)
	return p.Render(w, status, pages["receive.html"], pg)
}

// Receive takes the rolls in.
func (p Pages) Receive(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	d := snap.Plant.Display
	list, vs := arrivals(r.FormValue("rolls"), quantity.Format{US: d.Units == "us", InchParts: d.InchParts, Currency: d.Currency, Dates: d.Dates})
	if err := vs.Err(); err != nil {
		return p.receive(w, r, http.StatusUnprocessableEntity, vs)
	}
	taken, odd, err := p.Desk.Receive(r.Context(), r.PathValue("inbound"), list, frame.Who(r))
	if err != nil {
		vs, other := frame.Violations(err)
		if other != nil {
			return other
		}
		return p.receive(w, r, http.StatusUnprocessableEntity, vs)
	}
	words := fmt.Sprintf("%d rolls received.", taken)
	if len(odd) > 0 {
		words += " Measure again: " + strings.Join(odd[:min(3, len(odd))], "; ")
		if len(odd) > 3 {
			words += fmt.Sprintf("; and %d more", len(odd)-3)
		}
		words += "."
	}
	return frame.Done(w, r, "/rolls", words)
}

// arrivals reads the lines of the form.
func arrivals(text string, f quantity.Format) (list []desk.Arrival, vs fault.Violations) {
	for i, line := range strings.Split(text, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		cells := strings.Split(strings.ReplaceAll(strings.TrimRight(line, "\r"), "\t", ";"), ";")
		cell := func(k int) string {
			if k < len(cells) {
				return strings.TrimSpace(cells[k])
			}
			return ""
		}
		a := desk.Arrival{Roll: ident.Roll(cell(0)), Place: cell(4), Hold: cell(5)}
		refuse := func(k int, what string, err error) {
			if err != nil {
				vs.Add("rolls", cell(k), fmt.Sprintf("line %d: %s cannot be read", i+1, what), "")
			}
		}
		var err error
		if cell(1) != "" {
			a.Mass, err = f.ParseMass(cell(1))
			refuse(1, "the mass", err)
		}
		if cell(2) != "" {
			a.Diameter, err = f.ParseLength(cell(2))
			refuse(2, "the diameter", err)
		}
		if cell(3) != "" {
			a.Moisture, err = quantity.ParseNumber(cell(3))
			refuse(3, "the moisture", err)
		}
		list = append(list, a)
	}
	if len(list) == 0 && len(vs) == 0 {
		vs.Add("rolls", "", "must name a roll", "")
	}
	return list, vs
}
