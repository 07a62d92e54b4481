package document

import (
	"encoding/json"
	"io"
	"math"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
)

// Verdict is the verdict document. Figures are rounded half up; null is "not
// told".
type Verdict struct {
	Action     string           `json:"action"`
	ToPhase    *string          `json:"to_phase"`
	Blocks     []Block          `json:"blocks"`
	Gate       string           `json:"gate"`
	Conditions []Condition      `json:"conditions"`
	Flags      []string         `json:"flags"`
	Stalling   *string          `json:"stalling_cause"`
	Load       Load             `json:"load"`
	Arrival    *Arrival         `json:"arrival"`
	Rules      []readiness.Rule `json:"rules"`
	Sentence   string           `json:"sentence"`
}

// Block is one planned run or walk.
type Block struct {
	Kind    string `json:"kind"`
	Planned int    `json:"planned_s"`
}

// Condition is one condition of the gate.
type Condition struct {
	Name  string `json:"name"`
	State string `json:"state"`
	Asked string `json:"asked"`
	Seen  string `json:"seen"`
}

// Load holds the numbers of rule 8: AU, minutes, and ratios to two places.
type Load struct {
	State         string   `json:"state"`
	Week          int      `json:"week"`
	Reference     *int     `json:"reference"`
	RunMinutes    int      `json:"run_minutes"`
	RunReference  *int     `json:"run_reference"`
	Filled        int      `json:"filled"`
	Why           *string  `json:"why"`
	Ratio         *float64 `json:"ratio"`
	RatioWeighted *float64 `json:"ratio_weighted"`
	Monotony      *float64 `json:"monotony"`
	Strain        *int     `json:"strain"`
}

// Arrival is when thirty minutes may come.
type Arrival struct {
	Early  string `json:"early"`
	Median string `json:"median"`
	Late   string `json:"late"`
}

// Of lays a verdict out as a document.
func Of(v *readiness.Verdict, f readiness.Forecast) Verdict {
	d := Verdict{
		Action: v.Action.String(), ToPhase: told(v.To), Blocks: Blocks(v.Blocks), Gate: v.Gate.String(),
		Flags: v.Flags.Names(), Stalling: told(v.Stalling.String()), Load: loadOf(&v.Load),
		Rules: v.Rules, Sentence: v.Sentence(),
	}
	for _, c := range v.Evidence() {
		d.Conditions = append(d.Conditions, Condition{c.Name.String(), c.State.String(), c.Asked, c.Seen})
	}
	if f != (readiness.Forecast{}) {
		d.Arrival = &Arrival{f.Early.String(), f.Median.String(), f.Late.String()}
	}
	return d
}

// Blocks lays out a plan; no plan is an empty list.
func Blocks(plan []pathway.Block) []Block {
	blocks := make([]Block, len(plan))
	for i, b := range plan {
		blocks[i] = Block{b.Kind.String(), b.Planned}
	}
	return blocks
}

// Write writes the verdict document, indented and with a line end.
func Write(w io.Writer, v *readiness.Verdict, f readiness.Forecast) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(Of(v, f))
}

func loadOf(l *readiness.LoadReport) Load {
	d := Load{
		State: "known", Week: round(l.Week), RunMinutes: round(l.RunMinutes), Filled: l.Filled, Why: told(l.Why.String()),
		Ratio: places(l.Ratio, l.RatioKnown), RatioWeighted: places(l.RatioWeighted, l.WeightedKnown),
		Monotony: places(l.Monotony, l.MonotonyKnown),
	}
	if l.Learning {
		d.State = "learning"
	} else {
		d.Reference, d.RunReference = whole(l.Reference), whole(l.RunReference)
	}
	if l.MonotonyKnown {
		d.Strain = whole(l.Strain)
	}
	return d
}

func told(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// round rounds half up.
func round(x float64) int { return int(math.Floor(x + 0.5)) }

func whole(x float64) *int {
	n := round(x)
	return &n
}

// places rounds half up to two places.
func places(x float64, known bool) *float64 {
	if !known {
		return nil
	}
	r := math.Floor(x*100+0.5) / 100
	return &r
}
