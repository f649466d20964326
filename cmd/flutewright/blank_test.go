package main

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/plant/box"
	"github.com/flutewright/flutewright/plant/demo"
)

// shell runs one command line in this process.
func shell(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(&env{context.Background(), strings.NewReader(""), &out, &errs, nil}, args)
	return code, out.String(), errs.String()
}

func answer(t *testing.T, args ...string) map[string]any {
	t.Helper()
	code, out, errs := shell(t, append(args, "--json")...)
	if code != exitOK {
		t.Fatalf("%v: exit %d: %s", args, code, errs)
	}
	var a map[string]any
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		t.Fatalf("%v: %v", args, err)
	}
	return a
}

func TestBlankAnswers(t *testing.T) {
	a := answer(t, "blank", "--style", "0201", "--inside", "398x299x135", "--flute", "B")
	got, err := json.Marshal([]any{a["chop_mm"], a["slit_mm"], a["panels_mm"], a["scores_mm"], a["flap_mm"], a["lap_mm"], a["area_m2"], a["outside_mm"]})
	if err != nil {
		t.Fatal(err)
	}
	want := `[1439,443,[35,401,302,401,300],[151,292],151,35,0.637477,{"height":146.8,"length":403.9,"width":304.9}]`
	if string(got) != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if s := answer(t, "blank", "--style", "0110", "--inside", "650x630", "--flute", "BC")["scores_mm"]; len(s.([]any)) != 0 {
		t.Errorf("a plain sheet has scores %v", s)
	}
}

// usPlant is the demo plant as one that rounds to 1/16 in, with a US plant's C flute allowances.
func usPlant(t *testing.T) string {
	t.Helper()
	p := demo.Book().Plant
	const in = quantity.Inch
	p.Display.Units, p.Display.InchParts, p.Display.Page = "us", 16, "Letter"
	p.Allowances = []box.Allowance{{Flute: "C", PanelAdd: 3 * in / 16, LastPanelLess: in / 16, DepthAdd: 3 * in / 8, SlotWidth: 3 * in / 8, GlueLap: in + 3*in/8, Caliper: quantity.FromInches(.16), RoundUpTo: in / 16}}
	raw, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "plant.json")
	if err := os.WriteFile(path, raw, 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestBlankOfAUSPlant(t *testing.T) {
	plant := usPlant(t)
	dir := t.TempDir()
	svg, pdf := filepath.Join(dir, "b.svg"), filepath.Join(dir, "b.pdf")
	code, out, errs := shell(t, "blank", "--style", "0201", "--inside", "16x12x10", "--flute", "C", "--plant", plant, "--svg", svg, "--pdf", pdf)
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errs)
	}
	for _, want := range []string{"58 1/16", "22 5/8", "1 3/8, 16 3/16, 12 3/16, 16 3/16, 12 1/8", "9.12"} {
		if !strings.Contains(out, want) {
			t.Errorf("the table lacks %q:\n%s", want, out)
		}
	}
	picture, err := os.ReadFile(svg)
	if err != nil || !bytes.Contains(picture, []byte("58 1/16")) {
		t.Errorf("the drawing is not in inches: %v", err)
	}
	if page, err := os.ReadFile(pdf); err != nil || !bytes.HasPrefix(page, []byte("%PDF-")) {
		t.Errorf("no PDF: %v", err)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 2 {
		t.Errorf("files left behind: %v, %v", left, err)
	}
}

func TestBlankRefuses(t *testing.T) {
	for name, args := range map[string][]string{
		"--style":                  {"--style", "9999", "--inside", "398x299x135", "--flute", "B"},
		"its sheet must be stated": {"--style", "0427", "--inside", "398x299x135", "--flute", "B"},
		"inside.height":            {"--style", "0201", "--inside", "398x299x0", "--flute", "B"},
		"length x width x height":  {"--style", "0201", "--inside", "398x299", "--flute", "B"},
		"is a date, not a length":  {"--style", "0201", "--inside", "16-Marx299x135", "--flute", "B"},
		"no allowances for flute":  {"--style", "0201", "--inside", "398x299x135", "--flute", "Q"},
		"only style 0202":          {"--style", "0201", "--inside", "398x299x135", "--flute", "B", "--overlap-mm", "40"},
		"must be from 0 to":        {"--style", "0202", "--inside", "398x299x135", "--flute", "B", "--overlap-mm", "NaN"},
		"must be at most 6000 mm":  {"--style", "0201", "--inside", "9000x299x135", "--flute", "B"},
		"no such file":             {"--style", "0201", "--inside", "398x299x135", "--flute", "B", "--plant", "none.json"},
		"missing flags: --style":   {"--inside", "398x299x135", "--flute", "B"},
		"expected a float but got": {"--style", "0201", "--inside", "398x299x135", "--flute", "B", "--overlap-mm", "x"},
	} {
		code, out, errs := shell(t, append([]string{"blank"}, args...)...)
		if code != exitInput || !strings.Contains(errs, name) {
			t.Errorf("%v: exit %d, %q; want %q", args, code, errs, name)
		}
		if out != "" {
			t.Errorf("%v: half an answer: %q", args, out)
		}
	}
}

