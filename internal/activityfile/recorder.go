package activityfile

import (
	"math"
	"slices"
	"time"

	"halfhour.app/halfhour/internal/trace"
)

// What a number must lie under to be taken as it stands.
const (
	highestHeart = 250           // beats a minute
	fastest      = 5000          // centimetres a second: 180 km/h
	mostSteps    = 400           // steps a minute
	fewestSteps  = 100           // a minute, when somebody hurries: see feet
	fastestFoot  = 600           // centimetres a second: see speedsOnFoot
	farthest     = 2_000_000_000 // seconds from the first sample, either way: 63 years
)

// recorder takes down the records of a file.
type recorder struct {
	recording trace.Recording
	dated     bool  // times are dates, else seconds of the file's own
	first     int64 // milliseconds: of the first sample
	last      int64 // of the newest
	laps      []int64
	hearts    int

	// Time that went by without what the clock jumped, in milliseconds since the
	// first sample: now, and the least and most of it.
	gone, least, most int64
}

// add takes down a record of that millisecond.
func (r *recorder) add(at int64, s trace.Sample) error {
	if len(r.recording.Samples) == trace.MostSamples {
		return refuse("the file holds more than 43,200 records; that is longer than twelve hours, or closer together than a second")
	}
	if len(r.recording.Samples) == 0 {
		r.first, r.last = at, at
	}
	r.advance(at)
	s.At = wholeSeconds(at - r.first)
	if s.BPM > 0 {
		r.hearts++
	}
	r.recording.Samples = append(r.recording.Samples, s)
	return nil
}

// advance follows the clock. A step of more than twelve hours, forwards or back, is
// a clock that was set (ours): it took no time.
func (r *recorder) advance(at int64) {
	step := at - r.last
	r.last = at
	if step > trace.LongestTime*1000 || step < -trace.LongestTime*1000 {
		return
	}
	r.gone += step
	r.least, r.most = min(r.least, r.gone), max(r.most, r.gone)
}

// lap says that a lap began in that millisecond.
func (r *recorder) lap(at int64) {
	if len(r.laps) < trace.MostSamples {
		r.laps = append(r.laps, at)
	}
}

// done is the recording, or why there is none.
func (r *recorder) done() (trace.Recording, error) {
	switch {
	case len(r.recording.Samples) == 0:
		return trace.Recording{}, refuse("there are no records with a time in this file")
	case r.hearts == 0:
		return trace.Recording{}, refuse("there is no heart rate in this file; was a sensor worn and connected?")
	case r.most-r.least > trace.LongestTime*1000:
		return trace.Recording{}, refuse("the recording is longer than twelve hours")
	}
	if r.dated {
		r.recording.Start = time.UnixMilli(r.first).UTC()
	}
	r.recording.Laps = r.lapStarts()
	return r.recording, nil
}

// lapStarts are the starts of all laps but the first, in order, that lie inside the
// recording.
func (r *recorder) lapStarts() []int32 {
	if len(r.laps) < 2 {
		return nil
	}
	slices.Sort(r.laps)
	var starts []int32
	last := int32(0)
	for _, sample := range r.recording.Samples {
		last = max(last, sample.At)
	}
	for _, at := range r.laps[1:] {
		if s := wholeSeconds(at - r.first); s > 0 && s <= last && (len(starts) == 0 || starts[len(starts)-1] < s) {
			starts = append(starts, s)
		}
	}
	return starts
}

// feet makes steps of both feet out of the cadence of a file that does not say which
// it means. Runners take 150 to 190 steps a minute and brisk walkers about 100 and
// more (common practice), so a file whose busiest tenth lies under 100 counts one
// foot (ours).
func (r *recorder) feet() {
	if busiest := r.busiest(func(s trace.Sample) int16 { return s.Steps }); busiest == 0 || busiest >= fewestSteps {
		return
	}
	for i := range r.recording.Samples {
		if s := &r.recording.Samples[i]; s.Steps > 0 {
			s.Steps *= 2
		}
	}
}

// speedsOnFoot drops the speeds of a file that does not say their unit when they are
// no metres a second of somebody on foot: a busiest tenth above 6 m/s (ours).
func (r *recorder) speedsOnFoot() {
	if r.busiest(func(s trace.Sample) int16 { return s.Speed }) <= fastestFoot {
		return
	}
	for i := range r.recording.Samples {
		r.recording.Samples[i].Speed = trace.Unknown
	}
}

// busiest is the number under which nine tenths of those above 0 lie; 0 where there
// are none.
func (r *recorder) busiest(of func(trace.Sample) int16) int16 {
	var all []int16
	for _, s := range r.recording.Samples {
		if n := of(s); n > 0 {
			all = append(all, n)
		}
	}
	if len(all) == 0 {
		return 0
	}
	slices.Sort(all)
	return all[(len(all)-1)*9/10]
}

// wholeSeconds rounds to the nearest second, halves up. What is too far off is held
// at the farthest: a little inside its type, so that a second can be added.
func wholeSeconds(milliseconds int64) int32 {
	s := (milliseconds + 500) / 1000
	if milliseconds+500 < 0 && (milliseconds+500)%1000 != 0 {
		s--
	}
	return int32(max(-farthest, min(farthest, s)))
}

// heart is a heart rate as it is kept: rounded; 0 where the number is none.
func heart(bpm float64) int16 {
	if bpm = math.Round(bpm); bpm > 0 && bpm <= highestHeart {
		return int16(bpm)
	}
	return 0
}

// speed is a speed as it is kept, from centimetres a second.
func speed(cm float64) int16 { return within(cm, fastest) }

// steps is a step rate as it is kept.
func steps(perMinute float64) int16 { return within(perMinute, mostSteps) }

func within(n, most float64) int16 {
	if n = math.Round(n); n >= 0 && n <= most {
		return int16(n)
	}
	return trace.Unknown
}
