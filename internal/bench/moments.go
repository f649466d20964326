package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"regexp"
	"strings"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/plant/order"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/web"
	"github.com/flutewright/flutewright/work"
)

// momentTries is how often each question of the day is asked.
const momentTries = 20

// question is one question of the planning day, as a browser asks it.
type question struct {
	moment, asked string
	wanted        float64 // s
	path          string
	form          url.Values // nil: a page that is read
	says          string     // stands on the answer, or it is none
}

// questions are those of the day, about a line that the plan in force makes.
func questions(l order.Line) []question {
	due := demo.Now.Add(76 * time.Hour).Format("2006-01-02T15:04") // Thursday 10:00
	key, item := l.Key.String(), string(l.Item)
	event := func(kind string, fields ...string) url.Values {
		v := url.Values{"kind": {kind}}
		for i := 0; i < len(fields); i += 2 {
			v.Set(fields[i], fields[i+1])
		}
		return v
	}
	promise := url.Values{"item": {item}, "quantity": {"12000"}, "due": {due}, "due_at": {"dock"}}
	return []question{
		{"1", "What breaks today?", 2, "/", nil, "notices"},
		{"2", "Is every run to 14:00 covered?", 3, "/rolls/cover", nil, "covered"},
		{"3", "12,000 at the dock on Thursday at 10:00?", 5, "/promise?" + promise.Encode(), nil, "Waits for"},
		{"4", "FFG-2 is down until 13:00: what now?", 3, "/event", event("machine down", "machine", "FFG-2", "until", demo.Now.Add(7*time.Hour).Format("2006-01-02T15:04")), "way-0"},
		{"5", "What paper must be called off by noon?", 5, "/rolls", nil, "calls"},
		{"6", "The cheapest slot for a rush order?", 1, "/event", event("rush order", "order", "R%d", "item", item, "quantity", "1500", "due", due), "way-0"},
		{"7", "What does the dry end set next?", .2, "/crew/dry", nil, "Set next"},
		{"8", "The order ended short: what now?", 2, "/event", event("order short", "order", key, "good", fmt.Sprint(l.Quantity*9/10)), "way-0"},
		{"9", "When is the sheet floor full?", 2, "/floor/lanes", nil, "<svg"},
		{"10", "What carries this fault, what may go?", 2, "/fault?" + url.Values{"key": {key}, "boxes": {"40"}}.Encode(), nil, "carry the fault"},
	}
}

// moments measures every question of the day on a plant of a real size with a long ledger.
func moments(b *bytes.Buffer) (err error) {
	dir, err := os.MkdirTemp("", "flutewright-moments-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	ctx := context.Background()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	s, err := store.Open(ctx, dir)
	if err != nil {
		return err
	}
	r := work.New(log)
	defer func() { err = errors.Join(err, r.Shutdown(ctx), s.Close()) }()
	begun := time.Now()
	started := func() (*desk.Desk, error) {
		return desk.New(desk.Deps{Store: s, Clock: func() time.Time { return demo.Now.Add(time.Since(begun)) }, Worker: r,
			Orders: exchange.Orders{}, Tables: exchange.Tables{}, Make: plan.Make, Check: plan.Check, Log: log})
	}
	d, err := started()
	if err != nil {
		return err
	}
	at, err := busyDay(ctx, d, s)
	if err != nil {
		return err
	}
	if d, err = started(); err != nil { // as in the morning: nothing is in memory yet
		return err
	}
	server := httptest.NewServer(web.New(web.Options{Desk: d, Log: log, Loopback: true, Template: func() plant.Book { return demo.Book() }, Version: "bench"}))
	defer server.Close()
	return askAll(b, server.URL, questions(at))
}

// askAll asks every question and writes its row. An answer that is not the one
// asked for is a row that says so, and an error once all are asked.
func askAll(b *bytes.Buffer, home string, all []question) error {
	fmt.Fprintf(b, "## The questions of a day\n\n2,500 open lines, 10,000 items, 2,000 rolls, 500 stacks of sheets, a plan of two days in force, 200,000 facts in the ledger. Each\nquestion is asked over HTTP on this machine %d times, a form followed to its answer; no answer is kept from one asking to the next\nother than what the desk itself keeps. The first asking stands apart: the first of all is asked of a desk that has just started, and reads the ledger.\n\n| moment | question | wanted s | first s | median s | 95th percentile s |\n|---|---|---|---|---|---|\n", momentTries)
	jar, err := cookiejar.New(nil)
	if err != nil {
		return err
	}
	client := &http.Client{Jar: jar, Timeout: 2 * time.Minute}
	var amiss error
	for _, q := range all {
		var took []float64
		for n := range momentTries + 1 {
			start := time.Now()
			if err = q.ask(client, home, n); err != nil {
				break
			}
			took = append(took, time.Since(start).Seconds())
		}
		if err != nil {
			fmt.Fprintf(b, "| %s | %s | %g | not answered | | |\n", q.moment, q.asked, q.wanted)
			amiss = errors.Join(amiss, fmt.Errorf("moment %s: %w", q.moment, err))
			continue
		}
		fmt.Fprintf(b, "| %s | %s | %g | %.3f | %.3f | %.3f |\n", q.moment, q.asked, q.wanted, took[0], percentile(took[1:], 50), percentile(took[1:], 95))
	}
	b.WriteString("\n")
	return amiss
}

var tags = regexp.MustCompile(`<[^>]*>`)

// ask asks once and reads the whole answer; n tells one asking from the next.
func (q question) ask(client *http.Client, home string, n int) error {
	var res *http.Response
	var err error
	if q.form == nil {
		res, err = client.Get(home + q.path)
	} else {
		form := url.Values{"fact": {fmt.Sprintf("bench-moment-%s-%d", q.moment, n)}}
		for k := range q.form {
			form.Set(k, strings.ReplaceAll(q.form.Get(k), "%d", fmt.Sprint(6001+n)))
		}
		res, err = client.PostForm(home+q.path, form)
	}
	if err != nil {
		return err
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		return err
	}
	if res.StatusCode != http.StatusOK || !bytes.Contains(body, []byte(q.says)) {
		said := tags.ReplaceAll(body, nil)
		return fmt.Errorf("%s: status %s, %q is not in the answer: %s", res.Request.URL, res.Status, q.says, bytes.Join(bytes.Fields(said), []byte(" ")))
	}
	return nil
}
