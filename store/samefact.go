package store

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
	"github.com/flutewright/flutewright/plant/trace"
)

// sameFact returns fault.Reused if the ledger's fact of that id says something else.
func sameFact(ctx context.Context, tx *sql.Tx, f trace.Fact, body []byte) error {
	var there string
	if err := tx.QueryRowContext(ctx, `SELECT body FROM facts WHERE id = $1`, f.ID).Scan(&there); err != nil {
		return fmt.Errorf("fact %s: %w", f.ID, err)
	}
	if there != string(body) {
		apart, err := fieldsApart([]byte(there), body)
		if err != nil {
			return fmt.Errorf("fact %s: %w", f.ID, err)
		}
		return fmt.Errorf("fact %s is in the ledger already, with %s; take that one back and tell it anew under another number: %w", f.ID, apart, fault.Reused)
	}
	return nil
}

// fieldsApart names the fields in which two facts differ: "good 10, yours 11".
func fieldsApart(there, yours []byte) (string, error) {
	var a, b map[string]json.RawMessage
	if err := errors.Join(json.Unmarshal(there, &a), json.Unmarshal(yours, &b)); err != nil {
		return "", err
	}
	names := maps.Clone(a)
	maps.Copy(names, b)
	value := func(raw json.RawMessage) string {
		if raw == nil {
			return "none"
		}
		return strings.Trim(string(raw), `"`)
	}
	var out []string
	for _, n := range slices.Sorted(maps.Keys(names)) {
		if !bytes.Equal(a[n], b[n]) {
			out = append(out, n+" "+value(a[n])+", yours "+value(b[n]))
		}
	}
	return strings.Join(out, "; "), nil
}
