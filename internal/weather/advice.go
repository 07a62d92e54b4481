package weather

// Level is what changes today, from nothing to no running here and now.
type Level int

// The levels, each more careful than the one before.
const (
	None     Level = iota // as planned
	Slower                // the same session, slower
	Shorter               // shorter, or at a cooler hour
	NotToday              // not in this weather
)

// String is the level in a few words.
func (l Level) String() string {
	return [...]string{"as planned", "slower", "shorter or earlier", "not today"}[l]
}

// Cold is what cold asks for.
type Cold int

// The steps of cold, each holding what the one before asks for. The first two are
// common practice; where deep cold begins is ours.
const (
	NoCold  Cold = iota
	Cool         // under 10 °C: clothes
	Icy          // under 0 °C: ice on the ground
	Deep         // under −10 °C: slower, and face and hands covered
	TooCold      // under −20 °C: not outside
)

// Reason is one thing that the level rests on.
type Reason int

// The reasons, in the order in which they are given.
const (
	BeyondFormula Reason = iota // hotter or damper than the formulas were made for; stands alone
	FeelsHotter                 // the heat index is in one of its bands
	FullSun                     // the sun comes on top of the heat index
	MoistHeat                   // the wet-bulb globe estimate is Moderate or more
	OneLower                    // one category lower, as for beginners
	StayOut                     // High, at which whoever is at risk is asked to stay out
	InShade                     // the estimate was made for sun, so that less of it counts
	DryAir                      // under 40 %, where the heat index fits less well
	DeepCold                    // the cold itself
)

// Advice is what the weather means for one person's session.
type Advice struct {
	Air       Air
	HeatIndex float64  // °F, in the shade; not to be shown under Caution or BeyondFormula
	Globe     float64  // wet-bulb globe temperature, °C, estimated for sun or shade; likewise BeyondFormula
	Level     Level    // what changes
	Hot       bool     // pulse says nothing about effort today: what the engine calls hot
	Cold      Cold     // what to wear and to look out for
	Reasons   []Reason // why; empty where heat and deep cold play no part
}

// hotGlobe is the wet-bulb globe temperature in °C from which pulse says nothing
// about effort, as from a heat index of ExtremeCaution on (rule 4.4 for the index;
// our own judgement, no trial: in heat the heart commonly beats 5–15 a minute more).
const hotGlobe = 23

// Assess says what changes for the person in this air. Weather that Check refuses
// is an error of kind Invalid; there is no advice about it.
//
// Heat is judged twice and the more careful word holds: by the heat index, which
// was made for shade, and by the wet-bulb globe estimate, which was made for sun.
// The levels that bands and categories lead to are ours, for half an hour of easy
// running with walks, except that nobody at risk runs at High and nobody at all at
// Extreme (American College of Sports Medicine, for runs in public, found).
func Assess(a Air, p Person) (Advice, error) {
	if err := a.Check(); err != nil {
		return Advice{}, err
	}
	fahrenheit, humidity := Fahrenheit(a.celsius()), float64(a.Humidity)
	ad := Advice{Air: a, HeatIndex: HeatIndex(fahrenheit, humidity), Globe: a.globe(), Cold: coldOf(a.Tenths)}
	ad.Hot = ad.HeatIndex >= ExtremeCaution || ad.Globe >= hotGlobe
	out := beyond(fahrenheit, ad.HeatIndex)
	ad.Level = max(byIndex(ad.HeatIndex, a.Shade, p.careful()), byGlobe(ad.category(), p), byCold(ad.Cold))
	if out {
		ad.Level = NotToday
	}
	ad.Reasons = ad.reasons(out, p)
	return ad, nil
}

// category is that of the estimate.
func (ad *Advice) category() Category { return CategoryOf(Fahrenheit(ad.Globe)) }

// byIndex is the level of a heat index: in full sun all that sun may add is added,
// and who is careful goes by the next band.
func byIndex(index float64, shade, careful bool) Level {
	if index < Caution {
		return None
	}
	if !shade {
		index += sunAdds
	}
	level := Slower
	switch {
	case index >= Danger:
		level = NotToday
	case index >= ExtremeCaution:
		level = Shorter
	}
	if careful {
		level = min(level+1, NotToday)
	}
	return level
}

// byGlobe is the level of a category. Who is careful goes by the next higher (from
// memory), with one exception that is ours: a beginner who is well and free to walk is
// not kept from half an hour at High, which an ordinary warm morning is, but sent out
// earlier, into the shade, or for half of it. Advice that forbids such mornings is soon
// not read any more, and then not on the day on which it counts. Who is at risk stays
// out at High; that was found.
func byGlobe(c Category, p Person) Level {
	switch {
	case c == Extreme, c == High && p.AtRisk:
		return NotToday
	case c == High && p.careful():
		return Shorter
	case c == High, c == Moderate && p.careful():
		return Slower
	}
	return None
}

// coldOf is the step of cold of a temperature in tenths of °C.
func coldOf(tenths int) Cold {
	switch {
	case tenths < -200:
		return TooCold
	case tenths < -100:
		return Deep
	case tenths < 0:
		return Icy
	case tenths < mildTenths:
		return Cool
	}
	return NoCold
}

// byCold is the level of a step of cold (ours).
func byCold(c Cold) Level {
	switch c {
	case TooCold:
		return NotToday
	case Deep:
		return Slower
	}
	return None
}

// reasons are what the advice rests on, in their order.
func (ad *Advice) reasons(out bool, p Person) []Reason {
	if out {
		return []Reason{BeyondFormula} // figures would be made up
	}
	index, moist := ad.HeatIndex >= Caution, ad.category() >= Moderate
	var all []Reason
	for reason, holds := range [...]bool{
		FeelsHotter: index,
		FullSun:     index && !ad.Air.Shade,
		MoistHeat:   moist,
		OneLower:    p.careful() && (index || moist),
		StayOut:     p.AtRisk && ad.category() == High,
		InShade:     moist && ad.Air.Shade,
		DryAir:      index && ad.Air.Humidity < 40,
		DeepCold:    ad.Cold >= Deep,
	} {
		if holds {
			all = append(all, Reason(reason))
		}
	}
	return all
}
