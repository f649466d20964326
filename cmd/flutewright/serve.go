package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"runtime/debug"
	"syscall"
	"time"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/exchange"
	"github.com/flutewright/flutewright/plan"
	"github.com/flutewright/flutewright/plant"
	"github.com/flutewright/flutewright/plant/demo"
	"github.com/flutewright/flutewright/store"
	"github.com/flutewright/flutewright/web"
	"github.com/flutewright/flutewright/web/guard"
	"github.com/flutewright/flutewright/work"
)

// usualAddress is where the desk listens unless told otherwise; where it is
// taken, any free port of the loopback address.
const usualAddress = "127.0.0.1:8420"

// serveCmd opens the desk on a person's own data.
type serveCmd struct {
	Data   string   `required:"" help:"Folder that keeps the book, the plans and the ledger; made where it is not there." type:"path" placeholder:"DIR"`
	Listen string   `help:"Address to listen on (default: ${usual}, or a free port). Any other than a loopback address opens the desk to the network." placeholder:"HOST:PORT"`
	Name   []string `help:"Further host name that this desk answers to on a network." placeholder:"HOST"`
}

// Run serves the desk until it is interrupted.
func (c *serveCmd) Run(e *env) error {
	d, err := openDesk(e, c.Data, e.now)
	if err != nil {
		return err
	}
	defer d.close()
	l, err := listen(e.ctx, c.Listen)
	if err != nil {
		return err
	}
	d.warn(e, l)
	fmt.Fprintf(e.stdout, "The desk stands at http://%s/ and keeps its data in %s\nEnd it with Ctrl-C.\n", l.Addr(), c.Data)
	return d.serve(e.ctx, l, c.Name)
}

// openedDesk is a desk with what must be closed after it.
type openedDesk struct {
	*desk.Desk
	store  *store.Store
	runner *work.Runner
	log    *slog.Logger
}

func openDesk(e *env, dir string, clock func() time.Time) (*openedDesk, error) {
	log := slog.New(slog.NewTextHandler(e.stderr, nil))
	s, err := store.Open(e.ctx, dir)
	if err != nil {
		return nil, err
	}
	r := work.New(log)
	d, err := desk.New(desk.Deps{
		Store: s, Clock: clock, Worker: r, Orders: exchange.Orders{}, Tables: exchange.Tables{},
		Make: plan.Make, Check: plan.Check, Log: log,
	})
	if err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return &openedDesk{d, s, r, log}, nil
}

// closing is how long running plans may take to end with their best so far.
const closing = 10 * time.Second

func (d *openedDesk) close() {
	ctx, stop := context.WithTimeout(context.Background(), closing)
	defer stop()
	if err := d.runner.Shutdown(ctx); err != nil {
		d.log.Error("a plan did not end in time and will be shown as interrupted", "error", err)
	}
	if err := d.store.Close(); err != nil {
		d.log.Error("the data folder did not close well", "error", err)
	}
}

// warn says so where others can reach the desk: it asks nobody for a password.
func (d *openedDesk) warn(e *env, l net.Listener) {
	if !guard.Loopback(l.Addr().String()) {
		fmt.Fprintf(e.stderr, "flutewright: warning: %s can be reached from other machines, and the desk asks nobody for a password: "+
			"whoever reaches it can read and change everything\n", l.Addr())
	}
}

// listen opens the address, or the usual one, or a free port where that is taken.
func listen(ctx context.Context, at string) (net.Listener, error) {
	var c net.ListenConfig
	if at != "" {
		l, err := c.Listen(ctx, "tcp", at)
		if err != nil {
			return nil, fmt.Errorf("cannot listen on %s: %w", at, err)
		}
		return l, nil
	}
	l, err := c.Listen(ctx, "tcp", usualAddress)
	if errors.Is(err, syscall.EADDRINUSE) {
		l, err = c.Listen(ctx, "tcp", "127.0.0.1:0")
	}
	return l, err
}

// serve answers until ctx ends, then lets open answers finish.
func (d *openedDesk) serve(ctx context.Context, l net.Listener, names []string) error {
	server := &http.Server{
		Handler: web.New(web.Options{
			Desk: d.Desk, Log: d.log, Loopback: guard.Loopback(l.Addr().String()), Names: names,
			Template: func() plant.Book { return demo.BookFrom(d.Now()) }, ReadPlant: readPlant, Version: version(),
		}),
		BaseContext:       func(net.Listener) context.Context { return ctx }, // event streams end with it
		ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 2 * time.Minute, WriteTimeout: 2 * time.Minute, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 64 << 10,
		ErrorLog:       slog.NewLogLogger(d.log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	finish, stop := context.WithTimeout(context.Background(), closing)
	defer stop()
	if err := server.Shutdown(finish); err != nil {
		return fmt.Errorf("ending the desk: %w", err)
	}
	return nil
}

// readPlant reads a PLANT.json that a browser has sent.
func readPlant(name string, content []byte) (plant.Plant, error) {
	var p plant.Plant
	return p, decodeDocument(name, content, &p)
}

// version names the build, "devel" where it has no version.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "devel"
}
