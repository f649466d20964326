package store

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/flutewright/flutewright/base/fault"
)

// lockFile holds a data folder for this process. The operating system lets
// the lock go when the process ends, however it ends.
type lockFile struct {
	file *os.File
}

// errHeld is what lockNow returns when another process has the lock.
var errHeld = errors.New("held")

func takeLock(path string) (*lockFile, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	if err := lockNow(f); err != nil {
		pid, _ := io.ReadAll(io.LimitReader(f, 20)) // for the message only
		f.Close()
		if errors.Is(err, errHeld) {
			return nil, fmt.Errorf("in use by process %s: end it first, or use another folder: %w", strings.TrimSpace(string(pid)), fault.Refused)
		}
		return nil, fmt.Errorf("lock: %w", err)
	}
	if err := f.Truncate(0); err != nil {
		f.Close()
		return nil, err
	}
	if _, err := f.WriteAt(fmt.Appendf(nil, "%d\n", os.Getpid()), 0); err != nil {
		f.Close()
		return nil, err
	}
	return &lockFile{f}, nil
}

// release gives the lock free; the file stays, so that no two processes can
// ever hold locks on two files of the same name.
func (l *lockFile) release() error {
	if l == nil {
		return nil
	}
	return l.file.Close()
}
