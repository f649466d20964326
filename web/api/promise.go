package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
)

// promised is an answer with the plan it was set into.
type promised struct {
	Plan   desk.PlanHead  `json:"plan"`
	Answer *plan.Promised `json:"answer"`
}

func (f *face) promise(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "ask-promise", Method: http.MethodPost, Path: "/promise",
		Summary:     "Ask when a release, or so many of an item, can be at the gate or dock",
		Description: "It is set into the plan in force, which is not planned anew; nothing is kept. Name a release, or an item with quantity and due time.",
	}, func(ctx context.Context, in *struct{ Body plan.Ask }) (*answer[promised], error) {
		got, head, err := f.desk.Promise(ctx, in.Body)
		return say(f, promised{head, got}, err)
	})
}
