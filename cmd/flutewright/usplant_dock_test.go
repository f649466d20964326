package main

import (
	"fmt"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"github.com/flutewright/flutewright/internal/pdfcheck"
)

// packing states what the plant stands units on and what carries them: a deck
// of 48 × 40 in, a larger one, and a trailer of 53 ft.
func (d *usDesk) packing() {
	d.t.Helper()
	fill := map[string]string{}
	row := func(at string, fields ...string) {
		for n := 0; n < len(fields); n += 2 {
			fill[at+"."+fields[n]] = fields[n+1]
		}
	}
	row("pallets[0]", "pallet", "P4840", "length_mm", "48", "width_mm", "40", "height_mm", "5")
	row("pallets[1]", "pallet", "P6048", "length_mm", "60", "width_mm", "48", "height_mm", "5")
	row("pallets[2]", "pallet", "", "length_mm", "", "width_mm", "", "height_mm", "", "mass_kg", "", "max_load_kg", "", "price", "")
	row("trailers[0]", "trailer", "V53", "length_mm", "636", "width_mm", "98 1/2", "height_mm", "110", "payload_kg", "45,000")
	row("trailers[1]", "trailer", "", "length_mm", "", "width_mm", "", "height_mm", "", "payload_kg", "")
	d.save("/plant/settings/packing", fill)
}

// file gets a PDF.
func (d *usDesk) file(path string) []byte {
	d.t.Helper()
	p := d.get(path)
	if p.status != http.StatusOK || !strings.HasPrefix(p.body, "%PDF-") {
		d.t.Fatalf("%s: status %d: %s", path, p.status, p.words[:min(len(p.words), 500)])
	}
	return []byte(p.body)
}

// paper is step 18: the crew sheet on Letter with fractions from the operator
// side, tags of 4 × 6 in with a number of the plant's own. Four outs of
// 22 5/8 on 93: the first slit is at (93 − 90 1/2) ÷ 2 = 1 1/4 in.
func (d *usDesk) paper(made usPlan) {
	d.t.Helper()
	run := made.runsOf("004530")[0]
	set := d.file(fmt.Sprintf("/print/setup/%d?plan=%d", run.Seq, made.ID))
	size := pdfcheck.Sizes(d.t, set)[0]
	if long, short := max(size.Width, size.Height), min(size.Width, size.Height); math.Abs(long-279.4) > 0.5 || math.Abs(short-215.9) > 0.5 {
		d.t.Errorf("step 18: the crew sheet is %v × %v mm, Letter is 279.4 × 215.9", long, short)
	}
	words := strings.Join(strings.Fields(pdfcheck.Text(d.t, set)), " ")
	for _, w := range []string{"004530", "4 × 22 5/8", "in from operator side", "1 1/4", "23 7/8", "46 1/2", "69 1/8", "91 3/4", "58 1/16", "operator side", "drive side", "CAUTION"} {
		if !strings.Contains(words, w) {
			d.t.Errorf("step 18: the crew sheet does not say %q: %s", w, words)
		}
	}
}

// tags prints a release's tags, twice, and returns their numbers as a scanner reads them.
func (d *usDesk) tags(made usPlan, release string, units int) (numbers []string) {
	d.t.Helper()
	at := fmt.Sprintf("/print/tags.pdf?plan=%d&key=%s", made.ID, url.QueryEscape(release))
	first := d.file(at)
	again := d.file(at)
	if n := len(pdfcheck.Sizes(d.t, first)); n != units {
		d.t.Fatalf("step 18: %d tags for %d units", n, units)
	}
	for page, s := range pdfcheck.Sizes(d.t, first) {
		if math.Abs(s.Width-101.6) > 0.05 || math.Abs(s.Height-152.4) > 0.05 {
			d.t.Errorf("step 18: tag %d is %v × %v mm, 4 × 6 in are 101.6 × 152.4", page+1, s.Width, s.Height)
		}
		one := pdfcheck.ZBar(d.t, pdfcheck.Picture(d.t, first, page+1, 203))
		two := pdfcheck.ZBar(d.t, pdfcheck.Picture(d.t, again, page+1, 203))
		if len(one) != 1 || !slices.Equal(one, two) {
			d.t.Fatalf("step 18: a scanner reads %q on tag %d and %q on its reprint", one, page+1, two)
		}
		numbers = append(numbers, one[0])
	}
	if strings.Contains(pdfcheck.Text(d.t, first), "COPY") || strings.Count(pdfcheck.Text(d.t, again), "COPY") != units {
		d.t.Error("step 18: the reprint alone ought to say that it is a copy")
	}
	return numbers
}

// truckOf is the truck of a plan that takes, or does not take, a release.
func (p usPlan) truckOf(release string, takes bool) int {
	for _, t := range p.Trucks.Trucks {
		on := false
		for _, q := range t.Parts {
			on = on || q.Release == release
		}
		if on == takes {
			return t.Number
		}
	}
	return 0
}

