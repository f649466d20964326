// Package crew shows each crew at its machine what comes next and takes what
// happened by touch. A screen is read at two metres, loads itself anew, and
// works without scripts; a form carries an id of its own, so that sending it
// twice is harmless.
package crew

import (
	"embed"
	"net/http"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/convert"
	"github.com/flutewright/flutewright/web/frame"
)

//go:embed *.html
var files embed.FS

var pages = frame.Parse(files, "choose.html", "wet.html", "dry.html", "machine.html", "tell.html", "silent.html")

// Pages of the crews.
type Pages struct{ *frame.Frame }

// screen is what every crew screen carries.
type screen struct {
	frame.Base
	At      string // wet, dry, or a machine's code: the address under /crew
	Caution string
	Live    bool   // loads itself anew
	Once    string // id of the forms that one touch sends
	Halt    *stopped
}

type stopped struct {
	Since, Until time.Time
	Cause        string
}

// fresh is after how many seconds a browser without scripts loads a live screen anew.
const fresh = 5

// Cautions are the usual ones of the trade (common practice, no published
// source) and name no local limit.
const (
	cautionWet = "Nips draw in, rolls and steam burn, roll trucks run people over: guards closed, keep their way clear, lock out before entering."
	cautionDry = "Slitters, knife and shear cut, tall stacks fall: lock out before reaching in, keep clear of the eject side."
	cautionJob = "Feed, print and die nips draw in, straps spring back: guards closed, lock out before reaching in; lift within the plant's limit."
	local      = " The plant's own procedures and local codes rule; this screen advises and moves no machine."
)

type choosePage struct {
	screen
	Machines []convert.Machine
}

// Choose answers: at which machine do you stand?
func (p Pages) Choose(w http.ResponseWriter, r *http.Request) error {
	snap, err := p.Desk.Snapshot(r.Context())
	if err != nil {
		return err
	}
	pg := choosePage{screen: screen{Base: p.Base(w, r, snap, "", "At which machine do you stand?")}, Machines: snap.Plant.Machines}
	return p.Render(w, http.StatusOK, pages["choose.html"], pg)
}

// Sign keeps the name that facts from this tablet are signed with.
func (p Pages) Sign(w http.ResponseWriter, r *http.Request) error {
	frame.SetWho(w, r.FormValue("who"))
	return frame.Done(w, r, "/crew", "Facts from this tablet are signed so from now on.")
}

// Screen shows the screen of one place.
func (p Pages) Screen(w http.ResponseWriter, r *http.Request) error {
	switch at := r.PathValue("at"); at {
	case "wet":
		return p.wet(w, r)
	case "dry":
		return p.dry(w, r)
	default:
		return p.machine(w, r, ident.Machine(at))
	}
}

// live makes a screen of one place that loads itself anew.
func (p Pages) live(base frame.Base, at, caution string) screen {
	base.Refresh = fresh
	return screen{Base: base, At: at, Caution: caution + local, Live: true, Once: frame.Once()}
}

// silent says that there is nothing to show yet.
func (p Pages) silent(w http.ResponseWriter, s screen) error {
	return p.Render(w, http.StatusOK, pages["silent.html"], s)
}
