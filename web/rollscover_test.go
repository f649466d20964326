package web_test

import (
	"regexp"
	"testing"
	"time"

	"github.com/flutewright/flutewright/plant/demo"
)

// Whoever asks whether the paper of the shift is there reads the same runs, the
// same moment and the same metres on the rolls page and ply by ply; what only
// keeps the days of cover is said to be no shortage.
func TestOneAnswerAboutPaper(t *testing.T) {
	b := planned(t)
	b.Clock = func() time.Time { return demo.Now.Add(3 * time.Hour) } // in the middle of a shift
	runs, until, metres := regexp.MustCompile(`(\d+) runs?\b`), regexp.MustCompile(`\w{3} \d+ \w{3} \d\d:\d\d`), regexp.MustCompile(`[\d,]+ m are not covered`)
	lead := regexp.MustCompile(`(?s)<p class="lead">.*?</p>`)
	here, ply := lead.FindString(b.get("/rolls").Body.String()), lead.FindString(b.get("/rolls/cover").Body.String())
	plain := regexp.MustCompile(`</?b[^>]*>`)
	here, ply = plain.ReplaceAllString(here, ""), plain.ReplaceAllString(ply, "")
	for what, re := range map[string]*regexp.Regexp{"runs": runs, "until": until, "metres": metres} {
		if x, y := re.FindString(here), re.FindString(ply); x == "" || x != y {
			t.Errorf("%s: %q on the rolls page, %q ply by ply\n%s\n%s", what, x, y, here, ply)
		}
	}
	snap, err := b.Snapshot(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	p := snap.Plant
	for i := range p.Supplies {
		p.Supplies[i].CoverDays = 10
	}
	if err := b.SavePlant(t.Context(), p, snap.Version("plant", "plant"), "test", ""); err != nil {
		t.Fatal(err)
	}
	b.says("/rolls", "nothing is missing; ", "below the days of cover from")
}
