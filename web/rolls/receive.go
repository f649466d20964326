package rolls

import (
	"fmt"
	"net/http"
	"slices"
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
	Delivery   roll.Inbound
	Deliveries []arriving // of the same truck, this one first
	Rolls      int
	Doubt      int           // rolls whose measures do not agree
	Same       []frame.Field // first number and measures that are the same for all
	Fields     []frame.Field // a list instead
}

// ReceiveForm asks for the rolls of a truck, one a row.
func (p Pages) ReceiveForm(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.receipt(w, r)
	if err != nil {
		return err
	}
	return p.Render(w, http.StatusOK, pages["receive.html"], pg)
}

func (p Pages) receipt(w http.ResponseWriter, r *http.Request) (*receivePage, error) {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return nil, err
	}
	in, known := snap.InboundOf(r.PathValue("inbound"))
	if !known {
		return nil, fmt.Errorf("delivery %s: %w", r.PathValue("inbound"), fault.NotFound)
	}
	pg := &receivePage{Base: p.Base(w, r, snap, "Rolls", "Receive "+in.ID), Delivery: in}
	pg.Trail = []frame.Link{{Words: "Rolls", To: "/rolls#trucks"}}
	pg.rows(r, snap, in)
	f := pg.F
	pg.Same = []frame.Field{
		{Name: "first", Label: "First roll number", Value: r.FormValue("first"), Hint: "the next ones count on from it"},
		{Name: "mass", Label: "Mass, " + f.MassUnit(), Value: r.FormValue("mass")},
		{Name: "diameter", Label: "Diameter, " + f.LengthUnit(), Value: r.FormValue("diameter")},
		{Name: "moisture", Label: "Moisture, %", Value: r.FormValue("moisture")},
		{Name: "place", Label: "Place", Value: r.FormValue("place")},
		{Name: "more", Label: "Rolls more than called off", Kind: "number", Least: "0", Step: "1", Value: r.FormValue("more")},
	}
	pg.Fields = []frame.Field{
		{Name: "rolls", Label: "Rolls of " + in.ID + ", one a line", Kind: "textarea", Wide: true, Value: r.PostFormValue("rolls"),
			Hint: fmt.Sprintf("roll; mass in %s; diameter in %s; moisture in %%; place; why it is held. What was not measured stays empty. A tab parts as well.", f.MassUnit(), f.LengthUnit())},
	}
	return pg, nil
}

// refused shows the form again as it was typed.
func (p Pages) refused(w http.ResponseWriter, pg *receivePage, err error) error {
	vs, other := frame.Violations(err)
	if other != nil {
		return other
	}
	pg.Amiss = frame.Mark(pg.Fields, pg.F.InUnits(vs))
	for i, v := range vs {
		if lastDigits.MatchString(v.Field) { // a cell of a row
			pg.Amiss[i] = frame.Amiss{Words: v.Rule, At: v.Field}
		}
	}
	return p.Render(w, http.StatusUnprocessableEntity, pages["receive.html"], pg)
}

// Receive takes the rolls in. Where measures do not agree it asks once, row by
// row, whether the roll is held.
func (p Pages) Receive(w http.ResponseWriter, r *http.Request) error {
	pg, err := p.receipt(w, r)
	if err != nil {
		return err
	}
	receipt, index, vs := pg.receipt()
	if r.PostFormValue("rolls") != "" {
		receipt, index = desk.Receipt{}, nil
		receipt.Rolls, vs = arrivals(r.PostFormValue("rolls"), pg.Delivery.ID, pg.F.Format)
	}
	if err := vs.Err(); err != nil {
		return p.refused(w, pg, err)
	}
	if index != nil {
		odd, err := p.Desk.OddRolls(r.Context(), receipt)
		if err != nil {
			return p.refused(w, pg, err)
		}
		if pg.doubtful(odd, index, r.PostFormValue("seen") != "") {
			pg.Amiss = []frame.Amiss{{Words: fmt.Sprintf("Of %s the measures do not agree. Held as they stand in their rows, or free where you clear the reason: receive again.", frame.Plural(len(odd), "roll"))}}
			return p.Render(w, http.StatusUnprocessableEntity, pages["receive.html"], pg)
		}
	}
	done, err := p.Desk.ReceiveTruck(r.Context(), receipt, frame.Who(r))
	if err != nil {
		return p.refused(w, pg, err)
	}
	return frame.Done(w, r, "/rolls#trucks", receivedWords(pg.F, done))
}

// receivedWords says what a receipt did.
func receivedWords(f frame.Figures, done desk.Received) string {
	words := frame.Plural(done.Taken, "roll") + " received"
	if done.Held > 0 {
		words += fmt.Sprintf(", %d of them on hold", done.Held)
	}
	words += "."
	for _, s := range done.Notes {
		words += " " + frame.Sentence(s)
	}
	if len(done.Odd) > 0 {
		var odd []string
		for _, o := range done.Odd[:min(3, len(done.Odd))] {
			odd = append(odd, string(o.Roll)+" "+f.Say(strings.Join(o.Why, ", ")))
		}
		words += " Measure again: " + strings.Join(odd, "; ")
		if more := len(done.Odd) - len(odd); more > 0 {
			words += fmt.Sprintf("; and %d more", more)
		}
		words += "."
	}
	return words
}

// arrivals reads the lines of a list.
func arrivals(text, delivery string, f quantity.Format) (list []desk.Arrival, vs fault.Violations) {
	for i, line := range strings.Split(text, "\n") {
		if strings.TrimSpace(line) == "" {
			continue
		}
		cells := strings.Split(strings.ReplaceAll(strings.TrimRight(line, "\r"), "\t", ";"), ";")
		cells = append(cells, slices.Repeat([]string{""}, 6)...)
		for k := range cells {
			cells[k] = strings.TrimSpace(cells[k])
		}
		a := desk.Arrival{Delivery: delivery, Roll: ident.Roll(cells[0]), Place: cells[4], Hold: cells[5]}
		refuse := func(k int, what string, err error) {
			if err != nil {
				vs.Add("rolls", cells[k], fmt.Sprintf("line %d: %s cannot be read", i+1, what), "")
			}
		}
		var err error
		if cells[1] != "" {
			a.Mass, err = f.ParseMass(cells[1])
			refuse(1, "the mass", err)
		}
		if cells[2] != "" {
			a.Diameter, err = f.ParseLength(cells[2])
			refuse(2, "the diameter", err)
		}
		if cells[3] != "" {
			a.Moisture, err = quantity.ParseNumber(cells[3])
			refuse(3, "the moisture", err)
		}
		list = append(list, a)
	}
	vs.Require(len(list)+len(vs) > 0, "rolls", "", "must name a roll")
	return list, vs
}
