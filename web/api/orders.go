package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/jobs"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/web/frame"
)

// Order is a line of the book with how far it is.
type Order struct {
	order.Line
	Word    string           `json:"progress" doc:"entered, planned, made, loaded, shipped, on hold or closed; derived"`
	Done    trace.Quantities `json:"quantities"`
	Finish  *jobs.Finish     `json:"finish,omitempty" doc:"from the plan that holds now"`
	Version int              `json:"version"`
}

type orderList struct {
	Orders []Order `json:"orders"`
	Count  int     `json:"count" doc:"of all that match"`
}

// Listed cuts a list into pages.
type Listed struct {
	From  int `query:"from" minimum:"0" doc:"rows to leave out"`
	Limit int `query:"limit" minimum:"1" maximum:"5000" default:"200"`
}

func (f *face) orders(api huma.API) {
	f.goods(api)
	f.edits(api)
	huma.Get(api, "/orders", func(ctx context.Context, in *struct {
		Listed
		Customer string `query:"customer"`
		Progress string `query:"progress" enum:"entered,planned,made,loaded,shipped,on hold,closed"`
	}) (*answer[orderList], error) {
		snap, st, err := f.now(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		out := []Order{}
		for _, l := range snap.Lines {
			o := orderOf(snap, st, l)
			if (in.Customer == "" || string(l.Customer) == in.Customer) && (in.Progress == "" || o.Word == in.Progress) {
				out = append(out, o)
			}
		}
		return say(f, orderList{cut(out, in.From, in.Limit), len(out)}, nil)
	})
	huma.Get(api, "/orders/{order}/{line}/{release}", func(ctx context.Context, in *struct {
		Order   string `path:"order"`
		Line    string `path:"line"`
		Release string `path:"release"`
	}) (*answer[Order], error) {
		snap, st, err := f.now(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		l, version, err := f.desk.Line(ctx, ident.Release{Order: in.Order, Line: in.Line, Release: in.Release})
		if err != nil {
			return nil, f.problem(err)
		}
		o := orderOf(snap, st, l)
		o.Version = version
		return say(f, o, nil)
	})
}

// OrderEdit is a line of the book as it shall be.
type OrderEdit struct {
	order.Line
	Version int    `json:"version" minimum:"0" doc:"that the order was read at; 0 enters a new one"`
	Why     string `json:"why,omitempty" maxLength:"200" doc:"kept with the change"`
}

// edits lets a program change an order, with the checks of the order's page.
func (f *face) edits(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "put-order", Method: http.MethodPut, Path: "/orders/{order}/{line}/{release}",
		Summary: "Change an order, or enter one",
		Description: "The whole line as it shall be: read it first, change what differs and send it back with its version. " +
			"Nothing is kept where somebody has saved it since (409, with both values) or where it breaks a rule (422, every rule it breaks). " +
			"What made goods it was given or gave, and what it makes again, stay as they are. The plan stays as it was.",
	}, func(ctx context.Context, in *struct {
		Signed
		Order   string `path:"order"`
		Line    string `path:"line"`
		Release string `path:"release"`
		Body    OrderEdit
	}) (*answer[Order], error) {
		key := ident.Release{Order: in.Order, Line: in.Line, Release: in.Release}
		l := in.Body.Line
		if l.Key != key {
			return nil, f.problem(fault.Violations{{Field: "key", Value: l.Key.String(), Rule: "must be the order of the address, " + key.String(), Remedy: "send it to its own address"}})
		}
		was := order.Line{}
		if in.Body.Version > 0 {
			now, _, err := f.desk.Line(ctx, key)
			if err != nil {
				return nil, f.problem(err)
			}
			was = now
		}
		l.ToStock, l.Taken, l.Given, l.Parent, l.Cause, l.Cost = was.ToStock, was.Taken, was.Given, was.Parent, was.Cause, was.Cost
		if err := f.desk.SaveLine(ctx, l, in.Body.Version, who(in.Who), in.Body.Why); err != nil {
			return nil, f.problem(err)
		}
		snap, st, err := f.now(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		return say(f, orderOf(snap, st, l), nil)
	})
}

// now returns the book and the plan that holds, nil where there is none yet.
func (f *face) now(ctx context.Context) (*desk.Snapshot, *frame.Standing, error) {
	snap, err := f.desk.Snapshot(ctx)
	if err != nil {
		return nil, nil, err
	}
	fr := frame.Frame{Desk: f.desk, Log: f.log}
	st, err := frame.Maybe(fr.Current(ctx))
	return snap, st, err
}

func orderOf(snap *desk.Snapshot, st *frame.Standing, l order.Line) Order {
	o := Order{Line: l, Done: snap.Done[l.Key], Version: snap.Version(desk.KindLine, l.Key.String())}
	if st != nil {
		o.Finish = st.Ends[l.Key]
	}
	o.Word = frame.State(l, o.Done, o.Finish != nil)
	return o
}
