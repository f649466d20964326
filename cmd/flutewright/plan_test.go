package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
)

const monday = "2031-03-03T06:00"

func file(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func plannedOf(t *testing.T, out string) (orders, planned int) {
	t.Helper()
	var p struct {
		Summary struct{ Orders, Planned int }
	}
	if err := json.Unmarshal([]byte(out), &p); err != nil {
		t.Fatalf("not plan.json: %v: %.200s", err, out)
	}
	return p.Summary.Orders, p.Summary.Planned
}

// The demo's own orders, read from their file with their items, are all planned; the folder holds the answer.
func TestPlanDemoOrders(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	code, out, errs := shell(t, "plan", "--orders", "../../exchange/testdata/orders.csv", "--now", monday, "--seconds", "0.3", "--out", dir, "--json")
	if code != exitOK || errs != "" {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if orders, planned := plannedOf(t, out); orders != 42 || planned != 42 {
		t.Errorf("%d of %d planned", planned, orders)
	}
	written, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	if err != nil || string(written) != out {
		t.Errorf("plan.json is not what was printed: %v", err)
	}
	for _, name := range []string{"runs.csv", "orders.csv", "jobs.csv", "loads.csv", "tags.pdf", "FFG-1-jobs.pdf"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() < 100 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

const head = "order,customer,item,due,quantity,style,inside_length_mm,inside_width_mm,inside_height_mm,grade,boxes_per_bundle,pallet\n"

// Rows that wait are said, a line each; the others are planned.
func TestPlanGoodRowsBesideFaultyOnes(t *testing.T) {
	orders := file(t, "o.csv", head+
		"004512,C01,FW-1001,2031-03-05,5000,,,,,,,\n"+
		"B1,C01,,2031-03-05,16-Mar,0201,,300,200,X-1,,\n"+
		"N1,SHOP,,2031-03-06T10:00,2000,0201,400,300,200,C-ST,20,P1210\n"+
		"OLD,C01,FW-1002,2031-02-01,1000,,,,,,,\n")
	code, out, errs := shell(t, "plan", "--orders", orders, "--now", monday, "--seconds", "0.2", "--json")
	if code != exitOK {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if orders, planned := plannedOf(t, out); orders != 3 || planned != 3 {
		t.Errorf("%d of %d planned", planned, orders)
	}
	if !strings.Contains(out, `"004512"`) || !strings.Contains(out, `"overdue": true`) {
		t.Error("zeros lost, or the overdue order not marked")
	}
	lines := strings.Split(strings.TrimSpace(errs), "\n")
	if len(lines) != 2 || !strings.Contains(lines[0], "o.csv: row 3 waits: ") || strings.Count(lines[0], ";") < 3 || !strings.Contains(lines[1], "customer SHOP is not in the book") {
		t.Errorf("%q", lines)
	}
}

func TestPlanWorkbookAndItems(t *testing.T) {
	f := excelize.NewFile()
	for cell, v := range map[string]any{"A1": "Order", "B1": "Customer", "C1": "Item", "D1": "Due", "E1": "Quantity",
		"A2": "004512", "B2": "C01", "C2": "NEW-7", "D2": "2031-03-06", "E2": 5000} {
		if err := f.SetCellValue("Sheet1", cell, v); err != nil {
			t.Fatal(err)
		}
	}
	orders := filepath.Join(t.TempDir(), "o.xlsx")
	if err := f.SaveAs(orders); err != nil {
		t.Fatal(err)
	}
	items := file(t, "items.csv", "item,style,inside_length_mm,inside_width_mm,inside_height_mm,grade\nNEW-7,0201,400,300,200,C-ST\nNEW-8,0201,400,300,-200,C-ST\n")
	code, out, errs := shell(t, "plan", "--orders", orders, "--items", items, "--now", monday, "--seconds", "0.2", "--json")
	if code != exitOK || !strings.Contains(out, `"NEW-7"`) || !strings.Contains(errs, "items.csv: row 3 waits: inside_height_mm") {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// A sheet wider than every web, and nothing else: the answer with its reasons is written all the same.
func TestPlanNothing(t *testing.T) {
	orders := file(t, "o.csv", "order,customer,due,quantity,style,inside_length_mm,inside_width_mm,grade\nW1,C01,2031-03-06,1000,0110,1200,3900,C-ST\n")
	dir := filepath.Join(t.TempDir(), "out")
	code, out, errs := shell(t, "plan", "--orders", orders, "--now", monday, "--seconds", "0.2", "--out", dir)
	if code != exitNothing || !strings.Contains(out, "W1") || !strings.Contains(out, "3900 mm") {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	unplanned, err := os.ReadFile(filepath.Join(dir, "unplanned.csv"))
	if err != nil || !strings.Contains(string(unplanned), "W1,") {
		t.Errorf("%q, %v", unplanned, err)
	}
}

// A pallet smaller than the bundle is said with the order; the rest of the way stands.
func TestPlanPalletSmallerThanTheBundle(t *testing.T) {
	b := demo.Book().Plant
	b.Pallets = b.Pallets[:1]
	b.Pallets[0].Length, b.Pallets[0].Width = b.Pallets[0].Length/4, b.Pallets[0].Width/4
	raw, err := json.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	plantJSON := file(t, "plant.json", string(raw))
	orders := file(t, "o.csv", head+"N1,C1,,2031-03-06,2000,0201,600,400,400,C-ST,20,P1208\n")
	code, out, errs := shell(t, "plan", "--orders", orders, "--plant", plantJSON, "--now", monday, "--seconds", "0.2", "--json")
	var p struct{ Loads []struct{ Refusal string } }
	if err := json.Unmarshal([]byte(out), &p); err != nil || code != exitOK {
		t.Fatalf("exit %d: %v %s", code, err, errs)
	}
	if len(p.Loads) != 1 || !strings.Contains(p.Loads[0].Refusal, "mm") {
		t.Errorf("%+v", p.Loads)
	}
}

// The bad input: exit status 2, a line for each fault, no folder.
func TestPlanBadInput(t *testing.T) {
	good := file(t, "good.csv", head+"A1,C01,FW-1001,2031-03-05,5000,,,,,,,\n")
	empty := plant.Plant{Name: "Empty"}
	raw, err := json.Marshal(empty)
	if err != nil {
		t.Fatal(err)
	}
	huge := filepath.Join(t.TempDir(), "huge.csv")
	if err := os.WriteFile(huge, []byte(head), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(huge, 100<<20); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		source string
		args   []string
		want   string
	}{
		{"no such file", []string{"--orders", "nowhere.csv"}, "no such file"},
		{"empty", []string{"--orders", file(t, "e.csv", "")}, "e.csv: the file is empty"},
		{"100 MB", []string{"--orders", huge}, "huge.csv: is larger than 64 MB"},
		{"UTF-16", []string{"--orders", file(t, "u.csv", "\xFF\xFEo\x00")}, "UTF-16"},
		{"Latin-1", []string{"--orders", file(t, "l.csv", head+"A1,Caf\xe9\n")}, "row 2: l.csv \"byte 7 is 0xE9\""},
		{"no columns", []string{"--orders", file(t, "c.csv", "a,b\n1,2\n")}, "the first row must be a header"},
		{"every row faulty", []string{"--orders", file(t, "f.csv", head+"A1,C01,FW-1001,2031-03-05,=1+2,,,,,,,\n")}, "none of its 1 rows can be taken"},
		{"unknown plant field", []string{"--orders", good, "--plant", file(t, "p.json", `{"nam": "x"}`)}, "p.json: nam: is no field here; nearest: name"},
		{"empty plant", []string{"--orders", good, "--plant", file(t, "p.json", string(raw))}, "corrugator.limits.webs_mm: must list at least one web"},
		{"now", []string{"--orders", good, "--now", "yesterday"}, "--now \"yesterday\""},
		{"seconds", []string{"--orders", good, "--seconds=-1"}, "--seconds \"-1\""},
		{"out is a file", []string{"--orders", good, "--seconds", "0.1", "--now", monday, "--out", good}, "is a file, not a folder"},
		{"no orders", nil, "--orders"},
	}
	for _, tt := range tests {
		dir := filepath.Join(t.TempDir(), "out")
		args := append([]string{"plan", "--out", dir}, tt.args...)
		code, out, errs := shell(t, args...)
		if code != exitInput || !strings.Contains(errs, tt.want) {
			t.Errorf("%s: exit %d, %q does not say %q", tt.source, code, errs, tt.want)
		}
		if _, err := os.Stat(dir); err == nil || (out != "" && tt.args != nil) {
			t.Errorf("%s: half written: %.80q", tt.source, out)
		}
	}
}

func TestSchemaCommand(t *testing.T) {
	for _, name := range []string{"problem", "plan", "plan.json", "plant", "book", "orders"} {
		code, out, errs := shell(t, "schema", name)
		var s map[string]any
		if code != exitOK || json.Unmarshal([]byte(out), &s) != nil || s["$schema"] != "https://json-schema.org/draft/2020-12/schema" {
			t.Errorf("%s: exit %d, %.80q %s", name, code, out, errs)
		}
	}
	if code, out, errs := shell(t, "schema", "plam"); code != exitInput || out != "" || !strings.Contains(errs, "nearest: plan") {
		t.Errorf("exit %d, %q, %q", code, out, errs)
	}
}
