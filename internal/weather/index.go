package weather

import "math"

// Fahrenheit is the temperature in °F of one in °C. The limits of heat were set
// in °F, and copies in °C are rounded differently, so °F is what is compared.
func Fahrenheit(celsius float64) float64 { return celsius*9/5 + 32 }

// Celsius is the temperature in °C of one in °F.
func Celsius(fahrenheit float64) float64 { return (fahrenheit - 32) * 5 / 9 }

// The bands of the heat index in °F, each from its limit on, for shade and a light
// wind (US National Weather Service, found in copies). From 125 on it speaks of
// extreme danger, which changes nothing more here.
const (
	Caution        = 80
	ExtremeCaution = 90
	Danger         = 103
)

// sunAdds is what full sun adds to the heat index at most, in °F (US National
// Weather Service, found in copies). All of it is taken: that is the careful side.
const sunAdds = 15

// HeatIndex is how hot air feels in the shade with a light wind, in °F, from °F
// and relative humidity in percent: the regression of Rothfusz (US National Weather
// Service, SR 90-23, 1990) with the adjustments of the Weather Prediction Center
// (wpc.ncep.noaa.gov, heat index equation, found). Where the simple formula,
// averaged with the temperature, stays under 80, that is the index. It is within
// about 1.3 °F of the table it was fitted to (found in a copy), best from 80 °F
// and 40 % on, and is not made for air over 112 °F.
func HeatIndex(fahrenheit, humidity float64) float64 {
	simple := 0.5 * (fahrenheit + 61 + (fahrenheit-68)*1.2 + humidity*0.094)
	if mean := (simple + fahrenheit) / 2; mean < Caution {
		return mean
	}
	return regression(fahrenheit, humidity) + adjustment(fahrenheit, humidity)
}

// regression is the polynomial alone, which the printed chart shows.
func regression(t, r float64) float64 {
	return -42.379 + 2.04901523*t + 10.14333127*r - 0.22475541*t*r -
		0.00683783*t*t - 0.05481717*r*r + 0.00122874*t*t*r + 0.00085282*t*r*r - 0.00000199*t*t*r*r
}

// adjustment is what is added to the regression in very dry and in very moist air.
func adjustment(t, r float64) float64 {
	switch {
	case r < 13 && t >= 80 && t <= hottest:
		return -(13 - r) / 4 * math.Sqrt((17-math.Abs(t-95))/17)
	case r > 85 && t >= 80 && t <= 87:
		return (r - 85) / 10 * (87 - t) / 5
	}
	return 0
}

// The end of what the index was made for: the highest temperature that its
// adjustments speak of, and the highest value of its chart, both in °F (found).
const (
	hottest = 112
	highest = 137
)

// beyond says whether the air lies outside what the formula was made for, on the
// hot side.
func beyond(fahrenheit, index float64) bool { return fahrenheit > hottest || index > highest }
