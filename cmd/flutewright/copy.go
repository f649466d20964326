package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/store"
)

// copyCmd writes everything a data folder holds as one file.
type copyCmd struct {
	Data string `required:"" help:"Folder of the desk, which must not be open: a desk at work gives its copy on the Plant page." type:"path" placeholder:"DIR"`
	Out  string `required:"" help:"File to write; an old one of that name is replaced once the new one is whole." type:"path" placeholder:"FILE"`
}

// Run writes the copy beside its name first, so that a half-written one never stands there.
func (c *copyCmd) Run(e *env) (err error) {
	if _, err := os.Stat(c.Data); err != nil {
		return err
	}
	s, err := store.Open(e.ctx, c.Data)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	f, err := os.CreateTemp(filepath.Dir(c.Out), filepath.Base(c.Out)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	done, err := s.Copy(e.ctx, f)
	if err == nil {
		err = f.Sync()
	}
	if failed := f.Close(); err == nil {
		err = failed
	}
	if err != nil {
		return err
	}
	if err := os.Rename(f.Name(), c.Out); err != nil {
		return err
	}
	fmt.Fprintf(e.stdout, "%s holds %s\n", c.Out, said(done))
	return nil
}

// restoreCmd makes a data folder from a copy.
type restoreCmd struct {
	Copy string `arg:"" help:"Copy to read." type:"existingfile" placeholder:"FILE"`
	Data string `required:"" help:"Folder to make: it must be empty or not there." type:"path" placeholder:"DIR"`
}

// Run restores whole or not at all.
func (c *restoreCmd) Run(e *env) error {
	f, err := os.Open(c.Copy)
	if err != nil {
		return err
	}
	defer f.Close()
	done, err := store.Restore(e.ctx, c.Data, f)
	if err != nil {
		return err
	}
	fmt.Fprintf(e.stdout, "%s holds %s\n", c.Data, said(done))
	return nil
}

func said(d desk.Copied) string {
	return fmt.Sprintf("%d entries of the book, %d plans and %d facts of the ledger", d.Entries, d.Plans, d.Facts)
}
