package api

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan/stock"
)

// LinePath names a release in an address.
type LinePath struct {
	Order   string `path:"order"`
	Line    string `path:"line"`
	Release string `path:"release"`
}

func (p LinePath) key() ident.Release { return ident.NewRelease(p.Order, p.Line, p.Release) }

// Allotting is made goods that go to a release by a person's decision.
type Allotting struct {
	From  ident.Release `json:"from" doc:"the line whose goods they are"`
	Boxes int           `json:"boxes" doc:"negative gives them back"`
	By    string        `json:"by" doc:"who decides"`
	Why   string        `json:"why,omitempty"`
}

// GivingOver is boxes made beyond an order that go elsewhere by a person's decision.
type GivingOver struct {
	Version int           `json:"version" doc:"of the line that was seen"`
	Boxes   int           `json:"boxes" minimum:"1"`
	To      ident.Release `json:"to,omitzero" doc:"an open release of the same item that lacks boxes; none: its stock"`
	By      string        `json:"by" doc:"who decides"`
	Why     string        `json:"why,omitempty"`
}

// GivenOver names the line that has the boxes now.
type GivenOver struct {
	Release ident.Release `json:"release"`
}

// Delivered is what left the plant.
type Delivered struct {
	Fact    ident.Fact `json:"fact" minLength:"1" doc:"the sender's id; a repeat is harmless"`
	Boxes   int        `json:"boxes" minimum:"1"`
	Closes  bool       `json:"closes,omitempty" doc:"this one closes the order"`
	ToStock bool       `json:"to_stock,omitempty" doc:"what is left then goes to stock"`
	Version int        `json:"version,omitempty" doc:"of the line that was seen; needed where it closes the order"`
}

func (f *face) goods(api huma.API) {
	huma.Get(api, "/goods", func(ctx context.Context, _ *struct{}) (*answer[stock.Standing], error) {
		s, err := f.desk.Goods(ctx)
		return say(f, s, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "allot-goods", Method: http.MethodPost, Path: "/orders/{order}/{line}/{release}/allot",
		Summary: "Give made goods of another line to a release", DefaultStatus: http.StatusNoContent,
	}, func(ctx context.Context, in *struct {
		LinePath
		Body Allotting
	}) (*struct{}, error) {
		return nil, f.problem(f.desk.Allot(ctx, in.Body.From, in.key(), in.Body.Boxes, in.Body.By, in.Body.Why))
	})
	huma.Register(api, huma.Operation{
		OperationID: "give-over", Method: http.MethodPost, Path: "/orders/{order}/{line}/{release}/over",
		Summary: "Give boxes made beyond a release to another, or to stock",
	}, func(ctx context.Context, in *struct {
		LinePath
		Body GivingOver
	}) (*answer[GivenOver], error) {
		b := in.Body
		taker, err := f.desk.GiveOver(ctx, desk.Overrun{Of: in.key(), Version: b.Version, Boxes: b.Boxes, To: b.To, By: b.By, Why: b.Why})
		return say(f, GivenOver{taker}, err)
	})
	huma.Register(api, huma.Operation{
		OperationID: "deliver", Method: http.MethodPost, Path: "/orders/{order}/{line}/{release}/deliver",
		Summary: "Record a delivery, which may close the order",
	}, func(ctx context.Context, in *struct {
		Signed
		LinePath
		Body Delivered
	}) (*answer[desk.Recorded], error) {
		b := in.Body
		done, err := f.desk.Deliver(ctx, in.key(), desk.Delivery{
			ID: b.Fact, Boxes: b.Boxes, Closes: b.Closes, Closing: desk.Closing{Version: b.Version, ToStock: b.ToStock, Who: who(in.Who)},
		})
		return say(f, done, err)
	})
}
