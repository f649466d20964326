package orders

import (
	"net/http"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/web/frame"
)

// Decide holds, opens or closes a line, with a reason.
func (p Pages) Decide(w http.ResponseWriter, r *http.Request) error {
	key, err := frame.ReleaseOf(r)
	if err != nil {
		return err
	}
	l, _, err := p.Desk.Line(r.Context(), key)
	if err != nil {
		return err
	}
	v := frame.Values{R: r}
	version := v.Count("version", 1, 0)
	if err := v.Err(); err != nil {
		return err
	}
	words := ""
	switch l.State = order.LineState(v.Text("state")); l.State {
	case order.OnHold:
		words = "on hold: the next plan leaves it out"
	case order.Open:
		words = "open again"
	case order.Closed:
	default:
		return fault.Violations{{Field: "state", Value: v.Text("state"), Rule: "must be open, on hold or closed"}}
	}
	if l.State == order.Closed {
		err := p.Desk.CloseLine(r.Context(), key, desk.Closing{Version: version, ToStock: v.Text("to_stock") != "", Who: frame.Who(r), Why: v.Text("why")})
		if err != nil {
			return err
		}
		return frame.Done(w, r, frame.OrderPath(key), "Order "+key.String()+" is closed.")
	}
	l.ToStock = false
	if err := p.Desk.SaveLine(r.Context(), l, version, frame.Who(r), v.Text("why")); err != nil {
		return err
	}
	return frame.Done(w, r, frame.OrderPath(key), "Order "+key.String()+" is "+words+".")
}
