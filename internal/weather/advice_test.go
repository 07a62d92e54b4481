package weather_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/weather"
)

// used is somebody who goes by the categories as they are.
var used = weather.Person{Experienced: true, UsedToHeat: true}

func advice(t testing.TB, a weather.Air, p weather.Person) *weather.Advice {
	t.Helper()
	ad, err := weather.Assess(a, p)
	require.NoError(t, err)
	return &ad
}

func TestReadTakesWhatPeopleType(t *testing.T) {
	for _, c := range []struct {
		temperature, humidity string
		tenths, percent       int
	}{
		{"24", "60", 240, 60},
		{"24.5", "60%", 245, 60},
		{" 24,5 °C ", " 60 % ", 245, 60},
		{"24.0°", "7", 240, 7},
		{"24c", "100", 240, 100},
		{"−3", "80", -30, 80},
		{"-0.5", "80", -5, 80},
		{"–12,5", "1", -125, 1},
		{"+5", "", 50, 0},
		{"9.9", "", 99, 0},
		{"-40", "", -400, 0},
		{"50", "10", 500, 10},
	} {
		a, err := weather.Read(c.temperature, c.humidity, true)
		require.NoError(t, err, c.temperature)
		require.Equal(t, weather.Air{Tenths: c.tenths, Humidity: c.percent, Shade: true}, a, c.temperature)
		require.NoError(t, a.Check())
	}
}

func TestReadRefusesNonsenseAtItsField(t *testing.T) {
	for _, c := range []struct {
		temperature, humidity string
		places                []string
		says, why             string
	}{
		{"", "60", []string{"temperature"}, "please give the temperature", "empty"},
		{"warm", "60", []string{"temperature"}, "please give the temperature", "a word"},
		{"24.55", "60", []string{"temperature"}, "like 24 or 24.5", "more than a thermometer says"},
		{"24.", "60", []string{"temperature"}, "like 24 or 24.5", "half typed"},
		{".5", "60", []string{"temperature"}, "like 24 or 24.5", "half typed"},
		{"2.x", "60", []string{"temperature"}, "like 24 or 24.5", "a slip"},
		{"-", "60", []string{"temperature"}, "like 24 or 24.5", "half typed"},
		{"--3", "60", []string{"temperature"}, "like 24 or 24.5", "a slip"},
		{"1e1", "60", []string{"temperature"}, "like 24 or 24.5", "no figure people write"},
		{"77", "60", []string{"temperature"}, "that is 25 °C", "degrees Fahrenheit"},
		{"130.1", "60", []string{"temperature"}, "from −40 to 50", "nowhere on earth in any degrees"},
		{"50.1", "60", []string{"temperature"}, "from −40 to 50", "just over"},
		{"-40.1", "60", []string{"temperature"}, "from −40 to 50", "just under"},
		{"99999999999999999999", "60", []string{"temperature"}, "please give", "no number"},
		{"9223372036854775807", "60", []string{"temperature"}, "from −40 to 50", "a number that ten times is none"},
		{"24", "", []string{"humidity"}, "from 1 to 100", "needed from 10 °C on"},
		{"10", "", []string{"humidity"}, "from 1 to 100", "needed from 10 °C on"},
		{"5", "wet", []string{"humidity"}, "from 1 to 100", "not needed, but wrong"},
		{"24", "0", []string{"humidity"}, "from 1 to 100", "air is never quite dry"},
		{"24", "101", []string{"humidity"}, "from 1 to 100", "more than all"},
		{"24", "60.5", []string{"humidity"}, "whole percent", "no instrument says it"},
		{"hot", "damp", []string{"temperature", "humidity"}, "please", "both are said at once"},
	} {
		a, err := weather.Read(c.temperature, c.humidity, false)
		require.Equal(t, fault.Invalid, fault.KindOf(err), "%s: %s", c.temperature, c.why)
		require.Zero(t, a)
		var places []string
		for _, f := range fault.FieldsOf(err) {
			places = append(places, f.Place)
			require.Contains(t, f.Message, c.says, c.why)
		}
		require.Equal(t, c.places, places, c.why)
	}
}

func TestThereIsNoAdviceAboutNonsense(t *testing.T) {
	for _, a := range []weather.Air{
		{Tenths: 501, Humidity: 50}, {Tenths: -401}, {Tenths: 240}, {Tenths: 240, Humidity: 101}, {Tenths: 50, Humidity: -1},
	} {
		ad, err := weather.Assess(a, used)
		require.Equal(t, fault.Invalid, fault.KindOf(err), a)
		require.Zero(t, ad)
	}
}

