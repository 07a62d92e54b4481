package weather

import "math"

// WetBulbGlobe estimates the wet-bulb globe temperature in °C without a globe, from
// °C and relative humidity in percent: 0.567·Ta + 0.393·e + 3.94 with the vapour
// pressure e in hPa. The Australian Bureau of Meteorology publishes it and takes it
// from the American College of Sports Medicine, 1984 (found in documentation that
// quotes both). It assumes rather strong sun and a light wind, and is too high under
// clouds, in wind and at night; where it was compared, an index from a weather
// station was off by more than 3 °C in 45 of 100 pairs (Cheuvront SN and others, Med
// Sci Sports Exerc 2015;47:1958–1964, found).
func WetBulbGlobe(celsius, humidity float64) float64 {
	return 0.567*celsius + 0.393*vapour(celsius, humidity) + 3.94
}

// vapour is the pressure of water vapour in hPa (the same source).
func vapour(celsius, humidity float64) float64 {
	return humidity / 100 * 6.105 * math.Exp(17.27*celsius/(237.7+celsius))
}

// shadeLess is what the estimate is lowered by in the shade, in °C (ours). With no
// sun on the globe and the wet-bulb temperature by Stull's formula the figure is
// four degrees lower or more at every temperature and humidity (a test); one degree
// of it is left for what those formulas leave out.
const shadeLess = 3

// globe is the estimate that counts for the air, in °C.
func (a Air) globe() float64 {
	estimate := WetBulbGlobe(a.celsius(), float64(a.Humidity))
	if a.Shade {
		estimate -= shadeLess
	}
	return estimate
}

// Category is how dangerous heat is for a crowd that runs.
type Category int

// The categories of the American College of Sports Medicine for runs in public
// (found in copies of its guidance), without the colours that stand for them there.
// At High it asks people at risk to stay out, at Extreme it calls the run off.
const (
	ColdRisk Category = iota // under 50 °F
	Low                      // under 65 °F
	Moderate                 // under 73 °F
	High                     // up to 82 °F
	Extreme                  // over 82 °F
)

// CategoryOf is the category of a wet-bulb globe temperature in °F. Copies put the
// upper end of Moderate at 72 or 73 °F and round to whole °C differently; these are
// the edges of the evidence notes: 65 is Moderate, 73 and 82 are High.
func CategoryOf(fahrenheit float64) Category {
	switch {
	case fahrenheit < 50:
		return ColdRisk
	case fahrenheit < 65:
		return Low
	case fahrenheit < 73:
		return Moderate
	case fahrenheit <= 82:
		return High
	}
	return Extreme
}
