package event

import (
	"net/http"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/whatnow"
	"github.com/flutewright/flutewright/web/frame"
)

// fieldsOf are the fields that a kind of event asks for, as typed so far.
func fieldsOf(k whatnow.Kind, snap *desk.Snapshot, r *http.Request, f frame.Figures) (out []frame.Field, does string) {
	add := func(v frame.Field) {
		if typed := r.FormValue(v.Name); typed != "" {
			v.Value = typed
		}
		out = append(out, v)
	}
	orderField := frame.Field{Name: "order", Label: "Order", Needed: true, Hint: "as on the list of orders"}
	cause := frame.Field{Name: "cause", Label: "Cause", Wide: true}
	switch k {
	case whatnow.MachineDown:
		machines := []string{string(snap.Plant.Corrugator.Code)}
		for _, m := range snap.Plant.Machines {
			machines = append(machines, string(m.Code))
		}
		add(frame.Field{Name: "machine", Label: "Machine", Kind: "select", Options: frame.Choices(machines...)})
		add(frame.Field{Name: "until", Label: "Expected back", Kind: "datetime-local", Needed: true})
		add(cause)
		does = "The stop goes into the ledger."
	case whatnow.PaperGone:
		var papers, webs []string
		for _, v := range snap.Plant.Papers {
			papers = append(papers, string(v.Code))
		}
		for _, v := range snap.Plant.Corrugator.Limits.Webs {
			webs = append(webs, f.Length(v))
		}
		add(frame.Field{Name: "roll", Label: "Roll", Hint: "one roll, or leave it empty and name paper and width"})
		add(frame.Field{Name: "paper", Label: "Paper", Kind: "select", Options: frame.Choices(papers...)})
		add(frame.Field{Name: "web", Label: "Width, " + f.LengthUnit(), Kind: "select", Options: frame.Choices(webs...)})
		add(cause)
		does = "What is gone goes on hold in the ledger."
	case whatnow.Rush:
		add(orderField)
		add(frame.Field{Name: "item", Label: "Item", Hint: "not needed for an order that is in the book"})
		add(frame.Field{Name: "quantity", Label: "Boxes", Kind: "number", Least: "1"})
		add(frame.Field{Name: "due", Label: "Due", Kind: "datetime-local"})
		add(frame.Field{Name: "due_at", Label: "Due at", Kind: "select", Options: []frame.Option{{Value: "dock", Words: "the customer's dock"}, {Value: "gate", Words: "the plant's gate"}}})
		add(frame.Field{Name: "price", Label: "Price per 1,000, " + f.MoneyUnit()})
		does = "It goes into the book only with an answer that makes it."
	case whatnow.Changed:
		add(orderField)
		add(frame.Field{Name: "quantity", Label: "Boxes now", Kind: "number", Least: "1", Hint: "empty: as it was"})
		add(frame.Field{Name: "due", Label: "Due now", Kind: "datetime-local", Hint: "empty: as it was"})
		does = "The book changes with the answer that is taken."
	case whatnow.Cut:
		add(orderField)
		does = "The order is closed with the answer that is taken."
	case whatnow.Short:
		add(orderField)
		add(frame.Field{Name: "good", Label: "Good boxes at its end", Kind: "number", Least: "0", Needed: true})
		add(frame.Field{Name: "spare", Label: "Spare sheets on the floor", Kind: "number", Least: "0"})
		does = "Counts stay as the ledger has them."
	case whatnow.OnHold:
		add(orderField)
		add(frame.Field{Name: "held", Label: "Boxes on hold", Kind: "number", Least: "1", Needed: true})
		add(frame.Field{Name: "sort_per_h", Label: "Boxes that can be sorted an hour", Kind: "number", Least: "0", Hint: "empty: nobody can sort"})
		add(frame.Field{Name: "sort_cost", Label: "Cost of an hour of sorting, " + f.MoneyUnit()})
		add(frame.Field{Name: "bad_pct", Label: "Bad among them, %", Kind: "number", Least: "0", Step: "any"})
		does = "Hold the units themselves where they are found; this asks what to do about the order."
	}
	return out, does
}
