package api

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
)

// Unit is one unit of a release that has a fault.
type Unit struct {
	Number int        `json:"number" doc:"of the release's units, from 1"`
	Unit   ident.Unit `json:"unit,omitempty" doc:"none: its tag has not been printed"`
	Boxes  int        `json:"boxes"`
	Truck  int        `json:"truck,omitempty" doc:"of the plan in force for trucks"`
	Leaves time.Time  `json:"leaves,omitzero" doc:"that truck, at the latest"`
	Held   bool       `json:"held" doc:"already"`
	Why    string     `json:"why,omitempty" doc:"it is held"`
	Sent   bool       `json:"sent"`
}

// CameFrom is the way of a release back through the plant.
type CameFrom struct {
	Plan   ident.Plan      `json:"plan,omitempty"`
	Runs   []int           `json:"runs"`
	Rolls  []ident.Roll    `json:"rolls"`
	Jobs   []ident.Machine `json:"machines"`
	Beside []ident.Release `json:"beside" doc:"made on the same runs, of the same paper"`
}

// FaultyRelease says what carries a fault and what may still go.
type FaultyRelease struct {
	Release ident.Release `json:"release"`
	Boxes   int           `json:"boxes" doc:"that carry it"`
	Made    int           `json:"made" doc:"boxes there are"`
	Told    bool          `json:"told" doc:"by counts; else by the plan"`
	Free    int           `json:"free" doc:"boxes in units that do not carry it, are not on hold and have not left"`
	Hold    []Unit        `json:"hold"`
	Goes    []Unit        `json:"goes"`
	Left    []Unit        `json:"left" doc:"carry it and have left: somebody must ring the customer"`
	Refusal string        `json:"refusal,omitempty" doc:"why no units are known"`
	From    CameFrom      `json:"came_from"`
}

// FaultyRoll is what was made of a roll.
type FaultyRoll struct {
	Roll   ident.Roll   `json:"roll"`
	Plan   ident.Plan   `json:"plan"`
	Held   bool         `json:"held"`
	Told   bool         `json:"told" doc:"it was told on a stand; else by the plan's list"`
	Spared []int        `json:"spared" doc:"runs that the plan names it for, though another roll was told on the stand"`
	Orders []OffTheRoll `json:"orders"`
}

// OffTheRoll is an order on runs that drew from a roll.
type OffTheRoll struct {
	Release ident.Release `json:"release"`
	Begun   bool          `json:"begun" doc:"one of the runs has started"`
	Told    bool          `json:"told" doc:"by what was told on the stands; else by the plan's list"`
	Sheets  int           `json:"sheets" doc:"made while it was on; of the whole runs where that is not told"`
	Boxes   int           `json:"boxes" doc:"that these give"`
	Made    int           `json:"made" doc:"boxes there are of the order"`
	Shipped int           `json:"shipped"`
	Trucks  []int         `json:"trucks" doc:"of the plan that take it"`
}

// Holding puts what carries a fault on hold.
type Holding struct {
	Fact   ident.Fact `json:"fact" minLength:"1" doc:"the sender's id; a repeat changes nothing"`
	Boxes  int        `json:"boxes,omitempty" doc:"0: all of it"`
	From   int        `json:"from_unit,omitempty" doc:"the first unit that carries it; 0: the boxes made last"`
	Reason string     `json:"reason" doc:"the dock reads it"`
}

// OnHold is how many units are held now.
type OnHold struct {
	Units int `json:"units"`
}

func (f *face) faults(api huma.API) {
	huma.Register(api, huma.Operation{
		OperationID: "get-fault", Method: http.MethodGet, Path: "/orders/{order}/{line}/{release}/fault", Summary: "What carries a fault of a release, and what may still go",
	}, func(ctx context.Context, in *struct {
		LinePath
		Boxes int `query:"boxes" minimum:"0" doc:"0: all of it"`
		From  int `query:"from_unit" minimum:"0" doc:"the first unit that carries it; 0: the boxes made last"`
	}) (*answer[FaultyRelease], error) {
		v, err := f.desk.Fault(ctx, desk.FaultyPart{Release: in.key(), Boxes: in.Boxes, From: in.From})
		return say(f, faulty(v), err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "hold-fault", Method: http.MethodPost, Path: "/orders/{order}/{line}/{release}/fault", Summary: "Put every unit that carries a fault on hold",
	}, func(ctx context.Context, in *struct {
		Signed
		LinePath
		Body Holding
	}) (*answer[OnHold], error) {
		b := in.Body
		n, err := f.desk.HoldFault(ctx, desk.FaultyPart{Release: in.key(), Boxes: b.Boxes, From: b.From}, b.Fact, b.Reason, who(in.Who))
		return say(f, OnHold{n}, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "get-roll-fault", Method: http.MethodGet, Path: "/rolls/{roll}/fault", Summary: "What was made of a roll",
	}, func(ctx context.Context, in *struct {
		Roll string `path:"roll"`
	}) (*answer[FaultyRoll], error) {
		v, err := f.desk.FaultOfRoll(ctx, ident.Roll(in.Roll))
		out := FaultyRoll{v.Roll, v.Plan, v.Held, v.Told, some(v.Spared), []OffTheRoll{}}
		for _, o := range v.Orders {
			out.Orders = append(out.Orders, OffTheRoll{o.Release, o.Begun, o.Told, o.Sheets, o.Boxes, o.Made, o.Shipped, some(o.Trucks)})
		}
		return say(f, out, err)
	})
}

func faulty(v desk.Faulty) FaultyRelease {
	out := FaultyRelease{
		Release: v.Release, Boxes: v.Boxes, Made: v.Made, Told: v.Told, Free: v.Free, Refusal: v.Refusal,
		Hold: units(v.Hold), Goes: units(v.Goes), Left: units(v.Left), From: CameFrom{Plan: v.Trace.Plan, Runs: []int{}, Rolls: []ident.Roll{}, Jobs: []ident.Machine{}, Beside: some(v.Trace.Beside)},
	}
	for _, r := range v.Trace.Runs {
		out.From.Runs = append(out.From.Runs, r.Run)
	}
	for _, r := range v.Trace.Rolls {
		out.From.Rolls = append(out.From.Rolls, r.Roll)
	}
	for _, j := range v.Trace.Jobs {
		out.From.Jobs = append(out.From.Jobs, j.Machine)
	}
	return out
}

func units(list []desk.FaultyUnit) []Unit {
	out := make([]Unit, len(list))
	for i, u := range list {
		out[i] = Unit(u)
	}
	return out
}
