// Package body names the places of a body that training loads and that can hurt,
// and what else an exercise must heed: pregnancy and the time after a birth.
package body

import (
	"slices"
	"strings"
)

// Site is a set of places of the body; left and right are the same place here.
type Site uint16

// The places. An exercise may load several, so they are bits.
const (
	Foot Site = 1 << iota
	Ankle
	Achilles
	Calf
	Shin
	Knee
	Thigh
	Hip
	Back
	Shoulder
	Elbow
	Wrist
	Neck
	nSites = iota
)

// siteNames are the places in the order of their bits.
var siteNames = [nSites]string{
	"foot", "ankle", "Achilles", "calf", "shin", "knee", "thigh", "hip", "back", "shoulder", "elbow", "wrist", "neck",
}

// Sites are all places, from the ground up.
func Sites() []Site {
	all := make([]Site, nSites)
	for i := range all {
		all[i] = 1 << i
	}
	return all
}

// Each are the single places of the set, from the ground up; none is nil.
func (s Site) Each() []Site {
	var each []Site
	for _, one := range Sites() {
		if s&one != 0 {
			each = append(each, one)
		}
	}
	return each
}

// String names the places: "knee and hip", "knee, hip and back"; empty for none.
func (s Site) String() string {
	var names []string
	for i, name := range siteNames {
		if s&(1<<i) != 0 {
			names = append(names, name)
		}
	}
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// ParseSite reads the name of one place as String writes it; false where there is
// no such place.
func ParseSite(name string) (Site, bool) {
	i := slices.Index(siteNames[:], name)
	if i < 0 {
		return 0, false
	}
	return 1 << i, true
}

// said is what people call the places, in small letters and by the beginning of a
// word: "knee" is also found in "kneecap" and "knees".
var said = []struct {
	begins string
	site   Site
}{
	{"foot", Foot}, {"feet", Foot}, {"heel", Foot}, {"toe", Foot}, {"sole", Foot}, {"arch", Foot}, {"plantar", Foot},
	{"ankle", Ankle}, {"achilles", Achilles}, {"calf", Calf}, {"calves", Calf}, {"shin", Shin}, {"tibia", Shin},
	{"knee", Knee}, {"patell", Knee}, {"thigh", Thigh}, {"hamstring", Thigh}, {"quad", Thigh},
	{"hip", Hip}, {"groin", Hip}, {"buttock", Hip}, {"glute", Hip}, {"pelvi", Hip},
	{"back", Back}, {"spine", Back}, {"lumbar", Back}, {"sacr", Back},
	{"shoulder", Shoulder}, {"elbow", Elbow}, {"forearm", Elbow}, {"wrist", Wrist}, {"hand", Wrist}, {"thumb", Wrist}, {"finger", Wrist},
	{"neck", Neck},
}

// SiteOf finds the places that the words of a person name: "left shin" is the
// shin, "outer side of right knee" the knee. Several words may name several. Zero:
// none was recognised, and somebody has to read it.
func SiteOf(words string) Site {
	var found Site
	for _, word := range strings.FieldsFunc(strings.ToLower(words), notLetter) {
		for _, s := range said {
			if strings.HasPrefix(word, s.begins) {
				found |= s.site
			}
		}
	}
	return found
}

func notLetter(r rune) bool { return r < 'a' || r > 'z' }