func TestCategoriesHaveTheirEdgesInFahrenheit(t *testing.T) {
	for _, c := range []struct {
		f    float64
		want weather.Category
	}{
		{49.9, weather.ColdRisk}, {50, weather.Low}, {64.9, weather.Low}, {65, weather.Moderate}, {72.9, weather.Moderate},
		{73, weather.High}, {82, weather.High}, {82.1, weather.Extreme},
	} {
		require.Equal(t, c.want, weather.CategoryOf(c.f), c.f)
	}
	for fahrenheit, celsius := range map[float64]float64{65: 18.33, 73: 22.78, 82: 27.78, 50: 10} {
		require.InDelta(t, celsius, weather.Celsius(fahrenheit), 0.005)
		require.InDelta(t, fahrenheit, weather.Fahrenheit(weather.Celsius(fahrenheit)), 1e-9)
	}
}

func TestWhatChangesToday(t *testing.T) {
	beginner, risk := weather.Person{}, weather.Person{AtRisk: true}
	for _, c := range []struct {
		tenths, humidity int
		shade            bool
		person           weather.Person
		want             weather.Level
		why              string
	}{
		{150, 60, false, beginner, weather.None, "mild"},
		{200, 50, false, beginner, weather.Slower, "estimate 19.9 °C is Moderate, for a beginner High"},
		{200, 50, true, beginner, weather.None, "in the shade it is Low"},
		{200, 50, false, used, weather.None, "Moderate changes nothing for who is used to it"},
		{240, 50, false, used, weather.Slower, "estimate 23.4 °C is High"},
		{230, 60, false, beginner, weather.Shorter, "estimate 23.6 °C is High: an ordinary warm morning, earlier or half of it"},
		{230, 60, false, risk, weather.NotToday, "at High who is at risk stays out"},
		{230, 60, true, risk, weather.Slower, "in the shade it is Moderate"},
		{220, 60, false, risk, weather.Slower, "estimate 22.6 °C is Moderate"},
		{250, 70, false, beginner, weather.Shorter, "estimate 26.8 °C, still High"},
		{250, 80, false, beginner, weather.NotToday, "estimate 28.0 °C is Extreme: nobody"},
		{240, 50, false, beginner, weather.Shorter, "at High a beginner goes early, or does half"},
		{240, 50, true, beginner, weather.Slower, "in the shade it is Moderate"},
		{270, 40, true, beginner, weather.Shorter, "index 80.3 °F is in the lowest band, for a beginner in the next"},
		{270, 40, true, used, weather.Slower, "index 80.3 °F"},
		{270, 50, true, beginner, weather.Shorter, "estimate 23.2 °C is High"},
		{270, 50, true, risk, weather.NotToday, "the same for who is at risk"},
		{270, 50, false, beginner, weather.NotToday, "index 81.8 °F, in full sun up to 97, a band higher"},
		{280, 40, false, used, weather.Shorter, "index 82 °F, in full sun up to 97"},
		{320, 40, true, used, weather.Shorter, "index 91 °F"},
		{320, 40, true, beginner, weather.NotToday, "index 91 °F, a band higher"},
		{300, 50, false, used, weather.NotToday, "estimate 29.3 °C is Extreme: nobody"},
		{350, 50, true, used, weather.NotToday, "index 105 °F"},
		{450, 5, true, used, weather.NotToday, "over 112 °F the formula says nothing"},
		{240, 50, false, weather.Person{Experienced: true}, weather.Shorter, "the first hot days"},
		{240, 50, false, weather.Person{UsedToHeat: true}, weather.Shorter, "a beginner who lives in the heat"},
		{240, 50, false, weather.Person{Experienced: true, UsedToHeat: true, AtRisk: true}, weather.NotToday, "heavy or on medicine"},
		{-100, 0, false, beginner, weather.None, "−10 °C: clothes and care"},
		{-101, 0, false, used, weather.Slower, "under −10 °C"},
		{-200, 0, true, used, weather.Slower, "−20 °C"},
		{-201, 0, true, used, weather.NotToday, "under −20 °C"},
	} {
		ad := advice(t, weather.Air{Tenths: c.tenths, Humidity: c.humidity, Shade: c.shade}, c.person)
		require.Equal(t, c.want, ad.Level, "%d tenths, %d %%: %s", c.tenths, c.humidity, c.why)
	}
}

