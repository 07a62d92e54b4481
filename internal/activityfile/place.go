package activityfile

import (
	"encoding/xml"
	"math"

	"halfhour.app/halfhour/internal/trace"
)

// earth is the mean radius of the earth in metres (from memory, IUGG: 6371.0088 km).
const earth = 6_371_008.8

// place is where a point lies; it lives until the next point is read.
type place struct {
	at       int64 // milliseconds
	lat, lon float64
	known    bool
}

// placeOf reads the position of a point; one that is none is not known.
func placeOf(attributes []xml.Attr) place {
	p := place{lat: math.NaN(), lon: math.NaN()}
	for _, a := range attributes {
		if len(a.Value) > longestValue {
			continue
		}
		switch a.Name.Local {
		case "lat":
			p.lat = degrees(a.Value, 90)
		case "lon":
			p.lon = degrees(a.Value, 180)
		}
	}
	p.known = !math.IsNaN(p.lat) && !math.IsNaN(p.lon)
	return p
}

func degrees(text string, most float64) float64 {
	if n, ok := number([]byte(text)); ok && math.Abs(n) <= most {
		return n
	}
	return math.NaN()
}

// speedFrom is the mean speed since the place before.
func (p place) speedFrom(before place) int16 {
	seconds := float64(p.at-before.at) / 1000
	if !p.known || !before.known || seconds <= 0 {
		return trace.Unknown
	}
	return speed(100 * metres(before, p) / seconds)
}

// metres between two places, by the haversine formula on a round earth.
func metres(a, b place) float64 {
	const radian = math.Pi / 180
	north, east := (b.lat-a.lat)*radian/2, (b.lon-a.lon)*radian/2
	h := math.Pow(math.Sin(north), 2) + math.Cos(a.lat*radian)*math.Cos(b.lat*radian)*math.Pow(math.Sin(east), 2)
	return 2 * earth * math.Asin(math.Sqrt(min(1, h)))
}
