package store

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

// crashDir names the environment variable that turns this test binary into the
// process that is killed.
const crashDir = "FLUTEWRIGHT_CRASH_DIR"

func TestMain(m *testing.M) {
	if dir := os.Getenv(crashDir); dir != "" {
		if err := writeUntilKilled(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// importRows is the size of each import in the drill: several pages of the file.
const importRows = 60

// state is what a drill's folder holds: every row of the import has the same
// number, facts are numbered without a gap.
type state struct{ imports, facts int }

// writeUntilKilled imports and records in turn and says each on standard
// output after it was acknowledged.
func writeUntilKilled(dir string) error {
	ctx := context.Background()
	s, err := Open(ctx, dir)
	if err != nil {
		return err
	}
	at, err := look(ctx, s)
	if err != nil {
		return err
	}
	if _, err := s.NewPlan(ctx, desk.PlanHead{Started: noon, State: desk.PlanRunning}); err != nil {
		return err
	}
	fmt.Println("open")
	for {
		id, err := s.Stage(ctx, desk.Staged{Name: "drill", At: noon})
		if err != nil {
			return err
		}
		c := desk.Change{At: noon, Who: "drill", Confirms: id}
		for i := range importRows {
			body := fmt.Sprintf(`{"import":%d,"filling":%q}`, at.imports+1, strings.Repeat("x", 200))
			c.Puts = append(c.Puts, desk.Put{Kind: desk.KindItem, Key: fmt.Sprint("I", i), Version: at.imports, Body: json.RawMessage(body)})
		}
		if _, err := s.Apply(ctx, c); err != nil {
			return err
		}
		at.imports++
		fmt.Println("import", at.imports)
		for range 5 {
			f := trace.Fact{ID: ident.Fact(fmt.Sprint("f", at.facts+1)), At: noon, Kind: trace.RunEnded, Source: "drill", Release: j1, Good: 1}
			if _, err := s.Apply(ctx, facts(f)); err != nil {
				return err
			}
			at.facts++
			fmt.Println("fact", at.facts)
		}
	}
}

// look reads the state and returns an error where it is half-written.
func look(ctx context.Context, s *Store) (at state, err error) {
	var integrity string
	if err := s.read.QueryRowContext(ctx, `PRAGMA integrity_check`).Scan(&integrity); err != nil || integrity != "ok" {
		return at, fmt.Errorf("integrity: %s, %v", integrity, err)
	}
	rows, apart, history, confirmed := 0, 0, 0, 0
	err = s.read.QueryRowContext(ctx, `SELECT count(*), count(DISTINCT version), coalesce(max(version), 0),
		(SELECT count(*) FROM history), (SELECT count(*) FROM staged WHERE confirmed_at IS NOT NULL),
		(SELECT count(*) FROM facts) FROM entries WHERE json_extract(body, '$.import') = version`).
		Scan(&rows, &apart, &at.imports, &history, &confirmed, &at.facts)
	switch {
	case err != nil:
		return at, err
	case at.imports > 0 && (rows != importRows || apart != 1):
		return at, fmt.Errorf("half an import: %d of %d rows, %d versions", rows, importRows, apart)
	case history != at.imports*importRows || confirmed != at.imports:
		return at, fmt.Errorf("%d imports, but %d rows of history and %d taken", at.imports, history, confirmed)
	}
	return at, nil
}

// TestKilledProcessLosesNothing kills a writing process again and again and
// finds everything that was acknowledged, and nothing in halves.
func TestKilledProcessLosesNothing(t *testing.T) {
	const kills = 30
	dir := t.TempDir()
	random := rand.New(rand.NewPCG(2, 1))
	var known state
	for n := range kills {
		acked := killOnce(t, dir, time.Duration(random.IntN(40_000))*time.Microsecond, known)
		s, err := Open(t.Context(), dir)
		if err != nil {
			t.Fatalf("kill %d: open again: %v", n, err)
		}
		now, err := look(t.Context(), s)
		if err != nil {
			t.Fatalf("kill %d: %v", n, err)
		}
		if now.imports < acked.imports || now.imports > acked.imports+1 || now.facts < acked.facts || now.facts > acked.facts+1 {
			t.Fatalf("kill %d: acknowledged %+v, found %+v", n, acked, now)
		}
		heads, err := s.PlanHeads(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range heads {
			if h.State != desk.PlanInterrupted {
				t.Fatalf("kill %d: plan %d is %s", n, h.ID, h.State)
			}
		}
		known = now
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if known.imports < kills || known.facts < kills {
		t.Errorf("the drill hardly wrote: %+v", known)
	}
}

// killOnce starts the writer, kills it some time after it is at work and
// returns what it had acknowledged.
func killOnce(t *testing.T, dir string, after time.Duration, from state) state {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), crashDir+"="+dir)
	var complaint strings.Builder
	cmd.Stderr = &complaint
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	at := from
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		var n int
		switch word, rest, _ := strings.Cut(lines.Text(), " "); word {
		case "open":
			time.AfterFunc(after, func() { cmd.Process.Kill() })
		case "import", "fact":
			if _, err := fmt.Sscan(rest, &n); err != nil {
				continue // the kill cut the line
			}
			if word == "import" {
				at.imports = n
			} else {
				at.facts = n
			}
		}
	}
	if err := cmd.Wait(); err == nil || complaint.Len() > 0 {
		t.Fatalf("the writer ended by itself: %v %s", err, complaint.String())
	}
	return at
}
