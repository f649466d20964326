package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plan/rolls"
)

// PlyAhead is one ply of one run ahead.
type PlyAhead struct {
	rolls.PlyNeed
	Start   time.Time         `json:"start"`
	Missing quantity.Distance `json:"missing_m"`
	Coming  quantity.Distance `json:"coming_m" doc:"from deliveries that are still on the road"`
	Wrong   []string          `json:"wrong,omitempty" doc:"with the rolls named"`
}

// OutOf is a paper at a width of which no usable metre is in the house.
type OutOf struct {
	Paper   ident.Paper       `json:"paper"`
	Width   quantity.Length   `json:"width_mm"`
	Until   time.Time         `json:"until" doc:"a delivery is due"`
	Inbound string            `json:"inbound"`
	Brings  quantity.Distance `json:"brings_m"`
}

type paperAhead struct {
	Plan      ident.Plan        `json:"plan"`
	Until     time.Time         `json:"until"`
	Runs      int               `json:"runs" doc:"that start before until"`
	Uncovered quantity.Distance `json:"uncovered_m" doc:"of all plies: no roll, or the roll named is no longer usable"`
	Coming    quantity.Distance `json:"coming_m" doc:"of the rest: from deliveries that are still on the road"`
	Plies     []PlyAhead        `json:"plies" doc:"in sequence"`
	Out       []OutOf           `json:"out"`
}

func (f *face) paper(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "get-paper-ahead", Method: http.MethodGet, Path: "/paper-ahead", Summary: "Whether the runs ahead are covered by named, usable rolls, ply by ply",
	}, func(ctx context.Context, in *struct {
		Until time.Time `query:"until" doc:"runs that start before it; default: as the desk's page"`
	}) (*answer[paperAhead], error) {
		c, err := f.desk.PaperCover(ctx, in.Until)
		out := paperAhead{
			Plan: c.Plan, Until: c.Until, Runs: c.Runs, Uncovered: c.Uncovered, Coming: c.Coming,
			Plies: make([]PlyAhead, len(c.Plies)), Out: make([]OutOf, len(c.Out)),
		}
		for i, p := range c.Plies {
			out.Plies[i] = PlyAhead{p.PlyNeed, p.Start, p.Missing, p.Coming, p.Why}
		}
		for i, o := range c.Out {
			out.Out[i] = OutOf(o)
		}
		return say(f, out, err)
	})
}
