package desk

import (
	"context"
	"io"
)

// Copied counts what a copy of all data holds.
type Copied struct {
	Rows    int64 `json:"rows"`
	Entries int64 `json:"entries"` // of the book
	Plans   int64 `json:"plans"`
	Facts   int64 `json:"facts"`
}

// Copy writes everything that is kept, as it stands at one moment: book with
// history, plans, ledger and the numbers given out.
func (d *Desk) Copy(ctx context.Context, w io.Writer) (Copied, error) { return d.Store.Copy(ctx, w) }
