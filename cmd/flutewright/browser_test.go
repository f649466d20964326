package main

import (
	"bufio"
	"context"
	"io"
	"iter"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// browser opens a tab in a headless Chromium and listens to its console, where
// it complains of a blocked script or a missing file.
func browser(t *testing.T) (tab context.Context, said *console) {
	t.Helper()
	found := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			found = path
			break
		}
	}
	if found == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("no Chromium on this machine")
		}
		t.Skip("NOT TESTED: no Chromium on this machine; install the package chromium")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(found), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	all, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	tab, closeTab := chromedp.NewContext(all)
	t.Cleanup(closeTab)
	if _, err := chromedp.Run(tab, chromedp.Title()); err != nil { // starts the browser, which lives as long as this context
		t.Fatal(err)
	}
	said = &console{}
	heard := make(chan struct{})
	messages := chromedp.Console(tab) // from here on
	go func() {
		defer close(heard)
		said.listen(messages)
	}()
	t.Cleanup(func() { closeTab(); <-heard })
	tab, enough := context.WithTimeout(tab, 60*time.Second)
	t.Cleanup(enough)
	return tab, said
}

// console keeps what the browser says about the pages.
type console struct {
	mu    sync.Mutex
	lines []string
}

func (c *console) listen(messages iter.Seq2[chromedp.ConsoleMessage, error]) {
	for m, err := range messages {
		if err != nil {
			return // the tab has closed
		}
		c.mu.Lock()
		c.lines = append(c.lines, m.String())
		c.mu.Unlock()
	}
}

func (c *console) text() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return strings.Join(c.lines, "\n")
}

// served starts the program as main does and returns the address it prints.
func served(t *testing.T, args ...string) string {
	t.Helper()
	return servedAt(t, nil, args...)
}

// servedAt is served by a clock of its own.
func servedAt(t *testing.T, clock func() time.Time, args ...string) string {
	t.Helper()
	ctx, interrupt := context.WithCancel(t.Context())
	out, in := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		code := run(&env{ctx, strings.NewReader(""), in, os.Stderr, clock}, args)
		in.Close()
		ended <- code
	}()
	t.Cleanup(func() {
		interrupt()
		select {
		case code := <-ended:
			if code != exitOK {
				t.Errorf("the desk ended with status %d", code)
			}
		case <-time.After(20 * time.Second):
			t.Error("the desk did not end after an interrupt")
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at := regexp.MustCompile(`http://[0-9.:]+/`).FindString(lines.Text()); at != "" {
			go io.Copy(io.Discard, out)
			return at
		}
	}
	t.Fatalf("no address; status %d", <-ended)
	return ""
}

func (c *console) forget() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.lines = nil
}

const pastedOrders = `order	customer	item	due	quantity
K3001	C01	FW-1001	2031-03-07 14:00	4000
K3002	C01	FW-1002	2031-03-07 14:00	minus two
`

// TestFromAnEmptyBookToRuns walks the desk in a browser: first set-up, import,
// review, plan with its live progress, runs.
func TestFromAnEmptyBookToRuns(t *testing.T) {
	at := served(t, "serve", "--data", t.TempDir(), "--listen", "127.0.0.1:0")
	tab, said := browser(t)
	click := func(what string) chromedp.Action[chromedp.Void] { return chromedp.Click(what) }
	do := func(steps ...chromedp.Action[chromedp.Void]) {
		t.Helper()
		for n, step := range steps {
			if err := chromedp.Do(tab, step); err != nil {
				at, _ := chromedp.Run(tab, chromedp.Location())
				t.Fatalf("step %d at %s: %v", n+1, at, err)
			}
		}
	}
	read := func(what string) string {
		t.Helper()
		text, err := chromedp.Run(tab, chromedp.Text(chromedp.CSS(what)))
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	do(
		chromedp.EmulateViewport(1024, 768),
		chromedp.Navigate(at), // an empty book leads to the first set-up
		click(`//button[contains(., "Begin with the invented plant")]`),
		chromedp.WaitVisible(`//h1[. = "Today"]`),
		click(`//a[. = "Import orders"]`),
		chromedp.SetValue(chromedp.CSS("#f-pasted"), pastedOrders),
		click(`//button[. = "Read it"]`),
		chromedp.WaitVisible(chromedp.CSS("#f-new")),
	)
	if review := read("main"); !strings.Contains(review, "1 waiting") || !strings.Contains(review, "K3001") || !strings.Contains(review, "minus two") {
		t.Errorf("the review says:\n%s", review)
	}
	do(
		click(`//button[contains(., "Take in what is ticked")]`),
		chromedp.WaitVisible(`//p[@role="status"]`),
		click(`//nav//a[. = "Plans"]`),
		chromedp.SetValue(chromedp.CSS("#f-seconds"), "1"),
		click(`//button[. = "Plan now"]`),
		chromedp.WaitVisible(`//h2[. = "Put it in force"]`), // by server-sent events alone: nothing else loads the page anew
		click("#f-area-corrugator"),
		click(`//button[. = "Put in force"]`),
		chromedp.WaitVisible(`//p[@role="status"]`),
		click(`//nav//a[. = "Runs"]`),
		chromedp.WaitVisible(`//h1[. = "Runs"]`),
	)
	strips, err := chromedp.Run(tab, chromedp.Nodes(chromedp.CSSAll("td.strip svg")))
	if err != nil {
		t.Fatal(err)
	}
	if runs := read("main"); !strings.Contains(runs, "K3001") || len(strips) < 10 {
		t.Errorf("%d runs drawn; K3001 among them: %v", len(strips), strings.Contains(runs, "K3001"))
	}
	do(chromedp.KeyEvent("j"), chromedp.KeyEvent("\r"), chromedp.WaitVisible(chromedp.CSS("figure svg"))) // the first row, then into it
	if head := read("h1"); head != "Run 1" {
		t.Errorf("j and Enter lead to %q", head)
	}
	if picture := read("figure"); !strings.Contains(picture, "operator side") {
		t.Errorf("the drawing says %q", picture)
	}
	if text := said.text(); text != "" {
		t.Errorf("the browser complains:\n%s", text)
	}
}
