package main

import (
	"bufio"
	"context"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/plant/demo"
)

// moment is one question of the planning day, asked of the demo plant in a browser.
type moment struct {
	name string
	at   time.Duration // after the demo's Monday 06:00; desk and browser are shared, so moments run in this order
	ask  func(*walk)
}

// moments are filled by the init of each moment*_test.go.
var moments []moment

// demoHour returns how long after the demo's Monday 06:00 a day (0 is Monday) and hour are.
func demoHour(day, hour, minute int) time.Duration {
	return time.Duration(day)*24*time.Hour + time.Duration(hour-6)*time.Hour + time.Duration(minute)*time.Minute
}

// TestMoments asks every moment of one demo desk through one browser. What a
// moment types stays for the later ones: each keeps to orders of its own.
func TestMoments(t *testing.T) {
	w := walking(t)
	slices.SortStableFunc(moments, func(a, b moment) int { return int(a.at - b.at) })
	for _, m := range moments {
		t.Run(m.name, func(t *testing.T) {
			here := *w
			here.T = t
			here.turn(m.at)
			m.ask(&here)
			if text := w.complaints(); text != "" {
				t.Errorf("the browser complains:\n%s", text)
			}
		})
	}
}

// complaints are what the browser has said since they were last asked for. A
// form that comes back with its faults is no complaint, though the browser notes its status.
func (w *walk) complaints() string {
	lines := strings.Split(w.said.text(), "\n")
	w.said.forget()
	return strings.Join(slices.DeleteFunc(lines, func(s string) bool { return strings.Contains(s, "status of 422") || s == "" }), "\n")
}

// walk is a browser before the demo desk.
type walk struct {
	*testing.T
	tab  context.Context
	home string // "http://127.0.0.1:PORT"
	said *console
	now  *atomic.Int64 // what is added to the demo's clock, ns
}

// agreed are the folder-gluers on which the orders of the day's questions run
// in this plant; all others go by rule.
var agreed = map[ident.Item][]ident.Machine{
	"FW-1003": {"FFG-2"}, "FW-1004": {"FFG-2"}, "FW-1005": {"FFG-2"}, "FW-1013": {"FFG-2"}, "FW-1039": {"FFG-3"}, "FW-1015": {"FFG-3"},
}

// walking starts the demo desk, planned and in force everywhere, and a browser.
func walking(t *testing.T) *walk {
	t.Helper()
	w := &walk{T: t, now: &atomic.Int64{}}
	w.tab, w.said = browser(t)
	running := runningFrom(demo.Now)
	w.home = w.serve(&demoCmd{Listen: "127.0.0.1:0", Seconds: 2, rounds: 150, agreed: agreed, clock: func() time.Time {
		return running().Add(time.Duration(w.now.Load()))
	}})
	w.do(chromedp.EmulateViewport(1280, 900))
	w.forceEverywhere()
	return w
}

// serve runs the demo until the test ends and returns where it stands.
func (w *walk) serve(c *demoCmd) string {
	w.Helper()
	ctx, interrupt := context.WithCancel(w.Context())
	out, in := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		err := c.Run(&env{ctx, strings.NewReader(""), in, os.Stderr, nil})
		in.CloseWithError(io.EOF)
		ended <- err
	}()
	w.Cleanup(func() {
		interrupt()
		select {
		case err := <-ended:
			if err != nil {
				w.Errorf("the demo ended: %v", err)
			}
		case <-time.After(20 * time.Second):
			w.Error("the demo did not end after an interrupt")
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at := regexp.MustCompile(`http://[0-9.:]+`).FindString(lines.Text()); at != "" {
			go io.Copy(io.Discard, out)
			return at
		}
	}
	w.Fatalf("no address: %v", <-ended)
	return ""
}

func (w *walk) forceEverywhere() {
	w.Helper()
	w.open("/plans/1")
	w.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll('input[name="area"]').forEach(b => b.checked = true)`))
	w.click(`//button[. = "Put in force"]`)
	w.wait(`//p[@role="status"]`)
}

// turn sets the desk's clock to a moment after the demo's Monday 06:00.
func (w *walk) turn(to time.Duration) { w.now.Store(int64(to)) }

// do runs steps and ends the test at the first that fails.
func (w *walk) do(steps ...chromedp.Action[chromedp.Void]) {
	w.Helper()
	for n, step := range steps {
		if err := chromedp.Do(w.tab, step); err != nil {
			at, _ := chromedp.Run(w.tab, chromedp.Location())
			w.Fatalf("step %d at %s: %v", n+1, at, err)
		}
	}
}

// open goes to a path of the desk.
func (w *walk) open(path string) { w.Helper(); w.do(chromedp.Navigate(w.home + path)) }

// click presses the first thing that a CSS or XPath selector finds.
func (w *walk) click(what string) { w.Helper(); w.do(chromedp.Click(what)) }

// wait waits until the thing is there to be seen.
func (w *walk) wait(what string) { w.Helper(); w.do(chromedp.WaitVisible(what)) }

// fill sets the value of a field, by CSS selector.
func (w *walk) fill(what, value string) {
	w.Helper()
	w.do(chromedp.SetValue(chromedp.CSS(what), value))
}

// read returns the text that can be seen of the first thing found.
func (w *walk) read(css string) string {
	w.Helper()
	text, err := chromedp.Run(w.tab, chromedp.Text(chromedp.CSS(css)))
	if err != nil {
		w.Fatalf("reading %s: %v", css, err)
	}
	return text
}

// says fails the test for each of the words that the thing does not show.
func (w *walk) says(css string, words ...string) {
	w.Helper()
	text := w.read(css)
	for _, want := range words {
		if !strings.Contains(text, want) {
			w.Errorf("%s does not say %q:\n%s", css, want, text)
		}
	}
}

// sideways fails the test where the page is wider than a tablet of 820 px.
func (w *walk) sideways(path string) {
	w.Helper()
	w.do(chromedp.EmulateViewport(820, 1180))
	w.open(path)
	over, err := chromedp.Run(w.tab, chromedp.Evaluate[float64](`document.documentElement.scrollWidth - document.documentElement.clientWidth`))
	if err != nil || over > 0 {
		w.Errorf("%s scrolls sideways by %v px (%v)", path, over, err)
	}
	w.do(chromedp.EmulateViewport(1280, 900))
}
