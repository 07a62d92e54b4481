package main

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/document"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// traceCommand reads a recording and prints what each walk of a plan shows.
type traceCommand struct {
	File      string `arg:"" help:"The recording: a FIT, GPX or CSV file; - is standard input."`
	Plan      string `required:"" placeholder:"BLOCKS" help:"The session, as in \"walk 5:00, 6x(run 1:30, walk 3:30), walk 4:00\"."`
	Ceiling   int    `required:"" placeholder:"BPM" help:"The easy ceiling, the top of zone 1, in beats a minute."`
	CeilingSD int    `name:"ceiling-sd" default:"0" placeholder:"BPM" help:"Its standard deviation: shares are given with the ceiling so much lower and higher too."`
}

// Ceilings that can be asked about, in beats a minute (those of the rule book's
// talk test).
const (
	lowestCeiling  = 60
	highestCeiling = 220
	widestCeiling  = 30
)

// Run prints the document, or on standard error what is wrong.
func (c *traceCommand) Run(o outside) error {
	plan, ceilings, wrong := c.asked()
	if wrong != nil {
		return o.refuse(wrong)
	}
	body, err := c.body(o)
	if err != nil {
		return err
	}
	file, err := activityfile.Read(body)
	if err != nil {
		return o.refuse(err)
	}
	reading := trace.Read(&file.Recording, plan, ceilings)
	var whole bytes.Buffer
	if err := document.WriteTrace(&whole, &reading); err != nil {
		return fmt.Errorf("the reading cannot be written: %w", err)
	}
	_, err = o.out.Write(whole.Bytes())
	return err
}

// asked are the plan and the ceilings, or all that is wrong with them.
func (c *traceCommand) asked() ([]pathway.Block, trace.Ceilings, error) {
	var faults []fault.Field
	plan, err := pathway.Parse(c.Plan)
	if err != nil {
		faults = append(faults, fault.Field{Place: "plan", Message: err.Error()})
	}
	if c.Ceiling < lowestCeiling || c.Ceiling > highestCeiling {
		faults = append(faults, fault.Field{Place: "ceiling", Message: fmt.Sprintf("must be %d to %d beats a minute", lowestCeiling, highestCeiling)})
	}
	if c.CeilingSD < 0 || c.CeilingSD > widestCeiling {
		faults = append(faults, fault.Field{Place: "ceiling-sd", Message: fmt.Sprintf("must be 0 to %d beats a minute", widestCeiling)})
	}
	easy, sd := intensity.BPM(c.Ceiling), intensity.BPM(c.CeilingSD)
	return plan, trace.Ceilings{Easy: easy, EasyLow: easy - sd, EasyHigh: easy + sd}, fault.At(faults...)
}

// body is the file, or as much of standard input as a recording may have.
func (c *traceCommand) body(o outside) ([]byte, error) {
	in := o.in
	if c.File != "-" {
		file, err := os.Open(c.File)
		if err != nil {
			return nil, fmt.Errorf("the recording cannot be opened: %w", err)
		}
		defer file.Close()
		in = file
	}
	body, err := io.ReadAll(io.LimitReader(in, activityfile.MostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("the recording cannot be read: %w", err)
	}
	return body, nil
}

// refuse says on standard error what is wrong with what was asked, one a line.
func (o outside) refuse(err error) error {
	fields := fault.FieldsOf(err)
	for _, f := range fields {
		fmt.Fprintln(o.err, f)
	}
	if len(fields) == 0 {
		return err
	}
	return errSaid
}
