package frame

import (
	"context"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
)

// Kept says what was done, and in a sentence of its own what is odd about it:
// odd facts are kept, for what happened comes late and typed by people.
func Kept(words string, warnings []string) string {
	if len(warnings) == 0 {
		return words
	}
	return words + " Odd, but kept: " + strings.Join(warnings, "; ") + ". Where it is not so, take it back on the order's page and tell it anew."
}

// FirstTold is when a fact was told first: a form without a time of its own is
// stamped as it arrives, and a second touch of it must not be another fact.
func (f *Frame) FirstTold(ctx context.Context, id ident.Fact, now time.Time) (time.Time, error) {
	there, err := f.Desk.Facts(ctx, desk.FactQuery{ID: id, Limit: 1})
	if err != nil || len(there) == 0 {
		return now, err
	}
	return there[0].At, nil
}
