package activityfile_test

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/muktihari/fit/profile/typedef"
	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/activityfile"
	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/trace"
)

func TestWhatIsNoRecordingIsNamed(t *testing.T) {
	small := gpxActivity(10, time.Second)
	for _, c := range []struct{ why, body, says string }{
		{"nothing", "", "the file is empty"},
		{"too large before anything is looked at", strings.Repeat("x", activityfile.MostBytes+1), "the file is larger than 12 MB"},
		{"the name of a file says nothing", "\x89PNG\r\n\x1a\n\x00\x00", "this is a picture, not a recording"},
		{"a photograph", "\xff\xd8\xff\xe0\x00\x10JFIF", "this is a picture, not a recording"},
		{"a document", "%PDF-1.7\n", "this is a PDF document"},
		{"an archive", "PK\x03\x04\x14\x00", "this is a zip archive; please unpack it"},
		{"a workbook", "\xd0\xcf\x11\xe0\xa1\xb1", "save it as CSV"},
		{"bytes of nobody", "\x00\x01\x02\x03", "neither a FIT, nor a GPX, nor a CSV file"},
		{"packed, cut off", string(zipped(t, small)[:60]), "the packed file is damaged"},
		{"packed, only the first bytes", "\x1f\x8b", "the packed file is damaged"},
		{"packed twice", string(zipped(t, zipped(t, small))), "packed more than once"},
		{"nothing, packed", string(zipped(t, nil)), "the packed file is empty"},
		{"small when packed only", string(zipped(t, make([]byte, activityfile.MostBytes+1))), "unpacked, the file is larger than 12 MB"},
		{"a picture, packed", string(zipped(t, []byte("\x89PNG\r\n"))), "this is a picture"},
		{"a page saved in place of the file", "<!DOCTYPE html>\n<html><head><title>Log in</title></head></html>", "this is a web page, not a recording"},
		{"a page in capitals without a doctype", "\n<HTML><BODY><P>Log in<BR></HTML>", "this is a web page, not a recording"},
		{"XML of another kind", `<?xml version="1.0"?><kml><Document/></kml>`, "this is an XML file, but not GPX: it begins with “kml”"},
		{"only looks like XML", "< 5 bpm all day", "looks like XML, but cannot be read"},
		{"JSON", `{"hr": [1, 2]}`, "no line names a column for the time"},
		{"a letter", "Dear coach,\nI ran.\n", "no line names a column for the time and one for the heart rate (it begins with “Dear coach,”)"},
	} {
		t.Run(c.why, func(t *testing.T) { require.Contains(t, refused(t, []byte(c.body)), c.says) })
	}
}

func TestWhatAFileIsComesFromItsContent(t *testing.T) {
	fit, gpx, csv := fitActivity(t, 60, time.Second), gpxActivity(60, time.Second), csvActivity(60, time.Second)
	strap := strapActivity(60, time.Second)
	for _, c := range []struct {
		why, format string
		body        []byte
	}{
		{"FIT", activityfile.FIT, fit},
		{"GPX", activityfile.GPX, gpx},
		{"CSV", activityfile.CSV, csv},
		{"our own of a strap", activityfile.Strap, strap},
		{"our own of a strap, packed", activityfile.Strap, zipped(t, strap)},
		{"our own of a strap, spread over lines", activityfile.Strap, append([]byte("\xef\xbb\xbf \n{\n "), strap[1:]...)},
		{"FIT, packed", activityfile.FIT, zipped(t, fit)},
		{"GPX, packed", activityfile.GPX, zipped(t, gpx)},
		{"CSV, packed", activityfile.CSV, zipped(t, csv)},
		{"GPX with a byte order mark", activityfile.GPX, append([]byte("\xef\xbb\xbf"), gpx...)},
		{"CSV with a byte order mark", activityfile.CSV, append([]byte("\xef\xbb\xbf"), csv...)},
		{"GPX in UTF-16", activityfile.GPX, inUTF16(bytes.Replace(gpx, []byte("UTF-8"), []byte("UTF-16"), 1), binary.LittleEndian)},
		{"CSV in UTF-16, the other way round", activityfile.CSV, inUTF16(csv, binary.BigEndian)},
		{"GPX in Latin-1 that says so", activityfile.GPX, bytes.Replace(gpx, []byte(`UTF-8"?>`), []byte("ISO-8859-1\"?><!-- L\xe4uft -->"), 1)},
		{"GPX in Latin-1 that does not", activityfile.GPX, bytes.Replace(gpx, []byte("a test"), []byte("L\xe4uft"), 1)},
		{"GPX after empty lines", activityfile.GPX, append([]byte("\r\n\t "), gpx[bytes.IndexByte(gpx, '\n'):]...)},
	} {
		t.Run(c.why, func(t *testing.T) {
			file, err := activityfile.Read(c.body)
			require.NoError(t, err)
			require.Equal(t, c.format, file.Format)
			require.Len(t, file.Recording.Samples, 60)
			require.Equal(t, begun, file.Recording.Start)
			require.Equal(t, int32(59), file.Recording.Samples[59].At)
			require.Equal(t, int16(rate(59)), file.Recording.Samples[59].BPM)
		})
	}
}

