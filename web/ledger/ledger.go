// Package ledger takes what people type about the floor: what became of a run
// or a job, what stands there, and corrections. Each form carries an id of its
// own, so that sending it twice is harmless.
package ledger

import (
	"embed"
	"net/http"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "floor.html")

// Pages of the ledger.
type Pages struct{ *frame.Frame }

// source names the desk as the sender of typed facts.
const source = "desk"

// record keeps facts one by one and returns the warnings on them.
func (p Pages) record(r *http.Request, facts []trace.Fact) ([]string, error) {
	var warnings []string
	for _, f := range facts {
		done, err := p.Desk.Record(r.Context(), f)
		if err != nil {
			return warnings, err
		}
		warnings = append(warnings, done.Warnings...)
	}
	return warnings, nil
}

// base reads what every form carries.
func base(v *frame.Values) (trace.Fact, error) {
	f := trace.Fact{ID: ident.Fact(v.Text("fact")), At: v.Time("at"), Source: source, Who: frame.Who(v.R), Reason: v.Text("reason")}
	if f.ID == "" {
		return f, fault.Violations{{Field: "fact", Rule: "the form has lost its number: open it again"}}
	}
	return f, nil
}
