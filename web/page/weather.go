package page

import "halfhour.app/halfhour/web/part"

// Weather is the weather of today as somebody typed it, with what it changes, and the
// form for telling another.
type Weather struct {
	Now      string   // "31 °C, 55 %, in the sun"; empty: nobody told any today
	Of       string   // whose it is and of which hour: "As you typed it at 14:05."
	Change   string   // "Today: slower"; empty: nothing changes
	Today    []string // what to do about it
	Why      []string // what that rests on
	Drinking []string // empty where heat plays no part
	Signs    []string // when to stop; likewise
	Loud     bool     // when to stop is not folded away
	NoAdvice string
	For      string // whom it is judged for, on a coach's page; empty: the athlete
	Form     WeatherForm
}

// WeatherForm tells the weather. Fields: temperature, humidity, shade, hour, key.
type WeatherForm struct {
	Action      string // empty: no form
	Key         string
	Temperature string
	Humidity    string
	Shade       bool
	AskHour     bool   // a coach may tell it for another hour of today
	Hour        string // 18:00; empty: now
	Open        bool
	Errors      part.Errors
}

// CallOff is what stands in the place of Start where the weather is too much. Fields of
// its form: key.
type CallOff struct {
	Title  string
	Words  []string
	Action string // empty: it is called off already
	Key    string
	Done   string    // "Called off for today."; empty: not yet
	Go     part.Link // for whoever goes all the same
}

// WeatherPage is the page of its own: the athlete's (Phone), or the club's (Desk).
type WeatherPage struct {
	Phone    part.Phone
	Desk     part.Desk
	Weather  Weather
	Mistakes []part.Mistake
}

// Quiet says that the weather changes nothing that has to be read before setting out.
func (v Weather) Quiet() bool { return v.Change == "" && len(v.Signs) == 0 }

// Folds says whether the weather changes a little and no more, so that what it rests on
// may stand below Start.
func (v Weather) Folds() bool { return v.Now != "" && !v.Quiet() && !v.Loud }

// ask is the line that opens the form.
func (v Weather) ask() string {
	if v.Now == "" {
		return "What is the weather like?"
	}
	return "It is different now"
}
