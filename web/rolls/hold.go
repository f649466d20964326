package rolls

import (
	"fmt"
	"net/http"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/web/frame"
)

// Hold puts a roll on hold with a reason, or lifts the hold.
func (p Pages) Hold(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	id := ident.Roll(r.PathValue("roll"))
	v, ok := snap.Roll(id)
	if !ok {
		return fmt.Errorf("roll %s: %w", id, fault.NotFound)
	}
	form := frame.Values{R: r}
	version := form.Count("version", 1, 0)
	v.Hold = form.Text("hold") != ""
	v.HoldReason = ""
	words := fmt.Sprintf("Roll %s is free again.", id)
	if v.Hold {
		if v.HoldReason = form.Text("reason"); v.HoldReason == "" {
			return fault.Violations{{Field: "reason", Rule: "must say why roll " + string(id) + " is held"}}
		}
		words = fmt.Sprintf("Roll %s is on hold: the next plan leaves it out.", id)
	}
	if err := form.Err(); err != nil {
		return err
	}
	if err := p.Desk.SaveRoll(r.Context(), v, version, frame.Who(r), v.HoldReason); err != nil {
		return err
	}
	return frame.Done(w, r, "/rolls/house?q="+frame.Escape(string(id)), words)
}