// everyAir visits every weather that can be typed with its humidity.
func everyAir(visit func(weather.Air)) {
	for tenths := weather.Lowest; tenths <= weather.Highest; tenths++ {
		for humidity := weather.Driest; humidity <= weather.Wettest; humidity++ {
			visit(weather.Air{Tenths: tenths, Humidity: humidity})
			visit(weather.Air{Tenths: tenths, Humidity: humidity, Shade: true})
		}
	}
}

// Hotter, damper, sunnier, or less used to it: never bolder, and never less hot. No
// weather that can be typed is left out; under −10 °C warmer is easier.
func TestNothingThatMakesHeatWorseMakesAnybodyBolder(t *testing.T) {
	seen := map[weather.Level]int{}
	persons := [...]weather.Person{{AtRisk: true}, {}, used} // each at least as careful as the next
	assess := func(a weather.Air, p weather.Person) (weather.Level, bool) {
		ad := advice(t, a, p)
		return ad.Level, ad.Hot
	}
	worse := func(level weather.Level, hot bool, than weather.Level, was bool) bool {
		return level >= than && (hot || !was)
	}
	everyAir(func(a weather.Air) {
		for i, p := range persons {
			level, hot := assess(a, p)
			if p == (weather.Person{}) {
				seen[level]++
			}
			bolder, mild := assess(a, persons[min(i+1, len(persons)-1)])
			ok := worse(level, hot, bolder, mild)
			if hotter := a; a.Tenths >= -100 && a.Tenths < weather.Highest {
				hotter.Tenths++
				l, h := assess(hotter, p)
				ok = ok && worse(l, h, level, hot)
			}
			if damper := a; a.Humidity < weather.Wettest {
				damper.Humidity++
				l, h := assess(damper, p)
				ok = ok && worse(l, h, level, hot)
			}
			if sunny := a; a.Shade {
				sunny.Shade = false
				l, h := assess(sunny, p)
				ok = ok && worse(l, h, level, hot)
			}
			if !ok {
				t.Fatalf("%+v, %+v", a, p)
			}
		}
	})
	require.Len(t, seen, 4, "a beginner meets every level")
}

func TestHotForTheEngine(t *testing.T) {
	require.Equal(t, 90, weather.ExtremeCaution, "from there on heart rate says nothing (rule 4.4)")
	for _, c := range []struct {
		tenths, humidity int
		shade, want      bool
		why              string
	}{
		{231, 50, false, false, "estimate 22.7 °C"},
		{236, 50, false, true, "estimate 23.05 °C"},
		{236, 50, true, false, "in the shade three less"},
		{322, 35, true, true, "index 90 °F"},
		{300, 20, true, false, "index 83 °F, in the shade"},
	} {
		require.Equal(t, c.want, advice(t, weather.Air{Tenths: c.tenths, Humidity: c.humidity, Shade: c.shade}, used).Hot, c.why)
	}
	everyAir(func(a weather.Air) {
		if ad := advice(t, a, used); ad.HeatIndex >= weather.ExtremeCaution && !ad.Hot {
			t.Fatalf("%+v: the engine takes it for hot", a)
		}
	})
}

// Who leaves the humidity empty under 10 °C is told the same as with any.
func TestHumidityChangesNothingUnderTenDegrees(t *testing.T) {
	everyAir(func(a weather.Air) {
		if a.Tenths >= 100 {
			return
		}
		with := advice(t, a, weather.Person{})
		a.Humidity = 0
		without := advice(t, a, weather.Person{})
		if with.Level != without.Level || with.Hot || without.Hot || with.Heat() || without.Heat() {
			t.Fatalf("%+v", a)
		}
	})
}

func TestColdHasItsSteps(t *testing.T) {
	for _, c := range []struct {
		tenths int
		want   weather.Cold
		says   []string
		not    []string
	}{
		{100, weather.NoCold, nil, []string{"layers", "ice"}},
		{99, weather.Cool, []string{"thin layers"}, []string{"ice"}},
		{39, weather.Cool, []string{"thin layers", "may be ice on the ground"}, []string{"Look out for ice"}},
		{0, weather.Cool, []string{"may be ice on the ground"}, []string{"Look out for ice"}},
		{-1, weather.Icy, []string{"thin layers", "Look out for ice"}, []string{"cloth before mouth"}},
		{-100, weather.Icy, []string{"Look out for ice"}, []string{"cloth before mouth"}},
		{-101, weather.Deep, []string{"cloth before mouth", "ask your doctor", "thin layers", "Look out for ice"}, []string{"Not outside"}},
		{-201, weather.TooCold, []string{"Not outside today"}, []string{"thin layers"}},
	} {
		ad := advice(t, weather.Air{Tenths: c.tenths, Humidity: 50}, weather.Person{})
		require.Equal(t, c.want, ad.Cold, c.tenths)
		text := strings.Join(ad.Today(), " ")
		for _, s := range c.says {
			require.Contains(t, text, s, c.tenths)
		}
		for _, s := range c.not {
			require.NotContains(t, text, s, c.tenths)
		}
	}
}