// unitsWith is how many units go on the truck of a plan that takes a release.
func (p usPlan) unitsWith(release string) (n int) {
	for _, t := range p.Trucks.Trucks {
		units, on := 0, false
		for _, q := range t.Parts {
			units += q.Units
			on = on || q.Release == release
		}
		if on {
			return units
		}
	}
	return 0
}

// dock is step 19: 48 × 40 in takes two bundles of 28 3/8 × 22 5/8 a layer
// (2 × 22 5/8 = 45 1/4 by 28 3/8), 60 × 48 four; T2's 500 boxes are two units.
func (d *usDesk) dock(made usPlan) {
	d.t.Helper()
	d.says("19", fmt.Sprintf("/loads/T2/1/1?plan=%d", made.ID), "28 3/8 × 22 5/8", "2 bundles, no more than 2 can lie", "P4840, 48 × 40", "4 would lie on P6048, 60 × 48 in")
	numbers := d.tags(made, "T2", 2)
	all := made.unitsWith("T2")
	right, wrong := fmt.Sprintf("/trucks/%d/%d", made.ID, made.truckOf("T2", true)), fmt.Sprintf("/trucks/%d/%d", made.ID, made.truckOf("T2", false))
	d.says("19", right, "Trailer floor 636 × 98 1/2 in", fmt.Sprintf("0 on, %d units to come", all))
	scan := func(at, number string, status int, words string) {
		form := d.formTo(at, at)
		form.Set("unit", number)
		p := d.post(at, form)
		if d.holds("19", p, words); p.status != status {
			d.t.Errorf("step 19: %s on %s: status %d, want %d", number, at, p.status, status)
		}
	}
	const refused = http.StatusUnprocessableEntity
	scan(wrong, numbers[0], refused, "does not go on truck")
	left := fmt.Sprintf("1 on, %d units to come", all-1)
	if all == 2 {
		left = "1 on, 1 unit to come"
	}
	scan(right, numbers[0], http.StatusOK, left)
	scan(right, numbers[0], refused, "was loaded already, at")
	held := d.formTo("/floor", "/floor")
	held.Set("what", "held-unit")
	held.Set("name", numbers[1])
	held.Set("reason", "wet corner")
	if p := d.post("/floor", held); p.status != http.StatusOK {
		d.t.Fatalf("step 19: %s", p.words)
	}
	scan(right, numbers[1], refused, "is on hold since")
	d.says("19", right, left)
}

// colleague is the second part of step 20: two have one order open, the second to save sees both values.
func (d *usDesk) colleague() {
	d.t.Helper()
	const at = "/orders/0045215/1/1"
	mine, theirs := d.formOf(at, "quantity"), d.formOf(at, "quantity")
	theirs.Set("quantity", "4000")
	if p := d.post(at, theirs); p.status != http.StatusOK {
		d.t.Fatalf("step 20: %s", p.words)
	}
	mine.Set("quantity", "3900")
	p := d.post(at, mine)
	if d.holds("20", p, "stands at 4000 now; yours is 3900"); p.status != http.StatusConflict {
		d.t.Errorf("step 20: saving over a colleague: status %d", p.status)
	}
	d.says("20", at, "4,000 of A-100")
}

// moved is the end of step 20: all is copied and restored in another folder,
// where totals stand as before and the next tag has the number that it has here.
func (d *usDesk) moved(made usPlan) {
	d.t.Helper()
	folder := d.t.TempDir()
	copied, data := filepath.Join(folder, "all.gz"), filepath.Join(folder, "there")
	if err := os.WriteFile(copied, []byte(d.get("/plant/copy.gz").body), 0o600); err != nil {
		d.t.Fatal(err)
	}
	if code, _, complaint := command(d.t, "restore", copied, "--data", data); code != exitOK {
		d.t.Fatalf("step 20: %s", complaint)
	}
	there := *d
	there.at = strings.TrimSuffix(servedAt(d.t, d.clock, "serve", "--data", data, "--listen", "127.0.0.1:0"), "/")
	clock := regexp.MustCompile(`\d\d/\d\d/\d{4} \d\d:\d\d`) // the page's own, at its head
	for _, path := range []string{"/orders", "/floor/counts", fmt.Sprintf("/plans/%d", made.ID), fmt.Sprintf("/trucks/%d/%d", made.ID, made.truckOf("T2", true)), "/rolls/house"} {
		here, other := clock.ReplaceAllString(d.get(path).words, ""), clock.ReplaceAllString(there.get(path).words, "")
		if here != other {
			d.t.Errorf("step 20: %s says here\n%s\nand there\n%s", path, here, other)
		}
	}
	here, other := d.tags(made, "T1", 2), there.tags(made, "T1", 2)
	if !slices.Equal(here, other) {
		d.t.Errorf("step 20: the next tags are %v here and %v there", here, other)
	}
}
