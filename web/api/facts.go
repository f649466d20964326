package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

type recorded struct {
	Status int
	Body   desk.Recorded
}

func (f *face) facts(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "record-fact", Method: http.MethodPost, Path: "/facts",
		Summary:     "Record what happened",
		Description: "A repeat of the same fact changes nothing and answers 200; a new one answers 201.",
	}, func(ctx context.Context, in *struct{ Body trace.Fact }) (*recorded, error) {
		done, err := f.desk.Record(ctx, in.Body)
		if err != nil {
			return nil, f.problem(err)
		}
		status := http.StatusOK
		if done.New {
			status = http.StatusCreated
		}
		return &recorded{status, done}, nil
	})
	huma.Get(api, "/facts", func(ctx context.Context, in *struct {
		Release string    `query:"release" doc:"ORDER or ORDER/LINE/RELEASE"`
		Plan    int64     `query:"plan"`
		Run     int       `query:"run"`
		Machine string    `query:"machine"`
		Since   time.Time `query:"since"`
		Limit   int       `query:"limit" minimum:"1" maximum:"5000" default:"500"`
	}) (*answer[[]trace.Fact], error) {
		q := desk.FactQuery{Plan: ident.Plan(in.Plan), Run: in.Run, Machine: ident.Machine(in.Machine), Since: in.Since, Limit: in.Limit}
		if in.Release != "" {
			key, err := ident.ParseRelease(in.Release)
			if err != nil {
				return nil, f.problem(fault.Violations{{Field: "release", Value: in.Release, Rule: "must be ORDER or ORDER/LINE/RELEASE"}})
			}
			q.Release = key
		}
		facts, err := f.desk.Facts(ctx, q)
		return say(f, facts, err)
	})
}
