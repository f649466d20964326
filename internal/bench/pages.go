package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/base/quantity"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/trace"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/work"
)

// samples is how often each page is asked for.
const samples = 60

// pages measures the desk on a book of a real plant's size: its start, its
// pages through a real server, a typed fact, and its memory.
func pages(b *bytes.Buffer) error {
	dir, err := os.MkdirTemp("", "flutewright-bench-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	facts, err := fill(dir)
	if err != nil {
		return err
	}
	bin, err := built(dir)
	if err != nil {
		return err
	}
	fmt.Fprintf(b, "## The desk\n\n2,500 open lines, 10,000 items, 2,000 rolls and a plan of them in the book; pages over HTTP on this machine, %d times each.\nWanted: start under 1 s, any page under 50 ms at the 95th percentile, memory under 400 MB.\n\n", samples)
	if err := serve(b, bin, dir); err != nil {
		return err
	}
	fmt.Fprintf(b, "\nA typed fact is acknowledged in %.1f ms (95th percentile of %d, on the same book).\n", percentile(facts, 95), len(facts))
	return nil
}

// fill makes the data folder: the book, a plan in force, and some typed facts, each timed in milliseconds.
func fill(dir string) ([]float64, error) {
	ctx := context.Background()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	s, err := store.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	r := work.New(log)
	now := func() time.Time { return demo.Now }
	d, err := desk.New(desk.Deps{Store: s, Clock: now, Worker: r, Orders: exchange.Orders{}, Tables: exchange.Tables{}, Make: plan.Make, Check: plan.Check, Log: log})
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	facts, err := live(ctx, d)
	return facts, errors.Join(err, r.Shutdown(ctx), s.Close())
}

func live(ctx context.Context, d *desk.Desk) ([]float64, error) {
	book := stretched(demo.Generated(demo.Size{Lines: 2500, Items: 10000, Rolls: 2000, Seed: 3}))
	if err := d.SetUp(ctx, book, "bench"); err != nil {
		return nil, err
	}
	id, err := d.StartPlan(ctx, desk.PlanOptions{Seconds: 15, Seed: 1}, "bench")
	if err != nil {
		return nil, err
	}
	for {
		h, err := d.PlanHead(ctx, id)
		if err != nil {
			return nil, err
		}
		if !h.Ended.IsZero() {
			if h.Fault != "" {
				return nil, errors.New(h.Fault)
			}
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	if err := d.PutInForce(ctx, id, "corrugator", "bench"); err != nil {
		return nil, err
	}
	var took []float64
	for i := range 200 {
		f := trace.Fact{ID: ident.Fact(fmt.Sprintf("bench-%d", i)), At: demo.Now, Kind: trace.StackFound, Source: "desk", Who: "bench",
			Release: book.Lines[i].Key, Stack: ident.Stack(fmt.Sprintf("S%d", i)), Good: 10, Place: "L1"}
		start := time.Now()
		if _, err := d.Record(ctx, f); err != nil {
			return nil, err
		}
		took = append(took, ms(start))
	}
	return took, nil
}

// stretched returns the book with its rolls four times as long: the paper that
// comes in while a long book is made, put into the house at once.
func stretched(b plant.Book) plant.Book {
	for i := range b.Rolls {
		b.Rolls[i].Length *= 4
		b.Rolls[i].Mass *= quantity.Mass(4)
		b.Rolls[i].Diameter, b.Rolls[i].Core = 0, 0
	}
	return b
}

// serve starts the program on the folder and asks for every page.
func serve(b *bytes.Buffer, bin, dir string) (err error) {
	start := time.Now()
	p, err := started(bin, dir)
	if err != nil {
		return err
	}
	at := p.at
	defer func() { err = errors.Join(err, p.end()) }()
	fmt.Fprintf(b, "Start to address printed: %.0f ms; to the first page: ", ms(start))
	if _, _, err := get(at + "/"); err != nil {
		return err
	}
	fmt.Fprintf(b, "%.0f ms.\n\n| page | median ms | 95th percentile ms | kB |\n|---|---|---|---|\n", ms(start))
	for _, path := range []string{"/", "/orders", "/orders?late=1", "/orders?q=410", "/boxes", "/boxes?q=mailer", "/board", "/runs", "/runs/1", "/rolls", "/rolls/house", "/jobs", "/loads", "/plans", "/plans/1", "/floor", "/plant"} {
		var took []float64
		size := 0
		for range samples {
			t, n, err := get(at + path)
			if err != nil {
				return err
			}
			took, size = append(took, t), n
		}
		fmt.Fprintf(b, "| `%s` | %.1f | %.1f | %d |\n", path, percentile(took, 50), percentile(took, 95), size/1024)
	}
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", p.cmd.Process.Pid))
	if err != nil {
		return err
	}
	for _, l := range strings.Split(string(status), "\n") {
		if rest, ok := strings.CutPrefix(l, "VmHWM:"); ok {
			var kb int
			if _, err := fmt.Sscan(rest, &kb); err != nil {
				return err
			}
			fmt.Fprintf(b, "\nGreatest memory of the process while it served these pages: %d MB.\n", kb/1024)
		}
	}
	return nil
}

func get(url string) (took float64, size int, err error) {
	start := time.Now()
	res, err := http.Get(url)
	if err != nil {
		return 0, 0, err
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s", url, res.Status)
	}
	return ms(start), len(body), err
}

func ms(since time.Time) float64 { return float64(time.Since(since).Microseconds()) / 1000 }

func percentile(v []float64, p int) float64 {
	s := slices.Sorted(slices.Values(v))
	return s[min(len(s)-1, len(s)*p/100)]
}
