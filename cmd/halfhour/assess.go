package main

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"halfhour.app/halfhour/internal/document"
	"halfhour.app/halfhour/internal/readiness"
)

// assessCommand reads one athlete and prints one verdict, both JSON.
type assessCommand struct {
	File string `arg:"" help:"The document; - is standard input."`
}

// Run prints the verdict, or every fault of the document, one a line, on
// standard error and nothing on standard output.
func (a *assessCommand) Run(o outside) error {
	in := o.in
	if a.File != "-" {
		file, err := os.Open(a.File)
		if err != nil {
			return fmt.Errorf("the document cannot be opened: %w", err)
		}
		defer file.Close()
		in = file
	}
	return assess(in, o)
}

func assess(in io.Reader, o outside) error {
	history, faults := document.Read(in)
	for _, f := range faults {
		fmt.Fprintln(o.err, f)
	}
	if len(faults) > 0 {
		return errSaid
	}
	verdict := readiness.Assess(&history)
	var whole bytes.Buffer
	if err := document.Write(&whole, &verdict, readiness.Arrival(&history, &verdict)); err != nil {
		return fmt.Errorf("the verdict cannot be written: %w", err)
	}
	_, err := o.out.Write(whole.Bytes())
	return err
}
