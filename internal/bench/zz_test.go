package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"os"
	"runtime/pprof"
	"testing"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/web"
	"github.com/flutewright/flutewright/work"
)

func TestZZ(t *testing.T) {
	dir := os.Getenv("ZZDIR")
	fresh := false
	if _, err := os.Stat(dir); err != nil {
		fresh = true
		os.MkdirAll(dir, 0o755)
	}
	ctx := context.Background()
	log := slog.New(slog.NewTextHandler(io.Discard, nil))
	s, err := store.Open(ctx, dir)
	if err != nil {
		t.Fatal(err)
	}
	r := work.New(log)
	begun := time.Now()
	d, err := desk.New(desk.Deps{Store: s, Clock: func() time.Time { return demo.Now.Add(time.Since(begun)) }, Worker: r,
		Orders: exchange.Orders{}, Tables: exchange.Tables{}, Make: plan.Make, Check: plan.Check, Log: log})
	if err != nil {
		t.Fatal(err)
	}
	var keyf = dir + ".key"
	if fresh {
		l, err := busyDay(ctx, d, s)
		if err != nil {
			t.Fatal(err)
		}
		os.WriteFile(keyf, []byte(l.Key.String()), 0o644)
	}
	key, _ := os.ReadFile(keyf)
	snap, _ := d.Snapshot(ctx)
	server := httptest.NewServer(web.New(web.Options{Desk: d, Log: log, Loopback: true, Template: func() plant.Book { return demo.Book() }, Version: "bench"}))
	jar, _ := cookiejar.New(nil)
	client := &http.Client{Jar: jar}
	for _, l := range snap.Lines {
		if l.Key.String() != string(key) {
			continue
		}
		for _, q := range questions(l) {
			if q.moment != "4" && q.moment != "6" && q.moment != "8" {
				continue
			}
			q.ask(client, server.URL, 1000)
			f, _ := os.Create(fmt.Sprintf("/tmp/zz%s.prof", q.moment))
			pprof.StartCPUProfile(f)
			for n := range 4 {
				start := time.Now()
				if err := q.ask(client, server.URL, 2000+n+int(time.Now().Unix()%100000)); err != nil {
					fmt.Println(err)
				}
				fmt.Println(q.moment, time.Since(start))
			}
			pprof.StopCPUProfile()
			f.Close()
		}
	}
	_ = bytes.NewBuffer
}
