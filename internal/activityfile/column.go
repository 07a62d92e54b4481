package activityfile

import "strings"

// noColumn is the place of a column that is not there.
const noColumn = -1

// columns says where in a row things stand, and in which units.
type columns struct {
	separator byte
	names     int // how many columns have one

	time    int
	date    int     // of a date whose time of day stands in time
	elapsed float64 // milliseconds of one of time, where the name says that it counts; 0: the name does not say
	rank    int     // how well the name of time says that it is one, the lower the better

	heart, speed, steps, lap int

	centimetres float64 // a second, of one of speed
	unit        bool    // the name says the unit of speed
	feet        float64 // steps of one of steps
	bothFeet    bool    // the name says that it counts both
}

// fits says whether there is a time and a heart rate.
func (c *columns) fits() bool { return c.time != noColumn && c.heart != noColumn }

// needed is how many cells a row must have.
func (c *columns) needed() int { return 1 + max(c.time, c.date, c.heart) }

func noColumns(separator byte) columns {
	return columns{
		separator: separator, time: noColumn, date: noColumn, heart: noColumn, speed: noColumn, steps: noColumn, lap: noColumn,
		rank: 1 << 30, centimetres: 100, feet: 1,
	}
}

// columnsOf finds the columns by their names. The error says what is missing where
// a line looks like a header and yet does not do.
func columnsOf(names [][]byte, separator byte) (columns, error) {
	c := noColumns(separator)
	c.names = len(names)
	for i, name := range names {
		if twice := c.name(i, nameOf(string(name))); twice != noColumn {
			return c, refuse("two columns could be the heart rate, %s and %s; please leave one of them out", quote(names[twice]), quote(name))
		}
	}
	if c.time == noColumn {
		c.time, c.date = c.date, noColumn // it may hold the time as well
	}
	if c.elapsed != 0 {
		c.date = noColumn // that is no time of day
	}
	switch {
	case c.fits() || len(names) < 2:
		return c, nil
	case c.heart != noColumn:
		return c, refuse("no column is named as a time; the columns are %s. Please name it time or elapsed_s", listed(names))
	case c.time != noColumn:
		return c, refuse("no column is named as a heart rate; the columns are %s. Please name it heart_rate or bpm", listed(names))
	}
	return c, nil
}

// listed are the names of columns for a message.
func listed(names [][]byte) string {
	var all []string
	for _, name := range names[:min(len(names), namesInWords)] {
		all = append(all, quote(name))
	}
	list := strings.Join(all, ", ")
	if len(names) > namesInWords {
		list += " and more"
	}
	return list
}

// named is the name of a column in small letters with single spaces, and its unit,
// which may stand in brackets.
type named struct{ name, unit string }

func nameOf(text string) named {
	text = strings.ToLower(text[:min(len(text), 80)])
	var unit string
	if i := strings.IndexAny(text, "(["); i > 0 {
		unit = strings.Trim(text[i:], "()[] ")
		text = text[:i]
	}
	space := func(r rune) bool { return strings.ContainsRune(" _-.:/\t", r) }
	return named{strings.Join(strings.FieldsFunc(text, space), " "), unit}
}

// name says what column i holds. It gives back the heart rate's column where this
// is a second one.
func (c *columns) name(i int, n named) int {
	switch n.name {
	case "bpm", "hr", "heart rate", "heartrate", "heart", "pulse", "pulse rate", "hr bpm", "heart rate bpm", "heartrate bpm", "pulse bpm":
		if c.heart != noColumn {
			return c.heart
		}
		c.heart = i
	case "date", "day":
		c.date = i
	case "lap", "laps", "lap number", "lap no":
		c.lap = i
	default:
		if c.nameTime(i, n) || c.nameSpeed(i, n) {
			break
		}
		c.nameSteps(i, n)
	}
	return noColumn
}

// nameTime takes the column as the time where its name says so better than that of
// another.
func (c *columns) nameTime(i int, n named) bool {
	var rank int
	var elapsed float64
	switch n.name {
	case "timestamp", "time stamp", "datetime", "date time", "utc", "utc time", "time utc":
		rank = 1
	case "time", "local time", "time of day", "clock", "recorded at":
		rank, elapsed = 2, unitOfTime(n.unit)
	case "unix", "unix time", "epoch":
		rank = 3
	case "elapsed", "elapsed time", "time elapsed", "t", "timer", "timer time", "duration":
		if rank, elapsed = 4, unitOfTime(n.unit); elapsed == 0 {
			elapsed = 1000
		}
	case "elapsed s", "elapsed sec", "elapsed secs", "elapsed seconds", "seconds", "secs", "sec", "second", "s", "time s", "time sec", "time secs",
		"time seconds", "t s", "duration s", "timer s", "seconds elapsed":
		rank, elapsed = 4, 1000
	case "elapsed ms", "milliseconds", "millis", "ms", "time ms", "t ms":
		rank, elapsed = 5, 1
	case "elapsed min", "elapsed minutes", "minutes", "time min", "time minutes":
		rank, elapsed = 6, 60_000
	default:
		return false
	}
	if rank < c.rank {
		c.time, c.rank, c.elapsed = i, rank, elapsed
	}
	return true
}

// unitOfTime is a unit in milliseconds; 0 where it is none.
func unitOfTime(unit string) float64 {
	switch unit {
	case "s", "sec", "secs", "seconds":
		return 1000
	case "ms", "milliseconds":
		return 1
	case "min", "minutes":
		return 60_000
	}
	return 0
}

func (c *columns) nameSpeed(i int, n named) bool {
	name, unit := n.name, n.unit
	for _, first := range []string{"enhanced speed", "speed", "velocity"} {
		rest, found := strings.CutPrefix(name, first)
		if !found || rest != "" && rest[0] != ' ' {
			continue
		}
		if unit == "" {
			unit = strings.TrimSpace(rest)
		} else if rest != "" {
			continue
		}
		factor, known := unitOfSpeed(unit, first == "enhanced speed")
		if factor == 0 {
			return false
		}
		if c.speed == noColumn || first == "enhanced speed" {
			c.speed, c.centimetres, c.unit = i, factor, known
		}
		return true
	}
	return false
}

// unitOfSpeed is a unit in centimetres a second, and whether the name says it.
// Without one it is metres a second, as in both of the other formats; 0 is no unit.
func unitOfSpeed(unit string, enhanced bool) (float64, bool) {
	switch strings.ReplaceAll(unit, " ", "") {
	case "":
		return 100, enhanced
	case "m/s", "ms", "mps", "m/sec", "ms^-1", "ms-1":
		return 100, true
	case "km/h", "kmh", "kph", "kmph", "kmh-1":
		return 100 / 3.6, true
	case "mph", "mi/h":
		return 44.704, true
	}
	return 0, false
}

func (c *columns) nameSteps(i int, n named) {
	unit := n.unit
	switch n.name {
	case "steps", "step rate", "steps per minute", "steps min", "spm", "cadence spm", "cadence steps min":
		unit = "spm"
	case "cadence rpm", "cad rpm", "rpm":
		unit = "rpm"
	case "cadence", "cad", "run cadence", "running cadence", "stride rate":
	default:
		return
	}
	if c.steps != noColumn {
		return
	}
	c.steps = i
	switch unit {
	case "spm", "steps/min", "steps per minute":
		c.bothFeet = true
	case "rpm", "strides/min":
		c.feet = 2
	}
}
