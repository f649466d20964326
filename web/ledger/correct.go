package ledger

import (
	"net/http"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// Correct takes a fact back by a further fact; the mistaken one stays on record.
func (p Pages) Correct(w http.ResponseWriter, r *http.Request) error {
	v := frame.Values{R: r}
	f := trace.Fact{
		ID: ident.Fact(v.Text("fact")), At: p.Desk.Now(), Kind: trace.Correction, Source: source,
		Who: frame.Who(r), Corrects: ident.Fact(v.Text("corrects")), Reason: v.Text("reason"),
	}
	back := v.Text("back")
	if !strings.HasPrefix(back, "/") || strings.HasPrefix(back, "//") || strings.Contains(back, `\`) {
		back = "/"
	}
	if f.ID == "" || f.Corrects == "" {
		return fault.Violations{{Field: "corrects", Rule: "must name the fact that is taken back"}}
	}
	if key, err := ident.ParseRelease(v.Text("key")); err == nil {
		f.Release = key
	}
	var err error
	if f.At, err = p.FirstTold(r.Context(), f.ID, f.At); err != nil {
		return err
	}
	warnings, err := p.record(r, []trace.Fact{f})
	if err != nil {
		return err
	}
	return frame.Done(w, r, back, frame.Kept("Taken back; the mistaken fact stays on record.", warnings))
}
