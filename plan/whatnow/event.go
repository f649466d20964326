package whatnow

import (
	"fmt"
	"slices"
	"time"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

// check returns fault.Violations for an event that names what is not there.
func (p Problem) check() error {
	var vs fault.Violations
	e := p.Event
	vs.Require(p.Plan != nil, "plan", "", "there is no plan in force to go on from")
	vs.Require(slices.Contains(Kinds(), e.Kind), "kind", string(e.Kind), fmt.Sprintf("must be one of %q", Kinds()))
	_, there := lineOf(p.Book, e.Release)
	inBook := func() { vs.Require(there, "order", e.Release.String(), "is not in the book") }
	switch e.Kind {
	case Rush, Changed:
		_, known := lineOf(p.Book, e.Line.Key)
		vs.Require(e.Line.Key.Order != "", "order", "", "an order is needed")
		vs.Require(e.Kind == Rush || known, "order", e.Line.Key.String(), "is not in the book")
		vs.Require(e.Line.Quantity > 0, "quantity", fmt.Sprint(e.Line.Quantity), "must be positive")
		vs.Require(!e.Line.Due.IsZero(), "due", "", "a due time is needed")
		vs.Require(itemOf(p.Book, e.Line.Item).Code != "", "item", string(e.Line.Item), "is not in the book")
	case MachineDown:
		_, machine := machineOf(p.Book, e.Machine)
		vs.Require(machine || e.Machine == p.Book.Plant.Corrugator.Code, "machine", string(e.Machine), "is not a machine of the plant")
		vs.Require(e.Until.After(p.Now), "until", e.Until.Format(time.RFC3339), "must lie ahead")
	case PaperGone:
		inHouse := slices.ContainsFunc(p.Book.Rolls, func(r roll.Roll) bool { return gone(e, r) })
		vs.Require(inHouse, "paper", goneWords(e), "no such roll is in the house")
	case Short:
		inBook()
		vs.Require(e.Good >= 0, "good", fmt.Sprint(e.Good), "must not be negative")
		vs.Require(e.Spare >= 0, "spare", fmt.Sprint(e.Spare), "must not be negative")
	case Cut:
		inBook()
	case OnHold:
		inBook()
		vs.Require(e.Held > 0, "held", fmt.Sprint(e.Held), "must be positive")
	}
	return vs.Err()
}

// over returns a fault.Violations where an order that is said to have ended
// still has sheets to come.
func (r *repair) over() error {
	var vs fault.Violations
	for _, run := range r.st.runs {
		if slices.Contains(ordersOf(run), r.Event.Release) {
			vs.Add("order", r.Event.Release.String(), fmt.Sprintf("is not at its end: %s of it are still to run", wordsOf(r.Book).lanes(run)), "state what happened to that run, or wait for its sheets")
			break
		}
	}
	return vs.Err()
}

// gone reports whether the event takes the roll away.
func gone(e Event, r roll.Roll) bool {
	if e.Roll != "" {
		return r.ID == e.Roll
	}
	return r.Paper == e.Paper && r.Width == e.Web
}

func goneWords(e Event) string {
	if e.Roll != "" {
		return "roll " + string(e.Roll)
	}
	return fmt.Sprintf("%s at %s", e.Paper, e.Web)
}

// withStop returns the book with a machine's stop in it.
func withStop(b plant.Book, s plant.Stop) plant.Book {
	b.Plant.Stops = append(slices.Clone(b.Plant.Stops), s)
	return b
}

// withoutPaper returns the book with the paper of the event on hold.
func withoutPaper(b plant.Book, e Event) plant.Book {
	b.Rolls = slices.Clone(b.Rolls)
	for i, r := range b.Rolls {
		if gone(e, r) {
			b.Rolls[i].Hold, b.Rolls[i].HoldReason = true, "gone"
		}
	}
	return b
}

// withLine returns the book with the line in it, in place of the one of its key.
func withLine(b plant.Book, l order.Line) plant.Book {
	b = withoutLine(b, l.Key)
	b.Lines = append(b.Lines, l)
	return b
}

// withoutLine returns the book without the line of that key.
func withoutLine(b plant.Book, k ident.Release) plant.Book {
	b.Lines = slices.DeleteFunc(slices.Clone(b.Lines), func(l order.Line) bool { return l.Key == k })
	return b
}
