package web_test

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/web"
)

// bench is a desk in a test: the pages and what stands behind them.
type bench struct {
	t testing.TB
	*desk.Desk
	pages http.Handler
}

// opened returns an empty desk.
func opened(t testing.TB, make func(context.Context, plant.Book, plan.Options) (*plan.Plan, error)) *bench {
	t.Helper()
	d, err := desk.New(desk.Deps{
		Store: newMemory(), Worker: &worker{}, Clock: func() time.Time { return demo.Now },
		Orders: exchange.Orders{}, Tables: exchange.Tables{}, Make: make, Check: plan.Check,
	})
	if err != nil {
		t.Fatal(err)
	}
	log := slog.New(slog.NewTextHandler(logged{t}, nil))
	pages := web.New(web.Options{Desk: d, Log: log, Loopback: true, Template: demo.Book, Version: "test"})
	return &bench{t, d, pages}
}

// logged sends what the pages log to the test.
type logged struct{ t testing.TB }

func (l logged) Write(b []byte) (int, error) {
	l.t.Log(strings.TrimSpace(string(b)))
	return len(b), nil
}

// demoPlan is planned once for all tests that only read it.
var demoPlan = sync.OnceValues(func() (*plan.Plan, error) {
	return plan.Make(context.Background(), demo.Book(), plan.Options{Now: demo.Now, Seconds: 1, Seed: 1})
})

// planned returns a desk with the demo's book and its plan ready.
func planned(t testing.TB) *bench {
	t.Helper()
	b := opened(t, func(context.Context, plant.Book, plan.Options) (*plan.Plan, error) { return demoPlan() })
	if err := b.SetUp(t.Context(), demo.Book(), "test"); err != nil {
		t.Fatal(err)
	}
	b.plan()
	return b
}

func (b *bench) plan() ident.Plan {
	b.t.Helper()
	n, err := b.StartPlan(b.t.Context(), desk.PlanOptions{}, "test")
	if err != nil {
		b.t.Fatal(err)
	}
	heads, err := b.WatchPlan(b.t.Context(), n)
	if err != nil {
		b.t.Fatal(err)
	}
	for h := range heads {
		if h.State == desk.PlanFailed {
			b.t.Fatalf("plan %d: %s", n, h.Fault)
		}
	}
	return n
}

func (b *bench) ask(r *http.Request) *httptest.ResponseRecorder {
	r.Host = "127.0.0.1:8420"
	w := httptest.NewRecorder()
	b.pages.ServeHTTP(w, r)
	return w
}

func (b *bench) get(path string) *httptest.ResponseRecorder {
	return b.ask(httptest.NewRequest(http.MethodGet, path, nil))
}

func (b *bench) post(path string, form url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	return b.ask(r)
}

// TestServe is for looking: FLUTEWRIGHT_LOOK=127.0.0.1:PORT serves the demo until it is stopped.
func TestServe(t *testing.T) {
	at := os.Getenv("FLUTEWRIGHT_LOOK")
	if at == "" {
		t.Skip("only for looking at the pages")
	}
	b := planned(t)
	t.Log(http.ListenAndServe(at, b.pages))
}
