package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
)

// PlanPath names a plan.
type PlanPath struct {
	ID int64 `path:"id" minimum:"1"`
}

// Signed says who or what asks.
type Signed struct {
	Who string `header:"X-Who" maxLength:"40" doc:"who or what asks; kept with what is done"`
}

func (f *face) plans(api huma.API) {
	huma.Get(api, "/plans", func(ctx context.Context, _ *struct{}) (*answer[[]desk.PlanHead], error) {
		heads, err := f.desk.Plans(ctx)
		return say(f, heads, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "start-plan", Method: http.MethodPost, Path: "/plans", Summary: "Start a plan", DefaultStatus: http.StatusAccepted,
	}, func(ctx context.Context, in *struct {
		Signed
		Body desk.PlanOptions
	}) (*answer[desk.PlanHead], error) {
		id, err := f.desk.StartPlan(ctx, in.Body, who(in.Who))
		if err != nil {
			return nil, f.problem(err)
		}
		h, err := f.desk.PlanHead(ctx, id)
		return say(f, h, err)
	})
	huma.Get(api, "/plans/{id}", func(ctx context.Context, in *PlanPath) (*answer[desk.PlanHead], error) {
		h, err := f.desk.PlanHead(ctx, ident.Plan(in.ID))
		return say(f, h, err)
	})
	huma.Get(api, "/plans/{id}/body", func(ctx context.Context, in *PlanPath) (*answer[*plan.Plan], error) {
		p, _, err := f.desk.Plan(ctx, ident.Plan(in.ID))
		return say(f, p, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "cancel-plan", Method: http.MethodPost, Path: "/plans/{id}/cancel", Summary: "End a plan early, keeping the best so far",
	}, func(ctx context.Context, in *PlanPath) (*answer[desk.PlanHead], error) {
		if err := f.desk.CancelPlan(ctx, ident.Plan(in.ID)); err != nil {
			return nil, f.problem(err)
		}
		h, err := f.desk.PlanHead(ctx, ident.Plan(in.ID))
		return say(f, h, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "force-plan", Method: http.MethodPost, Path: "/plans/{id}/force", Summary: "Put a plan in force for an area", DefaultStatus: http.StatusNoContent,
	}, func(ctx context.Context, in *struct {
		PlanPath
		Signed
		Body struct {
			Area string `json:"area" doc:"corrugator, trucks, or a machine's code"`
		}
	}) (*struct{}, error) {
		return nil, f.problem(f.desk.PutInForce(ctx, ident.Plan(in.ID), in.Body.Area, who(in.Who)))
	})
}
