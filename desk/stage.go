package desk

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/flutewright/flutewright/plant/order"
)

// Staged is an order file that was read and set against the book, and waits
// for a person to take it.
type Staged struct {
	ID        int64            `json:"id"`
	Name      string           `json:"name"`
	At        time.Time        `json:"at"`
	Who       string           `json:"who"`
	File      order.File       `json:"file"`
	Diff      order.Difference `json:"diff"`
	Notes     []string         `json:"notes,omitempty"`    // what the difference could not tell
	Versions  map[string]int   `json:"versions,omitempty"` // of the lines in Diff, when it was made
	Items     map[string]int   `json:"item_versions,omitempty"`
	Confirmed bool             `json:"confirmed"`
	By        string           `json:"confirmed_by,omitempty"`
	When      time.Time        `json:"confirmed_at,omitzero"`
}

// StageOrders reads an order file and sets it against the book. Nothing is
// taken yet: the answer is kept under a number for ConfirmOrders.
func (d *Desk) StageOrders(ctx context.Context, name string, r io.Reader, who string) (Staged, error) {
	if d.Orders == nil {
		return Staged{}, errors.New("desk: no reader of order files")
	}
	known, s, err := d.known(ctx)
	if err != nil {
		return Staged{}, err
	}
	file, err := d.Orders.ReadOrders(name, r, known)
	if err != nil {
		return Staged{}, fmt.Errorf("orders %s: %w", name, err)
	}
	return d.stage(ctx, s, file, name, who)
}

// StageAgain sets a staged file against the book as it is now, under a new
// number; after a conflict, or when a colleague has edited meanwhile.
func (d *Desk) StageAgain(ctx context.Context, id int64, who string) (Staged, error) {
	old, err := d.Store.Staged(ctx, id)
	if err != nil {
		return Staged{}, err
	}
	s, err := d.Snapshot(ctx)
	if err != nil {
		return Staged{}, err
	}
	return d.stage(ctx, s, old.File, old.Name, who)
}

// Staged returns a staged import. fault.NotFound.
func (d *Desk) Staged(ctx context.Context, id int64) (Staged, error) { return d.Store.Staged(ctx, id) }

func (d *Desk) stage(ctx context.Context, s *Snapshot, file order.File, name, who string) (Staged, error) {
	st := Staged{Name: name, At: d.Clock(), Who: named(who), File: file}
	if err := d.compareFile(ctx, s, &st); err != nil {
		return Staged{}, err
	}
	id, err := d.Store.Stage(ctx, st)
	if err != nil {
		return Staged{}, fmt.Errorf("orders %s: %w", name, err)
	}
	st.ID = id
	return st, nil
}