func TestTheReasonsAreThoseOfTheWeather(t *testing.T) {
	for _, c := range []struct {
		air     weather.Air
		person  weather.Person
		reasons []weather.Reason
	}{
		{weather.Air{Tenths: 150, Humidity: 60}, weather.Person{}, nil},
		{weather.Air{Tenths: 200, Humidity: 50}, used, []weather.Reason{weather.MoistHeat}},
		{weather.Air{Tenths: 240, Humidity: 50, Shade: true}, weather.Person{}, []weather.Reason{weather.MoistHeat, weather.OneLower, weather.InShade}},
		{weather.Air{Tenths: 230, Humidity: 60}, weather.Person{AtRisk: true}, []weather.Reason{weather.MoistHeat, weather.OneLower, weather.StayOut}},
		{weather.Air{Tenths: 230, Humidity: 60}, weather.Person{}, []weather.Reason{weather.MoistHeat, weather.OneLower}},
		{weather.Air{Tenths: 300, Humidity: 30}, used, []weather.Reason{weather.FeelsHotter, weather.FullSun, weather.MoistHeat, weather.DryAir}},
		{weather.Air{Tenths: 450, Humidity: 60}, used, []weather.Reason{weather.BeyondFormula}},
		{weather.Air{Tenths: -150, Humidity: 60}, weather.Person{}, []weather.Reason{weather.DeepCold}},
	} {
		ad := advice(t, c.air, c.person)
		require.Equal(t, c.reasons, ad.Reasons, "%+v", c.air)
		require.Len(t, ad.Why(), len(c.reasons))
	}
	why := advice(t, weather.Air{Tenths: 300, Humidity: 70}, used).Why()
	require.Contains(t, why[0], "feels like 35 °C in the shade", "95.07 °F is 35.04 °C")
}

// Whatever the weather: a level has its reason and its words, heat that is hot is
// said to be, and nothing is said in colours or shouted.
func TestEveryWeatherHasItsWords(t *testing.T) {
	all := map[string]bool{}
	for _, p := range [...]weather.Person{{AtRisk: true}, {}, used} {
		everyAir(func(a weather.Air) {
			ad := advice(t, a, p)
			today := ad.Today()
			if ad.Level > weather.None && (len(ad.Reasons) == 0 || len(today) == 0) || ad.Hot && !ad.Heat() {
				t.Fatalf("%+v has no words", a)
			}
			for _, s := range append(today, ad.Why()...) {
				all[s] = true
			}
			if slices.Contains(ad.Reasons, weather.BeyondFormula) && strings.ContainsAny(strings.Join(ad.Why(), ""), "0123456789") {
				t.Fatalf("%+v has figures that nothing vouches for", a)
			}
		})
	}
	for _, s := range append(append(weather.Drinking(), weather.Signs()...), weather.NoAdvice) {
		all[s] = true
	}
	for l := weather.None; l <= weather.NotToday; l++ {
		require.NotEmpty(t, l.String())
	}
	for s := range all {
		require.True(t, strings.HasSuffix(s, "."), s)
		for _, word := range []string{"!", "flag", "yellow", "amber", "green", "black", "%!", "  ", "failed", "must"} {
			require.NotContains(t, strings.ToLower(s), word)
		}
	}
	require.Contains(t, strings.Join(weather.Signs(), " "), "call the local emergency number")
	require.Contains(t, strings.Join(weather.Drinking(), " "), "If a doctor has told you to limit what you drink, or salt, keep to that")
	require.Contains(t, weather.NoAdvice, "no medical advice")
}

func TestThePulseIsOnlySpokenOfWhereSomebodyRuns(t *testing.T) {
	in := func(tenths, humidity int, p weather.Person) string {
		return strings.Join(advice(t, weather.Air{Tenths: tenths, Humidity: humidity}, p).Today(), " ")
	}
	require.Contains(t, in(240, 50, used), "go by breath and talking")
	require.Contains(t, in(240, 50, weather.Person{}), "breath and talking", "half of it, or later in the shade")
	require.NotContains(t, in(300, 50, weather.Person{}), "breath and talking", "nobody is to run")
	require.NotContains(t, in(200, 50, used), "breath and talking", "warm, not hot")
}
