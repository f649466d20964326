package main

import (
	"bufio"
	"context"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"
)

// killedDesk names the folder in which a second process of this test serves a desk.
const killedDesk = "FLUTEWRIGHT_TEST_DESK"

// TestMain lets this program serve a folder as a second process of its own test.
func TestMain(m *testing.M) {
	if folder := os.Getenv(killedDesk); folder != "" {
		os.Exit(run(&env{context.Background(), strings.NewReader(""), os.Stdout, os.Stderr, nil}, []string{"serve", "--data", folder, "--listen", "127.0.0.1:0"}))
	}
	os.Exit(m.Run())
}

// TestWhatWasAcknowledgedSurvivesAKill pulls the plug of a real process between
// the answer to a change and the next start: nothing that was answered is lost,
// and the folder opens again.
func TestWhatWasAcknowledgedSurvivesAKill(t *testing.T) {
	folder := t.TempDir()
	at, kill := otherProcess(t, folder)
	d := &usDesk{t: t, at: at, client: &http.Client{Timeout: time.Minute}}
	if p := d.send("/start", map[string]string{"from": "demo", "name": "Copper Ridge Box"}); p.status != http.StatusOK {
		t.Fatalf("status %d: %s", p.status, p.words)
	}
	form := d.formOf("/orders/J1001/1/1", "quantity")
	form.Set("quantity", "17300")
	if p := d.post("/orders/J1001/1/1", form); p.status != http.StatusOK {
		t.Fatalf("status %d: %s", p.status, p.words)
	}
	fact := d.formTo("/floor", "/floor")
	for name, v := range map[string]string{"what": "stack", "order": "J1001", "name": "S-KILL", "good": "421"} {
		fact.Set(name, v)
	}
	if p := d.post("/floor", fact); p.status != http.StatusOK {
		t.Fatalf("status %d: %s", p.status, p.words)
	}
	kill()
	d.at = strings.TrimSuffix(served(t, "serve", "--data", folder, "--listen", "127.0.0.1:0"), "/")
	d.says("20", "/orders/J1001/1/1", "17,300 of FW-1001")
	d.says("20", "/floor", "S-KILL J1001 421")
	if p := d.post("/floor", fact); p.status != http.StatusOK { // sent again, it counts once
		t.Errorf("the same fact again: status %d: %s", p.status, p.words)
	}
	if n := strings.Count(d.get("/floor").words, "S-KILL"); n != 1 {
		t.Errorf("the fact stands %d times", n)
	}
}

// otherProcess serves a folder from a process of its own, which kill ends without a farewell.
func otherProcess(t *testing.T, folder string) (at string, kill func()) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	t.Cleanup(cancel)
	c := exec.CommandContext(ctx, os.Args[0]) // cancelled, it is killed
	c.Env = append(os.Environ(), killedDesk+"="+folder)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if at = regexp.MustCompile(`http://[0-9.:]+`).FindString(lines.Text()); at != "" {
			return at, func() {
				cancel()
				if err := c.Wait(); err == nil || c.ProcessState.Success() {
					t.Error("the process ended of its own accord")
				}
			}
		}
	}
	cancel()
	t.Fatalf("no address from the second process: %v", c.Wait())
	return "", nil
}
