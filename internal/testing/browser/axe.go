package browser

import (
	_ "embed"
	"fmt"
	"strings"

	"github.com/chromedp/chromedp"
)

// Version, licence (MPL-2.0, beside the file) and sum of what is embedded below.
const (
	AxeVersion = "4.14.1"
	AxeSum     = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c" // SHA-256
)

// axe finds what people with other senses and hands would stumble over. It is
// axe-core's own axe.min.js, unchanged.
//
//go:embed axe/axe.min.js
var axe string

// Barrier is one thing that axe found.
type Barrier struct {
	ID     string `json:"id"`
	Impact string `json:"impact"` // minor, moderate, serious or critical
	Help   string `json:"help"`
	Nodes  []struct {
		Target         []any  `json:"target"`
		HTML           string `json:"html"`
		FailureSummary string `json:"failureSummary"`
	} `json:"nodes"`
}

// Serious says whether somebody may not get on at all.
func (b Barrier) Serious() bool { return b.Impact == "serious" || b.Impact == "critical" }

// String tells what was found where.
func (b Barrier) String() string {
	var s strings.Builder
	fmt.Fprintf(&s, "%s (%s): %s", b.ID, b.Impact, b.Help)
	for i, n := range b.Nodes {
		if i == 4 {
			fmt.Fprintf(&s, "\n  and %d more", len(b.Nodes)-i)
			break
		}
		fmt.Fprintf(&s, "\n  %v %s\n    %s", n.Target, n.HTML, strings.ReplaceAll(n.FailureSummary, "\n", "\n    "))
	}
	return s.String()
}

// Axe asks axe-core about the page that is open and gives all that it found; with
// names of rules, what those found alone.
func (b *Tab) Axe(rules ...string) []Barrier {
	b.t.Helper()
	if !Eval[bool](b, "typeof axe !== 'undefined'") {
		b.do(chromedp.Evaluate[chromedp.Void](axe))
	}
	only := ""
	if len(rules) > 0 {
		only = fmt.Sprintf("runOnly: ['%s'], ", strings.Join(rules, "', '"))
	}
	return Eval[[]Barrier](b, "(work => window.testClock ? testClock.free(work) : work())(() => axe.run({"+only+"resultTypes: ['violations']}).then(r => r.violations))")
}
