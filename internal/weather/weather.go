// Package weather says what heat and cold change about a session: from the
// temperature and the humidity that somebody typed to a heat index, an estimate
// of the wet-bulb globe temperature, and what is better done otherwise today.
// Formulas and limits carry their sources; where none is named it is common
// practice, or ours and said to be.
package weather

import (
	"fmt"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/fault"
)

// What can be typed: temperatures in tenths of a degree Celsius, humidity in
// percent. Beyond it somebody mistyped, or nobody asks about running.
const (
	Lowest  = -400
	Highest = 500
	Driest  = 1
	Wettest = 100
)

// mildTenths is the temperature in tenths of °C below which moisture changes
// nothing here, so that nobody is asked for it: heat index and wet-bulb globe
// estimate lie far under their lowest limits whatever the humidity (a test).
const mildTenths = 100

// Air is the weather where somebody runs, as it was typed. The zero value is not
// weather: it is 0 °C in the sun with the humidity not given.
type Air struct {
	Tenths   int  // temperature measured in the shade, tenths of °C
	Humidity int  // relative, percent; 0 is not given, which only air under 10 °C may leave
	Shade    bool // shade, cloud or dark all the way; false is sun, the more careful guess
}

func (a Air) celsius() float64 { return float64(a.Tenths) / 10 }

// Person is what makes heat harder for somebody. The zero value is a beginner who is
// well.
type Person struct {
	Experienced bool // has been running for months
	UsedToHeat  bool // has trained in heat like this for a week or two (7–14 days: from memory)
	AtRisk      bool // heavy, on medicine, pregnant, lately ill, or told so by a doctor
}

// careful says whether the person goes by one category lower than people do who
// are experienced and used to heat (American College of Sports Medicine on heat,
// from memory: beginners, not used to heat, heavy, on medicine).
func (p Person) careful() bool { return !p.Experienced || !p.UsedToHeat || p.AtRisk }

// Read makes weather of what was typed: temperature in degrees Celsius with at
// most one decimal ("24", "24.5", "24,5 °C", "−3"), humidity in whole percent
// ("60", "60 %"), which may be left empty under 10 °C. What cannot be taken is
// an error of kind Invalid with faults at "temperature" and "humidity".
func Read(temperature, humidity string, shade bool) (Air, error) {
	a := Air{Shade: shade}
	var faults []fault.Field
	tenths, wrong := readTenths(temperature)
	if wrong != "" {
		faults = append(faults, fault.Field{Place: "temperature", Message: wrong})
	}
	a.Tenths = tenths
	typed := bare(humidity, "%")
	mild := wrong == "" && tenths < mildTenths
	if typed == "" && mild {
		return a, nil
	}
	a.Humidity, wrong = readPercent(typed)
	if wrong != "" {
		faults = append(faults, fault.Field{Place: "humidity", Message: wrong})
	}
	if len(faults) > 0 {
		return Air{}, fault.At(faults...)
	}
	return a, nil
}

// Check says what is wrong with weather that comes from elsewhere than Read, at
// the same places; nil when nothing is.
func (a Air) Check() error {
	var faults []fault.Field
	if a.Tenths < Lowest || a.Tenths > Highest {
		faults = append(faults, fault.Field{Place: "temperature", Message: outOfRange})
	}
	given := a.Humidity != 0 || a.Tenths >= mildTenths
	if given && (a.Humidity < Driest || a.Humidity > Wettest) {
		faults = append(faults, fault.Field{Place: "humidity", Message: noPercent})
	}
	return fault.At(faults...)
}

// What is said at the fields.
const (
	noDegrees  = "please give the temperature in degrees Celsius, like 24 or 24.5"
	outOfRange = "please give degrees Celsius from −40 to 50"
	noPercent  = "please give the humidity in whole percent, from 1 to 100; a weather report has it beside the temperature"
)

// bare is what was typed without blanks, the unit, and signs that look like others.
func bare(typed string, units ...string) string {
	s := strings.ToUpper(strings.TrimSpace(typed))
	for _, unit := range units {
		s = strings.TrimSpace(strings.TrimSuffix(s, unit))
	}
	return strings.NewReplacer("−", "-", "–", "-", ",", ".").Replace(s)
}

// readTenths reads degrees with at most one decimal, and says what is wrong.
func readTenths(typed string) (tenths int, wrong string) {
	whole, decimal, has := strings.Cut(bare(typed, "C", "°"), ".")
	if has && (len(decimal) != 1 || decimal < "0" || decimal > "9") {
		return 0, noDegrees
	}
	tenths, err := strconv.Atoi(whole + decimal)
	if err != nil || strings.Trim(whole, "+-") == "" {
		return 0, noDegrees
	}
	if !has {
		if len(whole) > len("-999") { // so that ten times it is still a number
			return 0, outOfRange
		}
		tenths *= 10
	}
	switch {
	case tenths > Highest && tenths <= 1300:
		celsius := Celsius(float64(tenths) / 10)
		return 0, fmt.Sprintf("%s; if you read degrees Fahrenheit, that is %.0f °C", outOfRange, celsius)
	case tenths < Lowest || tenths > Highest:
		return 0, outOfRange
	}
	return tenths, ""
}

// readPercent reads whole percent, and says what is wrong.
func readPercent(typed string) (percent int, wrong string) {
	percent, err := strconv.Atoi(typed)
	if err != nil || percent < Driest || percent > Wettest {
		return 0, noPercent
	}
	return percent, ""
}
