package document

import (
	"encoding/json"
	"io"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// Trace is what a recording shows of a plan, as a document. Seconds are of the
// recording's own clock; null is "not told".
type Trace struct {
	Duration  int          `json:"duration_s"`
	Samples   int          `json:"samples"`
	Coverage  float64      `json:"coverage"`
	Offset    *int         `json:"offset_s"`
	By        *string      `json:"aligned_by"`
	Warnings  []string     `json:"warnings"`
	Artefacts []Artefact   `json:"artefacts"`
	Blocks    []TraceBlock `json:"blocks"`
}

// Artefact is a stretch without a usable heart rate.
type Artefact struct {
	From int    `json:"from_s"`
	To   int    `json:"to_s"`
	Kind string `json:"kind"`
}

// TraceBlock is one block as it was found. What a heart rate shows of a walk is
// null where that cannot be assessed, and always of a run.
type TraceBlock struct {
	Kind     string   `json:"kind"`
	Start    int      `json:"start_s"`
	End      int      `json:"end_s"`
	Valid    int      `json:"valid_s"`
	Easy     *int     `json:"easy_s"`
	EasyLow  *int     `json:"easy_s_low"`
	EasyHigh *int     `json:"easy_s_high"`
	Share    *float64 `json:"share"`
	Settle   *int     `json:"heart_settle_s"`
	Drop     *int     `json:"drop_60_s"`
	State    *string  `json:"state"`
	Reason   *string  `json:"reason"`
}

// OfTrace lays a reading out as a document.
func OfTrace(r *trace.Reading) Trace {
	d := Trace{
		Duration: r.Seconds, Samples: r.Samples, Coverage: *places(r.Coverage, true), By: told(string(r.By)),
		Warnings: append([]string{}, r.Warnings...), Artefacts: []Artefact{}, Blocks: []TraceBlock{},
	}
	if len(r.Blocks) > 0 {
		d.Offset = &r.Offset
	}
	for _, a := range r.Artefacts {
		d.Artefacts = append(d.Artefacts, Artefact{a.From, a.To, string(a.Kind)})
	}
	for i := range r.Blocks {
		d.Blocks = append(d.Blocks, traceBlock(&r.Blocks[i]))
	}
	return d
}

func traceBlock(b *trace.Block) TraceBlock {
	d := TraceBlock{
		Kind: b.Kind.String(), Start: b.Start, End: b.End, Valid: b.Valid,
		State: told(string(b.State)), Reason: told(string(b.Reason)),
	}
	if b.Kind != pathway.Walk || b.State != trace.Settled && b.State != trace.NotSettled {
		return d
	}
	d.Easy, d.EasyLow, d.EasyHigh = &b.Easy, &b.EasyLow, &b.EasyHigh
	d.Share = places(float64(b.Easy)/float64(b.Valid), true)
	if b.Settle != trace.None {
		d.Settle = &b.Settle
	}
	if b.Drop != trace.None {
		d.Drop = &b.Drop
	}
	return d
}

// WriteTrace writes the document of a reading, indented and with a line end.
func WriteTrace(w io.Writer, r *trace.Reading) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(OfTrace(r))
}
