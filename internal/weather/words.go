package weather

import (
	"fmt"
	"slices"
)

// Heat says whether heat plays any part, so that what to drink and the signs of
// too much heat belong on the page. It may while nothing changes yet.
func (ad *Advice) Heat() bool {
	return slices.ContainsFunc(ad.Reasons, func(r Reason) bool { return r != DeepCold })
}

// Why says what the level rests on, one sentence a reason, as people read it.
func (ad *Advice) Why() []string {
	var all []string
	for _, r := range ad.Reasons {
		all = append(all, ad.why(r))
	}
	return all
}

func (ad *Advice) why(r Reason) string {
	switch r {
	case BeyondFormula:
		return "It is hotter or damper than the formulas were made for. Take it as worse than any figure here says."
	case FeelsHotter:
		return fmt.Sprintf("With this humidity the air feels like %.0f °C in the shade.", Celsius(ad.HeatIndex))
	case FullSun:
		return "Full sun can make it feel up to eight degrees hotter still."
	case MoistHeat:
		parts := "Air, damp and sun"
		if ad.Air.Shade {
			parts = "Air and damp"
		}
		return fmt.Sprintf("%s together come to about %.0f °C on the wet-bulb globe scale, by which public runs are judged. Without the instrument that is an estimate.", parts, ad.Globe)
	case OneLower:
		return "This is one step more careful than for people who have long been running and are used to heat: for beginners, for who is heavy, pregnant or takes medicine, and for anybody in the first hot week or two."
	case StayOut:
		return "In so much heat, people who are heavy, pregnant, on medicine or lately ill are asked to stay out of public runs. The same is said here where nobody has asked about that."
	case InShade:
		return "That is for a way in the shade. Where it leaves the shade, sun makes it about three degrees more."
	case DryAir:
		return "In dry air sweat is gone before you see it, and the figures are less exact."
	default:
		return "In cold like this, breath and skin need care, and more in wind."
	}
}

// Today says what to do about it: heat first, then cold; empty where all is as
// planned and it is not cold.
func (ad *Advice) Today() []string { return append(ad.heatToday(), ad.coldToday()...) }

func (ad *Advice) heatToday() []string {
	if !ad.Heat() {
		return nil
	}
	var all []string
	switch ad.Level {
	case NotToday:
		all = append(all, "No running in this heat. Wait for a cooler hour, such as early in the morning, or for shade, and look again; or leave it for today. Nothing is lost by that.")
	case Shorter:
		all = append(all, "Go early in the morning or find shade. If it has to be now, do half of it, slower than usual, and walk as soon as talking gets hard.")
	case Slower:
		all = append(all, "Go slower than usual, walk as soon as talking gets hard, and take the walks as long as you like.")
	case None:
		all = append(all, "As planned. It is warm enough to begin gently and to take something to drink before.")
	}
	if ad.Hot && ad.Level != NotToday {
		all = append(all, "In heat the heart beats faster for the same work, so go by breath and talking. The pulse of today is not judged.")
	}
	return all
}

func (ad *Advice) coldToday() []string {
	var all []string
	if ad.Cold == TooCold {
		return append(all, "Not outside today: under −20 °C bare skin can freeze quickly in wind. Indoors is fine.")
	}
	if ad.Cold == Deep {
		all = append(all, "Go slowly, with a cloth before mouth and nose, and cover nose, ears and fingers. With asthma, a heart condition or fingers that turn white, ask your doctor before you run in such cold.")
	}
	if ad.Cold >= Cool {
		all = append(all, "Wear a few thin layers and something for ears and hands, walk a little longer before the first run, and put on dry clothes at once afterwards.")
	}
	switch {
	case ad.Cold >= Icy:
		all = append(all, "Look out for ice: run where the ground is cleared or rough, walk where it shines, and turn back rather than fall.")
	case ad.Cold == Cool && ad.Air.Tenths < frostTenths:
		all = append(all, "After a clear night there may be ice on the ground although the air is above zero.")
	}
	return all
}

// frostTenths is the temperature of the air in tenths of °C under which the ground
// may be frozen (common practice on roads).
const frostTenths = 40

// Drinking is what to drink and about salt, the same for everybody (common
// practice).
func Drinking() []string {
	return []string{
		"Drink when you are thirsty, before and after. Half an hour needs nothing on the way unless you want it.",
		"After long or heavy sweating eat something salty with what you drink.",
		"Don't drink more than thirst asks for: far too much water is dangerous too.",
		"If a doctor has told you to limit what you drink, or salt, keep to that, and ask what to do in heat.",
	}
}

// Signs is when to stop in heat and what to do then (common practice).
func Signs() []string {
	return []string{
		"Stop at once if you feel dizzy, sick, weak or shivery, or get a headache or cramps. Sit in the shade, loosen your clothes, put water on your skin, and sip something cool.",
		"Somebody who is confused, staggers, faints, or is hot and no longer sweats is in danger: call the local emergency number, and cool them with all the water there is until help comes.",
		"Somebody who does not feel right again within half an hour needs a doctor the same day.",
	}
}

// NoAdvice is said wherever weather is judged.
const NoAdvice = "These are estimates for the place where it was measured; the way may be hotter. Halfhour gives no medical advice: what your doctor says comes first, and how you feel comes before any figure."
