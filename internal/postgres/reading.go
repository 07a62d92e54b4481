package postgres

import (
	"encoding/json"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
)

// keptReading is a trace.Reading as a column keeps it: short names, since there is
// one for every recording, and without the rates, which the recording itself gives
// again. A release that reads an older one finds what it does not know empty.
type keptReading struct {
	Seconds   int            `json:"s"`
	Samples   int            `json:"n"`
	Coverage  float64        `json:"c"`
	Offset    int            `json:"o,omitempty"`
	By        string         `json:"by,omitempty"`
	Lag       int            `json:"l,omitempty"`
	Warnings  []string       `json:"w,omitempty"`
	Artefacts []keptArtefact `json:"a,omitempty"`
	Blocks    []keptBlock    `json:"b,omitempty"`
	Peak      int            `json:"p,omitempty"`
}

type keptArtefact struct {
	From int    `json:"f"`
	To   int    `json:"t"`
	Kind string `json:"k"`
}

// keptBlock is a trace.Block. Ease are the seconds under the easy ceiling: plain,
// low, high. Hard are those of a run that count, then those above the zone 2
// ceiling: plain, low, high. All nought is left out.
type keptBlock struct {
	Run     bool    `json:"r,omitempty"`
	Planned int     `json:"p"`
	Start   int     `json:"f"`
	End     int     `json:"t"`
	Valid   int     `json:"v,omitempty"`
	Ease    *[3]int `json:"e,omitempty"`
	Settle  int     `json:"s,omitempty"`
	Drop    int     `json:"d,omitempty"`
	State   string  `json:"st,omitempty"`
	Reason  string  `json:"re,omitempty"`
	Hard    *[4]int `json:"h,omitempty"`
}

// readingText is the reading as JSON.
func readingText(r *trace.Reading) (string, error) {
	kept := keptReading{
		Seconds: r.Seconds, Samples: r.Samples, Coverage: r.Coverage, Offset: r.Offset, By: string(r.By), Lag: r.Lag,
		Warnings: r.Warnings, Peak: r.Peak,
	}
	for _, a := range r.Artefacts {
		kept.Artefacts = append(kept.Artefacts, keptArtefact{a.From, a.To, string(a.Kind)})
	}
	for i := range r.Blocks {
		kept.Blocks = append(kept.Blocks, keepBlock(&r.Blocks[i]))
	}
	text, err := json.Marshal(kept)
	return string(text), err
}

func keepBlock(b *trace.Block) keptBlock {
	kept := keptBlock{
		Run: b.Kind == pathway.Run, Planned: b.Planned, Start: b.Start, End: b.End, Valid: b.Valid,
		Settle: b.Settle, Drop: b.Drop, State: string(b.State), Reason: string(b.Reason),
	}
	if ease := [3]int{b.Easy, b.EasyLow, b.EasyHigh}; ease != [3]int{} {
		kept.Ease = &ease
	}
	if hard := [4]int{b.HardValid, b.Hard, b.HardLow, b.HardHigh}; hard != [4]int{} {
		kept.Hard = &hard
	}
	return kept
}

// reading reads what readingText wrote.
func (c *cells) reading() trace.Reading {
	var kept keptReading
	if json.Unmarshal(c.next(), &kept) != nil {
		c.fail()
		return trace.Reading{}
	}
	r := trace.Reading{
		Seconds: kept.Seconds, Samples: kept.Samples, Coverage: kept.Coverage, Offset: kept.Offset, By: trace.Alignment(kept.By),
		Lag: kept.Lag, Warnings: kept.Warnings, Peak: kept.Peak,
	}
	for _, a := range kept.Artefacts {
		r.Artefacts = append(r.Artefacts, trace.Artefact{From: a.From, To: a.To, Kind: trace.ArtefactKind(a.Kind)})
	}
	for i := range kept.Blocks {
		r.Blocks = append(r.Blocks, kept.Blocks[i].block())
	}
	return r
}

func (k *keptBlock) block() trace.Block {
	b := trace.Block{
		Planned: k.Planned, Start: k.Start, End: k.End, Valid: k.Valid, Settle: k.Settle, Drop: k.Drop,
		State: trace.State(k.State), Reason: trace.Reason(k.Reason),
	}
	if k.Run {
		b.Kind = pathway.Run
	}
	if k.Ease != nil {
		b.Easy, b.EasyLow, b.EasyHigh = k.Ease[0], k.Ease[1], k.Ease[2]
	}
	if k.Hard != nil {
		b.HardValid, b.Hard, b.HardLow, b.HardHigh = k.Hard[0], k.Hard[1], k.Hard[2], k.Hard[3]
	}
	return b
}
