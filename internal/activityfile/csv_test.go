package activityfile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/trace"
)

func full(at int32, bpm, speed, steps int16) trace.Sample {
	return trace.Sample{At: at, BPM: bpm, Speed: speed, Steps: steps}
}

func TestCSVForms(t *testing.T) {
	plain := []trace.Sample{sample(0, 120), sample(1, 121), sample(2, 122)}
	for _, c := range []struct {
		why, body string
		want      []trace.Sample
	}{
		{"elapsed seconds", "elapsed_s,bpm\n0,120\n1,121\n2,122\n", plain},
		{"no line end at the end", "elapsed_s,bpm\n0,120\n1,121\n2,122", plain},
		{"the other line ends", "elapsed_s,bpm\r\n0,120\r\n1,121\r\n2,122\r\n", plain},
		{"line ends of old machines", "elapsed_s,bpm\r0,120\r1,121\r2,122\r", plain},
		{"names in capitals", "SECONDS,HR\n0,120\n1,121\n2,122\n", plain},
		{"a unit in brackets", "Time (s), Hr (bpm)\n0, 120\n1, 121\n2, 122\n", plain},
		{"the other way round", "Heart Rate [bpm];Elapsed\n120;0\n121;1\n122;2\n", plain},
		{"tabs", "secs\tpulse\n0\t120\n1\t121\n2\t122\n", plain},
		{"semicolons and decimal commas", "time_s;heart_rate\n0,0;119,6\n1,04;121,0\n1,96;122,4\n", plain},
		{"decimal commas in quotes", "time_s,heart_rate\n\"0,0\",\"119,6\"\n\"1,04\",\"121\"\n\"1,96\",\"122,4\"\n", plain},
		{"everything in quotes", "\"t\",\"note\",\"bpm\"\n\"0\",\"said \"\"hi, you\"\"\",\"120\"\n\"1\",\"\",\"121\"\n\"2\",\"\",\"122\"\n", plain},
		{"lines before the header", "A morning run\nDevice;3\n\nfrom;2026-03-02\n\nseconds;hr\n0;120\n1;121\n2;122\n", plain},
		{"empty lines between", "seconds,hr\n0,120\n\n1,121\n,\n2,122\n\n\n", plain},
		{"a separator too many in each row", "seconds,hr\n0,120,\n1,121,\n2,122,\n", plain},
		{"mm:ss", "elapsed,bpm\n59:59,120\n60:00,121\n60:01,122\n", plain},
		{"h:mm:ss, from mm:ss on", "elapsed,bpm\n59:59,120\n1:00:00,121\n1:00:01,122\n", plain},
		{"a date beside what elapsed", "date,elapsed,bpm\n2026-03-02,0:05,120\n2026-03-02,0:06,121\n2026-03-02,0:07,122\n", plain},
		{"time of day", "time,bpm\n07:00:00,120\n07:00:01,121\n07:00:02.4,122\n", plain},
		{"milliseconds", "elapsed_ms,bpm\n0,120\n1000,121\n2000,122\n", plain},
		{"minutes", "minutes,bpm\n0,120\n0.0167,121\n0.0333,122\n", plain},
		{"no names", "0,120\n1,121\n2,122\n", plain},
		{"no names, the other way round", "120;0\n121;1\n122;2\n", plain},
		{"no value and numbers that are none", "t,hr\n0,120\n1,\n2,-\n3,N/A\n4,0\n5,255\n6,-1\n7,251\n8,NaN\n9,250\n",
			[]trace.Sample{sample(0, 120), sample(1, 0), sample(2, 0), sample(3, 0), sample(4, 0), sample(5, 0), sample(6, 0), sample(7, 0), sample(8, 0), sample(9, 250)}},
		{"rows without a time", "t,hr\n0,120\n,130\n1,121\nn/a,130\n2,122\n", plain},
		{"speed in m/s", "t,hr,speed (m/s)\n0,120,2.5\n1,121,\n2,122,0\n", []trace.Sample{full(0, 120, 250, -1), full(1, 121, -1, -1), full(2, 122, 0, -1)}},
		{"speed in km/h", "t,hr,Speed [km/h]\n0,120,9\n1,121,5.4\n", []trace.Sample{full(0, 120, 250, -1), full(1, 121, 150, -1)}},
		{"speed in km/h, said otherwise", "t,hr,speed_kmh\n0,120,9\n1,121,5.4\n", []trace.Sample{full(0, 120, 250, -1), full(1, 121, 150, -1)}},
		{"speed without a unit", "t,hr,speed\n0,120,2.5\n1,121,1.5\n", []trace.Sample{full(0, 120, 250, -1), full(1, 121, 150, -1)}},
		{"speed without a unit that is no m/s", "t,hr,speed\n0,120,9\n1,121,8\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
		{"speed in miles", "t,hr,velocity (mph)\n0,120,5\n1,121,4\n", []trace.Sample{full(0, 120, 224, -1), full(1, 121, 179, -1)}},
		{"speed in m/s, said otherwise", "t,hr,speed_ms\n0,120,2.5\n1,121,1.5\n", []trace.Sample{full(0, 120, 250, -1), full(1, 121, 150, -1)}},
		{"speed in units of nobody", "t,hr,speed (knots)\n0,120,5\n1,121,4\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
		{"two speeds: the wider", "t,hr,speed,enhanced_speed\n0,120,1,2.5\n1,121,1,1.5\n", []trace.Sample{full(0, 120, 250, -1), full(1, 121, 150, -1)}},
		{"a name and a unit for speed", "t,hr,speed km/h (m/s)\n0,120,1\n1,121,1\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
		{"two columns of steps: the first", "t,hr,steps,cadence\n0,120,160,70\n1,121,,71\n", []trace.Sample{full(0, 120, -1, 160), sample(1, 121)}},
		{"a count of steps since the start", "t,hr,steps\n0,120,2000\n1,121,2003\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
		{"seconds named twice over", "time (ms),seconds,hr\n0,7,120\n1000,8,121\n2000,9,122\n", plain},
		{"minutes in brackets", "elapsed (min),hr\n0,120\n0.0167,121\n0.0333,122\n", plain},
		{"exponents and many digits", "t,hr\n0e0,+120\n1.00000000000000001,1.21e2\n2,122\n", plain},
		{"no names, with dates going up", "00:00:00\t120\n00:00:01\t121\n00:00:02\t122\n", plain},
		{"no names, and no value at times", "0,120\n1,-\n2,122\n3,123\n", []trace.Sample{sample(0, 120), sample(1, 0), sample(2, 122), sample(3, 123)}},
		{"a mean is no speed of a moment", "t,hr,speed average\n0,120,2\n1,121,2\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
		{"words for a speed", "t,hr,speed\n0,120,fast\n1,121,slow\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
		{"steps of both feet", "t,hr,cadence (spm)\n0,120,90\n1,121,80\n", []trace.Sample{full(0, 120, -1, 90), full(1, 121, -1, 80)}},
		{"turns of one foot", "t,hr,cadence (rpm)\n0,120,120\n1,121,80\n", []trace.Sample{full(0, 120, -1, 240), full(1, 121, -1, 160)}},
		{"one foot, as the numbers say", "t,hr,cadence\n0,120,82\n1,121,58\n", []trace.Sample{full(0, 120, -1, 164), full(1, 121, -1, 116)}},
		{"both feet, as the numbers say", "t,hr,cadence\n0,120,164\n1,121,116\n", []trace.Sample{full(0, 120, -1, 164), full(1, 121, -1, 116)}},
		{"a name that only contains another", "t,hr,hrv,max hr,time zone\n0,120,55,190,1\n1,121,55,190,1\n", []trace.Sample{sample(0, 120), sample(1, 121)}},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := read(t, []byte(c.body))
			require.Equal(t, c.want, r.Samples)
			require.True(t, r.Start.IsZero(), "no date was told")
		})
	}
}

func TestCSVDates(t *testing.T) {
	for _, c := range []struct{ why, name, first, second string }{
		{"RFC 3339", "time", "2026-03-02T07:00:00Z", "2026-03-02T07:00:01Z"},
		{"with an offset", "time", "2026-03-02T08:00:00+01:00", "2026-03-02T08:00:01+01:00"},
		{"a space and an offset", "timestamp", "2026-03-02 07:00:00+00:00", "2026-03-02 07:00:01+00:00"},
		{"an offset without a colon", "timestamp", "2026-03-02 01:30:00 -0530", "2026-03-02 01:30:01 -0530"},
		{"an offset of hours", "timestamp", "2026-03-02 09:00:00+02", "2026-03-02 09:00:01+02"},
		{"no offset: as it stands", "Date Time", "2026-03-02 07:00:00", "2026-03-02 07:00:01"},
		{"with a fraction", "datetime", "2026-03-02 07:00:00.000", "2026-03-02 07:00:00.9876543"},
		{"a comma before the fraction", "datetime", "2026-03-02 07:00:00,000", "2026-03-02 07:00:00,987"},
		{"named after the zone", "utc", "2026-03-02 07:00:00 UTC", "2026-03-02 07:00:01 UTC"},
		{"slashes, the year first", "time", "2026/3/2 7:00:00", "2026/3/2 7:00:01"},
		{"points, the day first", "time", "2.3.2026 07:00:00", "02.03.2026 07:00:01"},
		{"seconds since 1970", "timestamp", "1772434800", "1772434801"},
		{"the same with decimals", "unix", "1772434800.0", "1772434800.9"},
		{"milliseconds since 1970", "time", "1772434800000", "1772434801000"},
		{"all in the date", "date", "2026-03-02 07:00:00", "2026-03-02 07:00:01"},
	} {
		t.Run(c.why, func(t *testing.T) {
			r := read(t, []byte(fmt.Sprintf("%s;bpm\n%s;120\n%s;121\n", c.name, c.first, c.second)))
			require.Equal(t, []trace.Sample{sample(0, 120), sample(1, 121)}, r.Samples)
			require.Equal(t, begun, r.Start)
		})
	}
	for why, body := range map[string]string{
		"date and time in two columns":          "date,time,bpm\n2026-03-02,07:00:00,120\n2026-03-02,07:00:01,121\n",
		"the other way round":                   "bpm,time,date\n120,7:00:00,02.03.2026\n121,7:00:01,02.03.2026\n",
		"a date beside a time that says it all": "date,timestamp,bpm\n2026-03-02,2026-03-02T07:00:00Z,120\n2026-03-02,2026-03-02T07:00:01Z,121\n",
		"a date is better than what elapsed":    "elapsed_s,timestamp,bpm\n5,2026-03-02T07:00:00Z,120\n7,2026-03-02T07:00:01Z,121\n",
		"whatever stands first":                 "timestamp,elapsed_s,bpm\n2026-03-02T07:00:00Z,5,120\n2026-03-02T07:00:01Z,7,121\n",
	} {
		t.Run(why, func(t *testing.T) {
			r := read(t, []byte(body))
			require.Equal(t, []trace.Sample{sample(0, 120), sample(1, 121)}, r.Samples)
			require.Equal(t, begun, r.Start)
		})
	}
}

func TestCSVLaps(t *testing.T) {
	r := read(t, []byte("t,lap,hr\n0,1,120\n1,1,121\n2,2,122\n3,2,123\n4,3,124\n"))
	require.Equal(t, []int32{2, 4}, r.Laps)
	require.Nil(t, read(t, []byte("t,lap,hr\n0,,120\n1,1,121\n2,1,122\n")).Laps)
}

func TestCSVThatIsRefused(t *testing.T) {
	rows := func(n int) string { return strings.Repeat("0,120\n", n) }
	for _, c := range []struct{ why, body, says string }{
		{"only a header", "time,bpm\n", "there are no records with a time in this file"},
		{"only spaces", " \n\t\n", "no line names a column"},
		{"no heart rate ever", "t,hr\n0,0\n1,\n", "there is no heart rate in this file"},
		{"no column of heart rates", "time,speed,lap\n0,2.5,1\n", "no column is named as a heart rate; the columns are “time”, “speed”, “lap”. Please name it heart_rate or bpm"},
		{"no column of times", "bpm;lap\n120;1\n", "no column is named as a time; the columns are “bpm”, “lap”. Please name it time or elapsed_s"},
		{"two columns of heart rates", "time,hr,bpm\n0,120,121\n", "two columns could be the heart rate, “hr” and “bpm”"},
		{"many columns", "time" + strings.Repeat(",other", 30) + "\n0\n", "“other”, “other” and more. Please"},
		{"two columns that could be either", "100,120\n101,121\n102,122\n", "both could be the time or the heart rate"},
		{"two columns that could be neither", "1,2\n1,2\n", "no line names a column"},
		{"three columns without names", "0,120,5\n1,121,6\n", "no line names a column for the time and one for the heart rate (it begins with “0,120,5”)"},
		{"two columns of words", "run,walk\nleft,right\n", "no line names a column for the time"},
		{"times that go back, without names", "5,120\n4,121\n3,122\n", "no line names a column for the time"},
		{"times that go back once, without names", "0,120\n5,121\n3,122\n9,123\n", "no line names a column for the time"},
		{"a number that is no heart rate, without names", "0,120\n1,121\n2,300\n", "no line names a column for the time"},
		{"numbers that are no heart rates, without names", "0,1200\n1,1210\n", "no line names a column for the time"},
		{"a time that no count holds", "t,hr\n1e300,120\n", "line 2: “1e300” is no time"},
		{"a number without digits", "t,hr\n.,120\n", "line 2: “.” is no time"},
		{"a fraction without digits", "elapsed,hr\n1:00.,120\n", "line 2: “1:00.” is no time"},
		{"an hour with sixty-one minutes", "elapsed,hr\n1:61:00,120\n", "line 2: “1:61:00” is no time"},
		{"an offset of thirty hours", "time,hr\n2026-03-02T07:00:00+30:00,120\n", "is no time"},
		{"an endless number", "t,hr\n0," + strings.Repeat("1", 50) + "\n", "is no number"},
		{"a long line before anything else", strings.Repeat("x", 70_000), "line 1: this line is longer than 64 kB"},
		{"a heart rate in words", "t,hr\n0,120\n1,fast\n", "line 3: “fast” is no number"},
		{"a time in words", "t,hr\nnoon,120\n", "line 2: “noon” is no time"},
		{"a time of another kind later", "time,hr\n2026-03-02T07:00:00Z,120\n17,121\n", "line 3: “17” is no time"},
		{"a minute that there is not", "elapsed,hr\n1:60,120\n", "line 2: “1:60” is no time"},
		{"a day that there is not", "time,hr\n2026-02-29 07:00:00,120\n", "is no time"},
		{"a date without a time", "date,hr\n2026-03-02,120\n", "line 2: “2026-03-02” is no time"},
		{"a date to be read in two ways", "time,hr\n03/04/2021 07:00:00,120\n", "can be read in two ways; please write dates as 2021-04-03"},
		{"decimal commas between commas", "t,hr\n0,5,120\n", "line 2: there are 3 values under 2 names; numbers with decimal commas need semicolons"},
		{"a value is missing", "t,hr\n0,120\n1\n2,122\n", "line 3: a value is missing"},
		{"cut off in the last row", "t,hr\n0,120\n1", "the file ends in the middle of a record; was it copied whole?"},
		{"a quotation that does not end", "t,hr\n0,120\n1,\"121\n2,122\n", "line 3: a quotation mark has no second one"},
		{"a line without end", "t,hr\n0,120\n" + strings.Repeat("1,", 40_000), "line 3: this line is longer than 64 kB"},
		{"too many rows", "t,hr\n" + rows(trace.MostSamples+1), "more than 43,200 records"},
	} {
		t.Run(c.why, func(t *testing.T) { require.Contains(t, refused(t, []byte(c.body)), c.says) })
	}
}
