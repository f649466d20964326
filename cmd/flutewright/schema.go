package main

import (
	"github.com/flutewright/flutewright/exchange/schema"
)

// schemaCmd prints the JSON Schema of a document.
type schemaCmd struct {
	Name string `arg:"" help:"Document: ${documents}."`
}

// Run prints it; an unknown name is answered with those that are known.
func (c *schemaCmd) Run(e *env) error {
	raw, err := schema.Of(c.Name)
	if err != nil {
		return err
	}
	_, err = e.stdout.Write(append(raw, '\n'))
	return err
}
