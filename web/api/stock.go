package api

import (
	"context"
	"fmt"

	"github.com/danielgtaylor/huma/v2"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/plant/roll"
)

type itemList struct {
	Items []order.Item `json:"items"`
	Count int          `json:"count" doc:"of all"`
}

func (f *face) items(api huma.API) {
	huma.Get(api, "/items", func(ctx context.Context, in *Listed) (*answer[itemList], error) {
		snap, err := f.desk.Snapshot(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		return say(f, itemList{cut(snap.Items, in.From, in.Limit), len(snap.Items)}, nil)
	})
	huma.Get(api, "/items/{item}", func(ctx context.Context, in *struct {
		Item string `path:"item"`
	}) (*answer[order.Item], error) {
		snap, err := f.desk.Snapshot(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		i, ok := snap.Item(ident.Item(in.Item))
		if !ok {
			err = fmt.Errorf("item %s: %w", in.Item, fault.NotFound)
		}
		return say(f, i, err)
	})
}

type rollList struct {
	Rolls   []roll.Roll    `json:"rolls"`
	Inbound []roll.Inbound `json:"inbound"`
	Count   int            `json:"count" doc:"of all rolls"`
}

func (f *face) rolls(api huma.API) {
	huma.Get(api, "/rolls", func(ctx context.Context, in *Listed) (*answer[rollList], error) {
		snap, err := f.desk.Snapshot(ctx)
		if err != nil {
			return nil, f.problem(err)
		}
		return say(f, rollList{cut(snap.Rolls, in.From, in.Limit), snap.Inbound, len(snap.Rolls)}, nil)
	})
}
