package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/whatnow"
)

// Matter is one thing that needs a decision.
type Matter struct {
	Kind    string         `json:"kind"`
	Text    string         `json:"text" doc:"one sentence, in the plant's units"`
	Money   quantity.Money `json:"money,omitempty" doc:"sales value of the open orders it touches"`
	ActBy   time.Time      `json:"act_by,omitzero" doc:"the latest hour to act"`
	Breaks  bool           `json:"breaks" doc:"breaks something in the day ahead"`
	Release ident.Release  `json:"release,omitzero"`
	Roll    ident.Roll     `json:"roll,omitempty"`
	Machine ident.Machine  `json:"machine,omitempty"`
}

type today struct {
	Since   time.Time  `json:"since" doc:"begin of the shift that is looked back on"`
	Plan    ident.Plan `json:"plan,omitempty" doc:"that the matters are read against"`
	InForce bool       `json:"in_force" doc:"on the corrugator"`
	Matters []Matter   `json:"matters" doc:"worst first"`
}

// Happened is an event to be answered.
type Happened struct {
	Fact  ident.Fact    `json:"fact" minLength:"1" doc:"the sender's id; a repeat changes nothing"`
	Event whatnow.Event `json:"event"`
}

// Answered is an event with its ways on, doing nothing first.
type Answered struct {
	ID     int64          `json:"id" doc:"to ask for it again, or to take an answer; kept for the last forty events, not over a restart"`
	At     time.Time      `json:"at"`
	Who    string         `json:"who"`
	Event  whatnow.Event  `json:"event"`
	Plan   ident.Plan     `json:"plan" doc:"in force when it was asked"`
	Result whatnow.Result `json:"result"`
	Taken  ident.Plan     `json:"taken,omitempty" doc:"plan that was made of an answer"`
}

// Choice is the answer that a person takes.
type Choice struct {
	Answer int      `json:"answer" minimum:"0" doc:"place among the answers, from 0"`
	By     string   `json:"by,omitempty" doc:"who agreed; needed where the answer names one who must"`
	Areas  []string `json:"areas,omitempty" doc:"to put its plan in force for; none: it stays a draft"`
}

// Kept names the plan that was made.
type Kept struct {
	Plan ident.Plan `json:"plan"`
}

func answered(w desk.WhatNow) Answered {
	return Answered{w.ID, w.At, w.Who, w.Event, w.Plan, w.Result, w.Taken}
}

func (f *face) day(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "get-today", Method: http.MethodGet, Path: "/today", Summary: "What needs a decision, worst first",
	}, func(ctx context.Context, _ *struct{}) (*answer[today], error) {
		t, err := f.desk.Today(ctx)
		out := today{Since: t.Since, Plan: t.Head.ID, InForce: t.Forced, Matters: make([]Matter, len(t.Matters))}
		for i, m := range t.Matters {
			out.Matters[i] = Matter(m)
		}
		return say(f, out, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "ask-what-now", Method: http.MethodPost, Path: "/what-now", Summary: "State an event and get the ways on beside doing nothing",
		Description: "A machine that stands and a roll that must not be used are recorded as facts; the plan in force stays as it is until an answer is taken.",
	}, func(ctx context.Context, in *struct {
		Signed
		Body Happened
	}) (*answer[Answered], error) {
		w, err := f.desk.WhatNow(ctx, in.Body.Event, string(in.Body.Fact), who(in.Who))
		return say(f, answered(w), err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "get-what-now", Method: http.MethodGet, Path: "/what-now/{id}", Summary: "An event's answers again, while they are kept",
	}, func(_ context.Context, in *struct {
		ID int64 `path:"id"`
	}) (*answer[Answered], error) {
		w, err := f.desk.Asked(in.ID)
		return say(f, answered(w), err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "take-answer", Method: http.MethodPost, Path: "/what-now/{id}/take", Summary: "Make a plan of an answer, and put it in force where areas are named",
	}, func(ctx context.Context, in *struct {
		Signed
		ID   int64 `path:"id"`
		Body Choice
	}) (*answer[Kept], error) {
		c := desk.Chosen{Event: in.ID, Answer: in.Body.Answer, By: in.Body.By, Areas: in.Body.Areas}
		id, err := f.desk.TakeAnswer(ctx, c, who(in.Who))
		return say(f, Kept{id}, err)
	})
}