func TestStrengthAnswers(t *testing.T) {
	a := answer(t, "strength", "--ect-kn-m", "5.604059", "--caliper-mm", "4.064", "--perimeter-mm", "1422.4", "--days", "30", "--humidity-pct", "80", "--stack", "column")
	near := func(key string, want float64) {
		t.Helper()
		if got, ok := a[key].(float64); !ok || math.Abs(got/want-1) > 1e-5 {
			t.Errorf("%s is %v, want %g", key, a[key], want)
		}
	}
	near("bct_n", 562.2719*4.4482216)
	near("bct_low_n", .75*562.2719*4.4482216)
	near("bct_high_n", 1.25*562.2719*4.4482216)
	near("allowed_load_n", .408*562.2719*4.4482216)
	if m := a["multipliers"].(map[string]any); m["stack"] != 1.0 || m["days"] != .6 {
		t.Errorf("multipliers %v", m)
	}
	for _, key := range []string{"formula", "source"} {
		if s, _ := a[key].(string); s == "" {
			t.Errorf("no %s", key)
		}
	}
	if left := answer(t, "strength", "--inside", "400x300x250", "--grade", "C-ST"); left["allowed_load_n"] != left["bct_n"] || left["ect_stated"] != false {
		t.Errorf("left out is no loss: %v", left)
	}
}

func TestStrengthWarns(t *testing.T) {
	code, out, errs := shell(t, "strength", "--inside", "570x370x160", "--grade", "C-ST", "--days", "10", "--humidity-pct", "90", "--mass-kg", "21", "--high", "7")
	if code != exitOK {
		t.Fatal(errs)
	}
	for _, want := range []string{"fails; 4 high at most", "1,236", "out of its range"} {
		if !strings.Contains(out, want) {
			t.Errorf("the table lacks %q:\n%s", want, out)
		}
	}
}

func TestStrengthRefuses(t *testing.T) {
	for name, args := range map[string][]string{
		"--grade":                  {"--inside", "400x300x250"},
		"is not a grade":           {"--inside", "400x300x250", "--grade", "Z-9"},
		"--inside":                 {"--grade", "C-ST"},
		"--inside.length":          {"--grade", "C-ST", "--inside", "200x300x250"},
		"--ect-kn-m":               {"--ect-kn-m=-3", "--caliper-mm", "4", "--perimeter-mm", "1400"},
		"--perimeter-mm":           {"--ect-kn-m", "3", "--caliper-mm", "4", "--perimeter-mm", "NaN"},
		"--humidity-pct \"120\"":   {"--inside", "400x300x250", "--grade", "C-ST", "--humidity-pct", "120"},
		"--stack \"heap\"":         {"--inside", "400x300x250", "--grade", "C-ST", "--stack", "heap"},
		"belong together":          {"--inside", "400x300x250", "--grade", "C-ST", "--high", "4"},
		"--constant \"0\"":         {"--inside", "400x300x250", "--grade", "C-ST", "--constant", "0"},
		"--contents-pct \"101\"":   {"--inside", "400x300x250", "--grade", "C-ST", "--contents-pct", "101"},
		"--mass-kg \"NaN\": must ": {"--inside", "400x300x250", "--grade", "C-ST", "--mass-kg", "NaN", "--high", "3"},
	} {
		code, out, errs := shell(t, append([]string{"strength"}, args...)...)
		if code != exitInput || !strings.Contains(errs, name) || out != "" {
			t.Errorf("%v: exit %d, %q, %q; want %q", args, code, out, errs, name)
		}
	}
}
