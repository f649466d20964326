package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/trucks"
)

type shipping struct {
	Plan   ident.Plan    `json:"plan" doc:"in force for trucks, else the current one"`
	Answer trucks.Answer `json:"answer"`
}

// Read is a unit's number read at the dock.
type Read struct {
	Fact ident.Fact `json:"fact" minLength:"1" doc:"of the reading; a repeat changes nothing"`
	Unit string     `json:"unit" minLength:"1" doc:"the number on its tag, as read"`
}

func (f *face) trucks(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "get-trucks", Method: http.MethodGet, Path: "/trucks", Summary: "Which truck leaves when, with what",
	}, func(ctx context.Context, _ *struct{}) (*answer[shipping], error) {
		p, head, err := f.desk.ShippingPlan(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		return say(f, shipping{head.ID, p.Trucks}, nil)
	})
	huma.Register(api, huma.Operation{
		OperationID: "load-unit", Method: http.MethodPost, Path: "/trucks/{plan}/{truck}/units", Summary: "Take a unit onto its truck, or be refused in words",
		Description: "Refused are a number that is not this plant's or was never given out, a unit on hold, one loaded already or bound for another truck; the ledger then stays as it is.",
	}, func(ctx context.Context, in *struct {
		Signed
		Plan  int64 `path:"plan" minimum:"1"`
		Truck int   `path:"truck" minimum:"1"`
		Body  Read
	}) (*answer[desk.Loaded], error) {
		u, err := f.desk.LoadUnit(ctx, desk.Scan{ID: in.Body.Fact, Code: in.Body.Unit, Plan: ident.Plan(in.Plan), Truck: in.Truck, Who: who(in.Who)})
		return say(f, u, err)
	})
}
