package httpd

import (
	"slices"
	"strings"

	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/strength"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
)

// gearWords are the things as people say them.
var gearWords = map[strength.Gear]string{
	strength.Dumbbells: "Dumbbells", strength.Band: "A band", strength.Bench: "A bench", strength.Step: "A step or stair",
}

// gearPicks are the things to tick.
func gearPicks(on []string) []page.Picked {
	var all []page.Picked
	for _, g := range (strength.Dumbbells | strength.Band | strength.Bench | strength.Step).Things() {
		all = append(all, page.Picked{Value: g.String(), Words: gearWords[g], On: slices.Contains(on, g.String())})
	}
	return all
}

// fillKit fills in what there is.
func (f *form) fillKit(k *roster.Kit) {
	for _, g := range k.Has.Things() {
		f.fill("has", g.String())
	}
	var weights []string
	for _, grams := range k.Rack.List {
		weights = append(weights, kilograms(grams))
	}
	f.fill("weights", strings.Join(weights, " "))
	if len(weights) == 0 && k.Rack.Step > 0 {
		f.fill("least", kilograms(k.Rack.Least), "most", kilograms(k.Rack.Most), "step", kilograms(k.Rack.Step))
	}
}

// kit reads what there is.
func (f *form) kit() roster.Kit {
	var k roster.Kit
	k.Has = f.gear("has")
	for _, typed := range strings.FieldsFunc(f.values.Get("weights"), func(r rune) bool { return strings.ContainsRune(" ;\t\n\r", r) }) {
		one := &form{values: map[string][]string{"kg": {typed}}}
		k.Rack.List = append(k.Rack.List, one.grams("kg"))
		if len(one.faults) > 0 {
			f.wrong("weights", "weights in kilograms with blanks between, like 2 4 7.5, please")
			return k
		}
	}
	k.Rack.Least, k.Rack.Most, k.Rack.Step = f.grams("least"), f.grams("most"), f.grams("step")
	return k
}

// gear reads things that were ticked.
func (f *form) gear(name string) strength.Gear {
	var all strength.Gear
	for _, typed := range f.all(name) {
		thing, known := strength.ParseGear(typed)
		if all |= thing; !known {
			f.wrong(name, "please choose from the list")
		}
	}
	return all
}

// kitField is the form's field for a place of the rack.
func kitField(place string) string {
	what, inRack := strings.CutPrefix(place, "rack.")
	if inRack && what == "list" {
		return "weights"
	}
	return what
}

// kitWords say what there is: "Dumbbells of 2, 4 and 7.5 kg, a band."
func kitWords(k *roster.Kit) string {
	if k.Has == 0 {
		return "Nothing: floor, wall and chair."
	}
	var things []string
	for _, g := range k.Has.Things() {
		words := strings.ToLower(gearWords[g])
		if g == strength.Dumbbells {
			words += rackWords(&k.Rack)
		}
		things = append(things, words)
	}
	words := wording.Capital(strings.Join(things, ", ")) + "."
	if k.At.IsZero() {
		words += " Not told yet, so this is taken for granted."
	}
	return words
}

func rackWords(r *strength.Rack) string {
	if len(r.List) == 0 {
		return " from " + kilograms(r.Least) + " to " + strength.Kilograms(r.Most) + " in steps of " + strength.Kilograms(r.Step)
	}
	var weights []string
	for _, grams := range r.Weights() {
		weights = append(weights, kilograms(grams))
	}
	return " of " + strings.Join(weights, ", ") + " kg"
}
