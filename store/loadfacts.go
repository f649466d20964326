package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"runtime"

	"github.com/flutewright/flutewright/base/ident"
	"github.com/flutewright/flutewright/desk"
	"github.com/flutewright/flutewright/plant/trace"
)

// holds are the facts of holds: they are shown with every load, for there are few.
const holds = `SELECT id FROM facts WHERE kind IN ('held', 'released from hold')`

// ofRolls are the facts of rolls: what the index of rolls holds.
const ofRolls = `SELECT id FROM facts WHERE kind IN ('roll found', 'roll received', 'roll mounted', 'roll off')`

// about is the facts of a query called start, with all that takes them back,
// however long the chain of corrections.
const about = `,
	about (id) AS (
		SELECT id FROM start
		UNION
		SELECT f.id FROM facts f JOIN about a ON f.corrects = a.id WHERE f.corrects <> '')`

// someFacts are the facts of some subjects: releases, rolls, machines' stops,
// stacks moved without a release, and runs as [plan, run], each list as JSON.
// Every part has an index of its own.
const someFacts = `WITH RECURSIVE start (id) AS (
		SELECT id FROM facts WHERE release <> '' AND release IN (SELECT value FROM json_each($1))
		UNION ` + ofRolls + `
			AND body ->> '$.roll' IN (SELECT value FROM json_each($2))
		UNION SELECT id FROM facts WHERE kind IN ('machine stopped', 'machine running') AND machine IN (SELECT value FROM json_each($3))
		UNION SELECT id FROM facts WHERE kind = 'stack moved' AND release = '' AND body ->> '$.stack' IN (SELECT value FROM json_each($4))
		UNION SELECT f.id FROM json_each($5) j JOIN facts f ON f.run > 0 AND f.plan = j.value ->> 0 AND f.run = j.value ->> 1
		UNION ` + holds + `)` + about + `
	SELECT f.body FROM about a JOIN facts f ON f.id = a.id`

// allFacts are those of the releases awake and of all that is no release. It
// takes corrections of other facts along, which do no harm. One walk through the
// table is quicker here than a look-up for each.
const allFacts = `SELECT body FROM facts WHERE release = '' OR release IN (SELECT value FROM json_each($1))
	OR kind IN ('correction', 'held', 'released from hold', 'roll found', 'roll received', 'roll mounted', 'roll off',
		'machine stopped', 'machine running')`

func loadFacts(ctx context.Context, tx *sql.Tx, after int64, v desk.Visitor, touched map[trace.Subject]bool) error {
	if after > 0 {
		if err := touchedByFacts(ctx, tx, after, touched); err != nil {
			return err
		}
	}
	var lists [5][]any
	for t := range touched {
		v.Touched(t)
		switch {
		case t.Release != (ident.Release{}):
			lists[0] = append(lists[0], t.Release.String())
		case t.Roll != "":
			lists[1] = append(lists[1], t.Roll)
		case t.Machine != "":
			lists[2] = append(lists[2], t.Machine)
		case t.Stack != "":
			lists[3] = append(lists[3], t.Stack)
		default:
			lists[4] = append(lists[4], []int64{int64(t.Run.Plan), int64(t.Run.Run)})
		}
	}
	var args [5]any
	for i, l := range lists {
		list, err := json.Marshal(l)
		if err != nil {
			return err
		}
		args[i] = string(list)
	}
	query, with := someFacts, args[:]
	if after == 0 {
		query, with = allFacts, args[:1]
	}
	rows, err := tx.QueryContext(ctx, query, with...)
	if err != nil {
		return err
	}
	return eachFact(rows, v.Fact)
}

// touchedByFacts adds the subjects of new facts and of what new corrections take back.
func touchedByFacts(ctx context.Context, tx *sql.Tx, after int64, touched map[trace.Subject]bool) error {
	rows, err := tx.QueryContext(ctx, `
		WITH RECURSIVE up (id) AS (
			SELECT id FROM facts WHERE revision > $1
			UNION
			SELECT f.corrects FROM facts f JOIN up ON f.id = up.id WHERE f.corrects <> '')
		SELECT f.body FROM up JOIN facts f ON f.id = up.id`, after)
	if err != nil {
		return err
	}
	return eachFact(rows, func(f trace.Fact) error {
		for _, s := range trace.SubjectsOf(f) {
			touched[s] = true
		}
		return nil
	})
}

// factsAtOnce are decoded in one go, beside the reading of the next ones.
const factsAtOnce = 1024

// decoded is a batch of facts, in the order in which they were read.
type decoded struct {
	facts []trace.Fact
	err   error
}

// eachFact shows take every fact in turn; decoding runs on all cores.
func eachFact(rows *sql.Rows, take func(trace.Fact) error) (err error) {
	batches, enough := make(chan chan decoded, 2*runtime.GOMAXPROCS(0)), make(chan struct{})
	var read error
	go func() {
		defer close(batches)
		defer rows.Close()
		read = inBatches(rows, func(bodies [][]byte) bool {
			out := make(chan decoded, 1)
			go func() { out <- decode(bodies) }()
			select {
			case batches <- out:
				return true
			case <-enough:
				return false
			}
		})
	}()
	for out := range batches {
		d := <-out
		if err == nil {
			err = d.err
		}
		for k := 0; k < len(d.facts) && err == nil; k++ {
			err = take(d.facts[k])
		}
		if err != nil {
			close(enough)
			for range batches { // until the reader has closed the rows
			}
			return err
		}
	}
	return read
}

// inBatches reads bodies and hands them on until it is told to stop.
func inBatches(rows *sql.Rows, on func([][]byte) bool) error {
	var batch [][]byte
	for rows.Next() {
		var body []byte
		if err := rows.Scan(&body); err != nil {
			return err
		}
		if batch = append(batch, body); len(batch) == factsAtOnce {
			if !on(batch) {
				return nil
			}
			batch = nil
		}
	}
	if err := rows.Err(); err != nil {
		return err
	}
	if len(batch) > 0 {
		on(batch)
	}
	return nil
}

func decode(bodies [][]byte) decoded {
	d := decoded{facts: make([]trace.Fact, len(bodies))}
	for i, b := range bodies {
		if err := json.Unmarshal(b, &d.facts[i]); err != nil {
			return decoded{err: fmt.Errorf("fact: %w", err)}
		}
	}
	return d
}