// inUTF16 is the text in UTF-16 with its mark.
func inUTF16(text []byte, order binary.AppendByteOrder) []byte {
	out := order.AppendUint16(nil, 0xFEFF)
	for _, unit := range utf16.Encode([]rune(string(text))) {
		out = order.AppendUint16(out, unit)
	}
	return out
}

func TestHowMuchIsTaken(t *testing.T) {
	for name, of := range map[string]func(int, time.Duration) []byte{
		"fit": func(n int, step time.Duration) []byte { return fitActivity(t, n, step) },
		"gpx": gpxActivity, "csv": csvActivity, "strap": strapActivity,
	} {
		t.Run(name, func(t *testing.T) {
			require.Len(t, read(t, of(trace.MostSamples, time.Second)).Samples, trace.MostSamples, "as many as may be")
			require.Contains(t, refused(t, of(trace.MostSamples+1, time.Second)), "more than 43,200 records", "one more")
			require.Contains(t, refused(t, of(13*1800, 2*time.Second)), "longer than twelve hours", "13 hours, every other second")
			require.Equal(t, int32(43_200), read(t, of(43_201/2+1, 2*time.Second)).Samples[21_600].At, "twelve hours to the second")
			require.Contains(t, refused(t, of(43_201/2+2, 2*time.Second)), "longer than twelve hours", "two seconds more")
		})
	}
}

// Twenty things for each record are enough; a file of nothing but things ends early.
func TestHowMuchStandsBesideTheRecords(t *testing.T) {
	const far = "far more than a recording of twelve hours needs"
	require.Contains(t, refused(t, gpxOf(strings.Repeat("<a/>", 900_000))), far)
	require.Contains(t, refused(t, rawFIT(append([]byte{0x40, 0, 0, 20, 0, 0}, make([]byte, 900_000)...))), far)
	require.NotContains(t, refused(t, gpxOf(strings.Repeat("<a/>", 800_000))), far)
}

// What is written down is not judged here: order, repeats and clocks that jump are
// kept as they are, and one of them makes no long recording.
func TestTheFilesOrderStays(t *testing.T) {
	for _, c := range []struct {
		why  string
		at   []string
		want []int32
	}{
		{"repeated", []string{"0", "1", "1", "2"}, []int32{0, 1, 1, 2}},
		{"backwards", []string{"0", "5", "3", "6"}, []int32{0, 5, 3, 6}},
		{"beginning elsewhere", []string{"100", "101"}, []int32{0, 1}},
		{"before the first", []string{"100", "40", "101"}, []int32{0, -60, 1}},
		{"rounded to the nearest, halves up", []string{"0.6", "1.09", "1.1", "2.05", "2.11"}, []int32{0, 0, 1, 1, 2}},
		{"rounded below the first likewise", []string{"10", "9.51", "9.5", "9.49", "8.4"}, []int32{0, 0, 0, -1, -2}},
		{"one wild time", []string{"0", "1", "99999999", "3"}, []int32{0, 1, 99_999_999, 3}},
		{"times that no count holds", []string{"0", "9999999999", "-9999999999", "3"}, []int32{0, 2_000_000_000, -2_000_000_000, 3}},
	} {
		t.Run(c.why, func(t *testing.T) {
			body := "elapsed_s,bpm\n"
			for _, at := range c.at {
				body += at + ",120\n"
			}
			r := read(t, []byte(body))
			var got []int32
			for _, s := range r.Samples {
				got = append(got, s.At)
			}
			require.Equal(t, c.want, got)
			require.True(t, r.Start.IsZero(), "no date")
		})
	}
}

