package webcheck

import (
	"context"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/web"
	"github.com/flutewright/flutewright/work"
)

// needs skips a test whose tool is missing, and fails it on a build machine.
func needs(t *testing.T, what string, there bool) {
	t.Helper()
	switch {
	case there:
	case os.Getenv("CI") == "true":
		t.Fatalf("missing: %s", what)
	default:
		t.Skipf("NOT TESTED: missing %s", what)
	}
}

func installed(t *testing.T, file string) string {
	t.Helper()
	path, err := filepath.Abs(filepath.Join("node_modules", file))
	if err != nil {
		t.Fatal(err)
	}
	_, err = os.Stat(path)
	needs(t, file+": run npm ci in internal/webcheck", err == nil)
	return path
}

// TestTypesOfModules holds the ES modules to the types in their comments.
func TestTypesOfModules(t *testing.T) {
	compiler := installed(t, "typescript/bin/tsc")
	if out, err := exec.Command("node", compiler, "-p", ".").CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
}

// found is one rule that a page breaks.
type found struct {
	ID     string `json:"id"`
	Impact string `json:"impact"`
	Help   string `json:"help"`
	Nodes  []struct {
		Target []any  `json:"target"`
		HTML   string `json:"html"`
	} `json:"nodes"`
}

// TestAccessible holds pages of the demo plant to the rules of WCAG 2.2, levels
// A and AA, that a program can judge (W3C, Web Content Accessibility Guidelines
// 2.2, 2023), as axe-core reads them.
func TestAccessible(t *testing.T) {
	script, err := os.ReadFile(installed(t, "axe-core/axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	at := served(t)
	pages := walk(t, browser(t), at)
	if len(pages) < 15 {
		t.Fatalf("only %d pages found from the first: %q", len(pages), pages)
	}
	for _, light := range []string{"by day", "by night"} {
		tab := browser(t, chromedp.Flag("force-dark-mode", light == "by night"))
		dark, err := chromedp.Run(tab, chromedp.Evaluate[bool](`matchMedia("(prefers-color-scheme: dark)").matches`))
		if err != nil || dark != (light == "by night") {
			t.Fatalf("%s: the browser prefers dark: %v, %v", light, dark, err)
		}
		rules := `["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]`
		if dark { // all else is the same page
			rules = `["color-contrast"]`
		}
		for _, page := range pages {
			judge(t, tab, at+page, light+" "+page, string(script), rules)
		}
	}
}

// judge holds one page, as wide as a tablet, to axe's rules, and to not scrolling sideways.
func judge(t *testing.T, tab context.Context, address, page, script, rules string) {
	t.Helper()
	if err := chromedp.Do(tab, chromedp.EmulateViewport(820, 1100), chromedp.Navigate(address), chromedp.Evaluate[chromedp.Void](script)); err != nil {
		t.Fatalf("%s: %v", page, err)
	}
	wide, err := chromedp.Run(tab, chromedp.Evaluate[int](`document.scrollingElement.scrollWidth`))
	if err != nil || wide > 820 {
		t.Errorf("%s: is %d px wide on a tablet of 820, %v", page, wide, err)
	}
	broken, err := chromedp.Run(tab, chromedp.Evaluate[[]found](
		`axe.run({runOnly: `+rules+`}).then(r => r.violations)`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", page, err)
	}
	for _, b := range broken {
		for _, n := range b.Nodes[:min(3, len(b.Nodes))] {
			t.Errorf("%s: %s (%s), %d times: %v %.160s", page, b.Help, b.ID, len(b.Nodes), n.Target, n.HTML)
		}
	}
}

// walk returns one address of every kind of page that links lead to from the first.
func walk(t *testing.T, tab context.Context, at string) []string {
	t.Helper()
	var out []string
	kinds := map[string]bool{}
	queue := []string{"/", "/start"}
	for len(queue) > 0 && len(out) < 60 {
		page := queue[0]
		queue = queue[1:]
		if kinds[kind(page)] {
			continue
		}
		kinds[kind(page)] = true
		if err := chromedp.Do(tab, chromedp.Navigate(at+page)); err != nil {
			t.Fatalf("%s: %v", page, err)
		}
		links, err := chromedp.Run(tab, chromedp.Evaluate[[]string](
			`document.contentType !== "text/html" ? [] : [...document.querySelectorAll("a[href]:not([download])")].filter(a => a.host === location.host).map(a => a.pathname + a.search)`))
		if err != nil {
			t.Fatalf("%s: %v", page, err)
		}
		if len(links) == 0 {
			continue
		}
		out = append(out, page)
		queue = append(queue, links...)
	}
	return out
}

// kind names the pages that are alike: names and numbers taken out, and the
// values of a query, whose pages differ in rows only.
func kind(page string) string {
	path, query, _ := strings.Cut(page, "?")
	if strings.HasSuffix(path, ".pdf") || strings.HasSuffix(path, ".csv") || strings.HasPrefix(path, "/print") || strings.HasPrefix(path, "/api") {
		return "no page"
	}
	parts := strings.Split(path, "/")
	for i, p := range parts {
		if i > 1 && strings.ContainsAny(p, "0123456789") {
			parts[i] = "*"
		}
	}
	var keys []string
	for pair := range strings.SplitSeq(query, "&") {
		key, _, _ := strings.Cut(pair, "=")
		if key != "plan" {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return strings.Join(parts, "/") + "?" + strings.Join(keys, "&")
}

func browser(t *testing.T, more ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	needs(t, "the package chromium", err == nil)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	options = append(options, more...)
	all, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	tab, closeTab := chromedp.NewContext(all)
	t.Cleanup(closeTab)
	tab, enough := context.WithTimeout(tab, 3*time.Minute)
	t.Cleanup(enough)
	return tab
}

// served is a desk with the demo plant, planned, at the demo's hour.
func served(t *testing.T) string {
	t.Helper()
	log := slog.New(slog.DiscardHandler)
	s, err := store.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	runner := work.New(log)
	d, err := desk.New(desk.Deps{Store: s, Clock: func() time.Time { return demo.Now }, Worker: runner, Orders: exchange.Orders{}, Tables: exchange.Tables{}, Make: plan.Make, Check: plan.Check, Log: log})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(web.New(web.Options{
		Desk: d, Log: log, Loopback: true, Template: func() plant.Book { return demo.Book() },
		ReadPlant: func(string, []byte) (plant.Plant, error) { return demo.Book().Plant, nil },
	}))
	t.Cleanup(func() {
		server.Close()
		if err := runner.Shutdown(context.Background()); err != nil {
			t.Error(err)
		}
		s.Close()
	})
	if err := d.SetUp(t.Context(), demo.Book(), "Ana"); err != nil {
		t.Fatal(err)
	}
	for range 2 { // two, so that they can be laid side by side
		id, err := d.StartPlan(t.Context(), desk.PlanOptions{Seconds: 1, Seed: 1}, "Ana")
		if err != nil {
			t.Fatal(err)
		}
		ended(t, d, id)
	}
	return server.URL
}

func ended(t *testing.T, d *desk.Desk, id ident.Plan) {
	t.Helper()
	heads, err := d.WatchPlan(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	for range heads {
	}
	if h, err := d.PlanHead(t.Context(), id); err != nil || !h.State.Usable() {
		t.Fatal(fmt.Sprint(h.State, " ", h.Fault, " ", err))
	}
}
