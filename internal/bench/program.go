package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
)

// program is the program at work, as a person starts it.
type program struct {
	cmd *exec.Cmd
	at  string // its address, without a stroke at the end
}

var address = regexp.MustCompile(`http://[0-9.:]+/`)

// built builds the program into a folder and returns where it lies.
func built(dir string) (string, error) {
	bin := filepath.Join(dir, "flutewright")
	if out, err := exec.Command("go", "build", "-o", bin, "./cmd/flutewright").CombinedOutput(); err != nil {
		return "", fmt.Errorf("build: %w: %s", err, out)
	}
	return bin, nil
}

// started serves a folder and waits until the program has said its address.
func started(bin, dir string) (*program, error) {
	p := &program{cmd: exec.Command(bin, "serve", "--data", dir, "--listen", "127.0.0.1:0")}
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	p.cmd.Stderr = os.Stderr
	if err := p.cmd.Start(); err != nil {
		return nil, err
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if p.at = strings.TrimSuffix(address.FindString(line), "/"); err != nil || p.at == "" {
		return nil, errors.Join(fmt.Errorf("the desk did not say its address: %q", line), err, p.end())
	}
	return p, nil
}

// end interrupts the program and waits for its end.
func (p *program) end() error {
	return errors.Join(p.cmd.Process.Signal(os.Interrupt), p.cmd.Wait())
}