func TestAClockThatWasSetMakesNoLongRecording(t *testing.T) {
	body := "time,bpm\n1989-12-31T00:00:00Z,120\n1989-12-31T00:00:01Z,121\n2026-03-02T07:00:00Z,122\n2026-03-02T07:00:01Z,123\n"
	r := read(t, []byte(body))
	require.Len(t, r.Samples, 4)
	require.Equal(t, int32(1), r.Samples[3].At-r.Samples[2].At)
	require.Contains(t, refused(t, []byte("elapsed_s,bpm\n0,120\n30000,121\n60000,122\n")), "longer than twelve hours", "two long breaks are no clock")
}

// A file that was cut off or changed on its way is refused, or read as the file that
// it has become; never anything else.
func TestDamage(t *testing.T) {
	bodies := [][]byte{fitActivity(t, 6, time.Second), gpxActivity(3, time.Second), csvActivity(4, time.Second)}
	t.Run("cut off", func(t *testing.T) {
		for _, body := range bodies {
			for n := range body {
				sound(t, body[:n])
			}
		}
	})
	t.Run("one bit other", func(t *testing.T) {
		for _, body := range bodies {
			for bit := range 8 * len(body) {
				changed := bytes.Clone(body)
				changed[bit/8] ^= 1 << (bit % 8)
				sound(t, changed)
			}
		}
	})
	t.Run("a FIT file sees each bit and each cut", func(t *testing.T) {
		body := bodies[0]
		for bit := 8 * 14; bit < 8*len(body); bit++ {
			changed := bytes.Clone(body)
			changed[bit/8] ^= 1 << (bit % 8)
			require.Contains(t, refused(t, changed), "checksum does not fit")
		}
		for n := 14; n < len(body); n++ {
			require.Contains(t, refused(t, body[:n]), "copied whole?")
		}
	})
	t.Run("a GPX file sees each cut", func(t *testing.T) {
		body := bytes.TrimSpace(bodies[1])
		for n := 60; n < len(body); n++ {
			require.Equal(t, "the file ends in the middle of a record; was it copied whole?", refused(t, body[:n]))
		}
	})
}

// sound asks of whatever was read what must hold of everything that is read.
func sound(t testing.TB, body []byte) {
	t.Helper()
	file, err := activityfile.Read(body)
	if err != nil {
		require.Equal(t, fault.Invalid, fault.KindOf(err))
		fields := fault.FieldsOf(err)
		require.Len(t, fields, 1)
		require.Equal(t, "file", fields[0].Place)
		require.NotEmpty(t, fields[0].Message)
		require.Less(t, len(fields[0].Message), 1200)
		require.True(t, utf8.ValidString(fields[0].Message))
		require.Equal(t, -1, strings.IndexFunc(fields[0].Message, func(r rune) bool { return !unicode.IsPrint(r) }), fields[0].Message)
		require.Zero(t, file)
		return
	}
	r := file.Recording
	require.NotEmpty(t, r.Samples)
	require.LessOrEqual(t, len(r.Samples), trace.MostSamples)
	require.Zero(t, r.Samples[0].At)
	hearts := 0
	for _, s := range r.Samples {
		if s.BPM != 0 {
			hearts++
		}
		if s.BPM < 0 || s.BPM > 250 || s.Speed < trace.Unknown || s.Steps < trace.Unknown {
			t.Fatalf("not to be kept: %+v", s)
		}
	}
	require.Positive(t, hearts)
	require.LessOrEqual(t, len(r.Marks), 1000)
	for i, lap := range r.Laps {
		require.True(t, lap > 0 && (i == 0 || lap > r.Laps[i-1]), "laps %v", r.Laps)
	}
}

func TestAFITFileOfAnotherKind(t *testing.T) {
	for _, kind := range []typedef.File{typedef.FileSettings, typedef.FileWorkout, typedef.FileCourse, typedef.FileMonitoringB} {
		body := fitOf(t, nil, fileID(kind), record(0, 120).ToMesg(nil), record(1, 121).ToMesg(nil))
		require.Equal(t, "this is a FIT file, but not one of an activity", refused(t, body), kind)
	}
}
