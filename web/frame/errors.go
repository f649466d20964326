package frame

import (
	"context"
	"errors"
	"io"
	"net/http"
	"syscall"

	"github.com/flutewright/flutewright/base/fault"
)

// Handler is a page's handler; Page turns its error into a page.
type Handler func(w http.ResponseWriter, r *http.Request) error

// Page is the one place where an error becomes a page: Invalid 422, NotFound
// 404, Conflict, Reused, Infeasible and Refused 409, too large 413; anything else is
// ours: logged once and worded blandly.
func (f *Frame) Page(h Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			f.fail(w, r, err)
		}
	})
}

type errorPage struct {
	Base
	Lines []string
	Help  string
	Again []again // a refused form's fields
	To    string  // where they are sent again
}

var errorPages = Parse(files, "error.html")

func (f *Frame) fail(w http.ResponseWriter, r *http.Request, err error) {
	if r.Context().Err() != nil && errors.Is(err, context.Canceled) {
		return // the reader has left
	}
	status, title, help := Status(err)
	page := errorPage{Lines: fault.Lines(err), Help: help}
	if status == http.StatusInternalServerError {
		f.Log.Error("page failed", "method", r.Method, "path", r.URL.Path, "error", err)
		page.Lines = nil
	}
	if status == http.StatusUnprocessableEntity {
		page.Again, page.To = sentAgain(r, page.Lines), r.URL.RequestURI()
	}
	page.Base = Base{Title: title, Who: Who(r), Now: f.Desk.Now()}
	if snap, err := f.Desk.Snapshot(r.Context()); err == nil {
		page.Base = f.Base(w, r, snap, "", title)
		for i := range page.Lines {
			page.Lines[i] = page.F.Say(page.Lines[i])
		}
	}
	if err := f.Render(w, status, errorPages["error.html"], page); err != nil {
		f.Log.Error("error page failed", "path", r.URL.Path, "error", err)
		http.Error(w, "The desk failed to write this page.", http.StatusInternalServerError)
	}
}

// Status returns the HTTP status of an error, its title and what to do.
func Status(err error) (status int, title, help string) {
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return http.StatusRequestEntityTooLarge, "That is too large",
			"The desk takes files of up to 24 MB. Split the file, or leave out what is not needed."
	case errors.Is(err, fault.Invalid):
		return http.StatusUnprocessableEntity, "Something in it is wrong", "Go back, mend what is named here and send it again."
	case errors.Is(err, fault.NotFound):
		return http.StatusNotFound, "Not found", "It may have been closed or renamed. Search for it in its list."
	case errors.Is(err, fault.Conflict):
		return http.StatusConflict, "Changed by someone else", "Open it again to see both values, then decide."
	case errors.Is(err, fault.Reused):
		return http.StatusConflict, "That number is taken", "Nothing was kept of it. Take the earlier one back, or tell this anew: a fresh form has a number of its own."
	case errors.Is(err, fault.Infeasible):
		return http.StatusConflict, "No plan does that", "Loosen the limit that is named here."
	case errors.Is(err, fault.Refused):
		return http.StatusConflict, "Refused", "A rule of the plant stands against it."
	}
	return http.StatusInternalServerError, "The desk failed",
		"This is a fault of the program, not of what you did. It has been logged; what was saved before is safe."
}

// Violations returns the violations of a form's error, or the error itself
// where it is of another kind.
func Violations(err error) (fault.Violations, error) {
	var vs fault.Violations
	if errors.As(err, &vs) {
		return vs, nil
	}
	return nil, err
}

// Gone leaves out the error of a reader who has closed the page.
func Gone(err error) error {
	if errors.Is(err, syscall.EPIPE) || errors.Is(err, syscall.ECONNRESET) || errors.Is(err, io.ErrClosedPipe) {
		return nil
	}
	return err
}
