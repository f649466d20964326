package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// firstDayTries is how often a newcomer begins, each time on a folder of its own.
const firstDayTries = 9

// firstDay measures how a newcomer begins: the program on an empty folder, the
// invented plant taken, its first plan.
func firstDay(b *bytes.Buffer) error {
	dir, err := os.MkdirTemp("", "flutewright-first-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	bin, err := built(dir)
	if err != nil {
		return err
	}
	took := map[string][]float64{}
	for n := range firstDayTries {
		if err := begun(bin, filepath.Join(dir, fmt.Sprint(n)), took); err != nil {
			return err
		}
	}
	fmt.Fprintf(b, "## The first day\n\nThe program is started on an empty folder, the invented plant of 42 lines is taken as its book, and a plan is asked for with 0.3 s of\nsearch; %d times, each on a folder of its own. The plan counts once it is checked, kept and can be read.\n\n| what | wanted s | median s | longest s |\n|---|---|---|---|\n", firstDayTries)
	for _, row := range []struct {
		what   string
		wanted string
	}{{"start to the address", "2"}, {"start to the first page, of an empty book", "2"}, {"the plant taken", ""}, {"the first legal plan", "1"}} {
		fmt.Fprintf(b, "| %s | %s | %.2f | %.2f |\n", row.what, row.wanted, percentile(took[row.what], 50)/1000, percentile(took[row.what], 100)/1000)
	}
	b.WriteString("\n")
	return nil
}

// begun begins once and adds what each step took, in milliseconds.
func begun(bin, dir string, took map[string][]float64) (err error) {
	keep := func(what string, since time.Time) { took[what] = append(took[what], ms(since)) }
	start := time.Now()
	p, err := started(bin, dir)
	if err != nil {
		return err
	}
	at := p.at
	defer func() { err = errors.Join(err, p.end()) }()
	keep("start to the address", start)
	if _, _, err := get(at + "/"); err != nil {
		return err
	}
	keep("start to the first page, of an empty book", start)
	start = time.Now()
	if err := takePlant(at); err != nil {
		return err
	}
	keep("the plant taken", start)
	start = time.Now()
	if err := firstPlan(at); err != nil {
		return err
	}
	keep("the first legal plan", start)
	return nil
}

// takePlant makes the invented plant the book of an empty desk.
func takePlant(at string) error {
	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	if err := errors.Join(w.WriteField("from", "demo"), w.WriteField("name", "Bench"), w.Close()); err != nil {
		return err
	}
	return answeredOK(http.Post(at+"/start", w.FormDataContentType(), &form))
}

// firstPlan asks for a plan and waits until it can be read.
func firstPlan(at string) error {
	res, err := http.Post(at+"/api/plans", "application/json", strings.NewReader(`{"seconds":0.3,"seed":1}`))
	if err != nil {
		return err
	}
	var head struct {
		ID    int64  `json:"plan"`
		State string `json:"state"`
		Fault string `json:"fault"`
	}
	err = json.NewDecoder(res.Body).Decode(&head)
	if err = errors.Join(err, res.Body.Close()); err != nil {
		return err
	}
	for head.State != "ready" {
		if head.Fault != "" {
			return errors.New(head.Fault)
		}
		time.Sleep(5 * time.Millisecond)
		if res, err = http.Get(fmt.Sprintf("%s/api/plans/%d", at, head.ID)); err != nil {
			return err
		}
		err = json.NewDecoder(res.Body).Decode(&head)
		if err = errors.Join(err, res.Body.Close()); err != nil {
			return err
		}
	}
	_, _, err = get(fmt.Sprintf("%s/plans/%d", at, head.ID))
	return err
}

// answeredOK reads an answer to its end; any status but 200 is an error.
func answeredOK(res *http.Response, err error) error {
	if err != nil {
		return err
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err == nil && res.StatusCode != http.StatusOK {
		err = fmt.Errorf("%s: %s: %s", res.Request.URL, res.Status, body[:min(len(body), 300)])
	}
	return err
}
