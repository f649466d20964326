package store

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plan"
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
// number, facts are numbered without a gap, plans ended whole.
type state struct{ imports, facts, plans int }

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
		if err := planOnce(ctx, s); err != nil {
			return err
		}
		at.plans++
		fmt.Println("plan", at.plans)
	}
}

// planOnce starts a plan and ends it with a body of several pages.
func planOnce(ctx context.Context, s *Store) error {
	h := desk.PlanHead{Started: noon, State: desk.PlanRunning}
	id, err := s.NewPlan(ctx, h)
	if err != nil {
		return err
	}
	h.ID, h.State, h.Ended = id, desk.PlanReady, noon
	p := &plan.Plan{Now: noon, Notices: make([]plan.Notice, 100)}
	for i := range p.Notices {
		p.Notices[i] = plan.Notice{Rank: i + 1, Text: strings.Repeat("x", 200)}
	}
	return s.EndPlan(ctx, h, p)
}

// look reads the state and returns an error where it is half-written.
func look(ctx context.Context, s *Store) (at state, err error) {
	var integrity string
	if err := s.read.QueryRowContext(ctx, `PRAGMA integrity_check`).Scan(&integrity); err != nil || integrity != "ok" {
		return at, fmt.Errorf("integrity: %s, %w", integrity, err)
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
	at.plans, err = wholePlans(ctx, s)
	return at, err
}

// wholePlans counts the plans that ended; every other was interrupted, and an
// ended one can be read to its last notice.
func wholePlans(ctx context.Context, s *Store) (int, error) {
	heads, err := s.PlanHeads(ctx)
	if err != nil {
		return 0, err
	}
	n := 0
	for i, h := range heads {
		switch {
		case h.State == desk.PlanInterrupted:
			continue
		case h.State != desk.PlanReady:
			return 0, fmt.Errorf("plan %d is %s", h.ID, h.State)
		case i < 3: // the newest ones are those that a kill can have met
			if p, _, err := s.Plan(ctx, h.ID); err != nil || len(p.Notices) != 100 {
				return 0, errors.Join(err, fmt.Errorf("plan %d is not whole", h.ID))
			}
		}
		n++
	}
	return n, nil
}

// killsName names the environment variable that sets how often the drill kills; make drill sets it to 500.
const killsName = "FLUTEWRIGHT_KILLS"

// TestKilledProcessLosesNothing kills a process that imports, records and
// plans again and again, and finds everything that was acknowledged, and
// nothing in halves.
func TestKilledProcessLosesNothing(t *testing.T) {
	kills := 30
	if n, err := strconv.Atoi(os.Getenv(killsName)); err == nil {
		kills = n
	}
	dir := t.TempDir()
	random := rand.New(rand.NewPCG(2, 1))
	var known state
	for n := range kills {
		acked := killOnce(t, dir, random.IntN(12), time.Duration(random.IntN(5_000))*time.Microsecond, known)
		s, err := Open(t.Context(), dir)
		if err != nil {
			t.Fatalf("kill %d: open again: %v", n, err)
		}
		now, err := look(t.Context(), s)
		if err != nil {
			t.Fatalf("kill %d: %v", n, err)
		}
		apart := state{now.imports - acked.imports, now.facts - acked.facts, now.plans - acked.plans}
		if apart.imports < 0 || apart.facts < 0 || apart.plans < 0 || apart.imports+apart.facts+apart.plans > 1 {
			t.Fatalf("kill %d: acknowledged %+v, found %+v", n, acked, now)
		}
		known = now
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if known.imports < kills/2 || known.facts < kills || known.plans == 0 {
		t.Errorf("the drill hardly wrote: %+v", known)
	}
	t.Logf("%d kills: %d imports of %d rows, %d facts and %d plans acknowledged, all there", kills, known.imports, importRows, known.facts, known.plans)
}

// killOnce starts the writer, kills it some time after it has acknowledged so
// many writes, and returns what it had acknowledged by then.
func killOnce(t *testing.T, dir string, writes int, after time.Duration, from state) state {
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
	for said := 0; lines.Scan(); said++ {
		if said == writes {
			time.AfterFunc(after, func() { cmd.Process.Kill() })
		}
		var n int
		switch word, rest, _ := strings.Cut(lines.Text(), " "); word {
		case "import", "fact", "plan":
			if _, err := fmt.Sscan(rest, &n); err != nil {
				continue // the kill cut the line
			}
			switch word {
			case "import":
				at.imports = n
			case "fact":
				at.facts = n
			case "plan":
				at.plans = n
			}
		}
	}
	if err := cmd.Wait(); err == nil || complaint.Len() > 0 {
		t.Fatalf("the writer ended by itself: %v %s", err, complaint.String())
	}
	return at
}
