// Package web is the desk in the browser: pages written on the server, which
// work without scripts, and beside them the interface for programs at /api.
package web

import (
	"fmt"
	"log/slog"
	"net/http"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/web/api"
	"github.com/flutewright/flutewright/web/frame"
	"github.com/flutewright/flutewright/web/guard"
)

// Options of the desk in the browser. Desk and Log are needed.
type Options struct {
	Desk      *desk.Desk
	Log       *slog.Logger
	Loopback  bool                                                   // listens on this machine's loopback address alone
	Names     []string                                               // further host names that mean this desk
	Template  func() plant.Book                                      // a whole book for the first set-up
	ReadPlant func(name string, content []byte) (plant.Plant, error) // reads PLANT.json
	Version   string
}

type server struct {
	Options
	frame      *frame.Frame
	operations []api.Operation
}

// New returns the handler of every page and of /api, guarded.
func New(o Options) http.Handler {
	s := &server{Options: o, frame: &frame.Frame{Desk: o.Desk, Log: o.Log}}
	mux := s.routes()
	s.operations = api.Operations(api.Mount(mux, o.Desk, o.Log, o.Version))
	return guard.Wrap(mux, o.Loopback, o.Names...)
}

// stated leads an empty book to the first set-up.
func (s *server) stated(h frame.Handler) frame.Handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		snap, err := s.Desk.Snapshot(r.Context())
		if err != nil {
			return err
		}
		if !snap.Stated {
			http.Redirect(w, r, "/start", http.StatusSeeOther)
			return nil
		}
		return h(w, r)
	}
}

// who keeps the name that edits are signed with.
func (s *server) who(w http.ResponseWriter, r *http.Request) error {
	frame.SetWho(w, r.FormValue("who"))
	http.Redirect(w, r, "/", http.StatusSeeOther)
	return nil
}

func (s *server) nowhere(_ http.ResponseWriter, r *http.Request) error {
	return fmt.Errorf("page %s: %w", r.URL.Path, fault.NotFound)
}
