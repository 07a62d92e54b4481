package pathway

import (
	"fmt"
	"strings"

	"halfhour.app/halfhour/internal/fault"
)

// LongestBlock is the longest a block may be planned, in seconds.
const LongestBlock = 7200

// Check finds what is wrong with an edited pathway; places are paths such as
// phases[2].blocks[0].planned_s. Nothing wrong is nil.
func (p *Pathway) Check() []fault.Field {
	if len(p.Phases) == 0 {
		return []fault.Field{{Place: "phases", Message: "a pathway needs at least one phase"}}
	}
	var faults []fault.Field
	seen := map[string]bool{}
	for i, phase := range p.Phases {
		place := fmt.Sprintf("phases[%d]", i)
		if m := checkID(phase.ID, seen); m != "" {
			faults = append(faults, fault.Field{Place: place + ".id", Message: m})
		}
		seen[phase.ID] = true
		if len(phase.Blocks) == 0 {
			faults = append(faults, fault.Field{Place: place + ".blocks", Message: "a phase needs at least one block"})
		}
		faults = append(faults, checkBlocks(place+".blocks", phase.Blocks)...)
		faults = append(faults, checkBlocks(place+".half", phase.Half)...)
	}
	return faults
}

func checkID(id string, seen map[string]bool) string {
	switch {
	case id == "":
		return "is missing"
	case strings.HasSuffix(id, halfMark):
		return "must not end in a minus: that names half steps"
	case seen[id]:
		return "is there twice"
	}
	return ""
}

func checkBlocks(place string, blocks []Block) []fault.Field {
	var faults []fault.Field
	for i, b := range blocks {
		if b.Planned < 1 || b.Planned > LongestBlock {
			faults = append(faults, fault.Field{
				Place:   fmt.Sprintf("%s[%d].planned_s", place, i),
				Message: fmt.Sprintf("must be 1 to %d, not %d", LongestBlock, b.Planned),
			})
		}
	}
	return faults
}
