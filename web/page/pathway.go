package page

import "halfhour.app/halfhour/web/part"

// Pathway is the phases as strips one under the other.
type Pathway struct {
	Exercises string // address of the exercises for strength; empty: none
	Desk      part.Desk
	Name      string
	Ladders   []Ladder  // versions that somebody stands on, the newest first
	Routine   part.Link // to what is done before and after; zero: not for deputies
}

// Ladder is one version of the pathway.
type Ladder struct {
	Title  string // "Version 2, 3 athletes"; empty where there is only one
	Stages []Stage
}

// Stage is the phases of one stage.
type Stage struct {
	Name   string // "Walk-led"
	Phases []Phase
}

// Phase is one rung.
type Phase struct {
	ID    string // "L3"
	Plan  string // in words
	Strip part.Strip
	Run   string // "12 min"
	Rise  string // "3 min more"; empty on the first
	Half  string // the half step before it in words; empty: none
	Here  string // "4 here, 1 on the half step"; empty: nobody
}

// label names the version for whoever cannot see where it stands.
func (l Ladder) label(pathway string) string {
	if l.Title != "" {
		return pathway + ", " + l.Title
	}
	return pathway
}
