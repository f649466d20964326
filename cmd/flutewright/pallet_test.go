package main

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"
)

func ran(args ...string) (code int, out, err string) {
	var o, e bytes.Buffer
	code = run(&env{context.Background(), strings.NewReader(""), &o, &e, nil}, args)
	return code, o.String(), e.String()
}

func TestPallet(t *testing.T) {
	code, out, _ := ran("pallet", "--deck", "1140x1140", "--case", "400x300", "--json")
	var a palletAnswer
	if err := json.Unmarshal([]byte(out), &a); err != nil || code != exitOK {
		t.Fatal(code, err, out)
	}
	if a.Count != 9 || a.Bound < 9 || len(a.Boxes) != 9 {
		t.Errorf("%d of 400 × 300 on 1140 × 1140, bound %d; 9 is the optimum (found by exact search)", a.Count, a.Bound)
	}
}

func TestPalletRefuses(t *testing.T) {
	for _, args := range [][]string{
		{"--deck", "1200", "--case", "400x300"}, {"--deck", "1200x800", "--case", "0x300"},
		{"--deck", "1200x800", "--case", "400x-3"}, {"--deck", "1200x800", "--case", "400x300", "--overhang-mm", "-1"},
		{"--deck", "99999x800", "--case", "400x300"},
	} {
		if code, _, err := ran(append([]string{"pallet"}, args...)...); code != exitInput || err == "" {
			t.Errorf("%v: exit %d, %q", args, code, err)
		}
	}
}
