package activityfile_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/muktihari/fit/encoder"
	"github.com/muktihari/fit/profile/typedef"
)

// What is written into a FIT file is put between a header and a checksum that fit:
// else nearly all of it would be refused for its sum.
func FuzzFIT(f *testing.F) {
	for _, body := range [][]byte{
		fitActivity(f, 3, time.Second),
		fitOf(f, []encoder.Option{encoder.WithBigEndian()}, fileID(typedef.FileActivity), record(0, 120).SetCadence(80).SetFractionalCadence(64).SetSpeed(2500).ToMesg(nil)),
		fitOf(f, []encoder.Option{encoder.WithHeaderOption(encoder.HeaderOptionCompressedTimestamp, 3)}, fileID(typedef.FileActivity), record(0, 120).ToMesg(nil), record(1, 121).ToMesg(nil)),
		fitOf(f, nil, fileID(typedef.FileSettings)),
	} {
		f.Add(body[14 : len(body)-2])
	}
	f.Add([]byte{0x60, 0, 0, 20, 0, 2, 253, 4, 0x86, 3, 1, 0x02, 1, 9, 1, 0, 0x00, 0, 0, 0, 0x40, 131, 7})
	f.Fuzz(func(t *testing.T, data []byte) {
		body := rawFIT(data)
		sound(t, body)
		sound(t, append(body, body...))
		sound(t, append([]byte{12, 0x20, 0, 0, 1, 0, 0, 0, '.', 'F', 'I', 'T'}, data...))
	})
}

// What is no XML by itself is put into a track.
func FuzzGPX(f *testing.F) {
	f.Add(gpxActivity(3, time.Second))
	f.Add([]byte(bare("07:00:05.500+01:00", beating("131,5"))))
	f.Add([]byte(`<!DOCTYPE gpx [<!ENTITY a "b">]><gpx>&a;</gpx>`))
	f.Add([]byte(`<?xml version="1.0" encoding="ISO-8859-1"?><gpx><trk><trkseg><trkpt lat="1" lon="179"><time>2026-03-02T07:00:00Z</time><hr>0</hr></trkpt></trkseg></trk></gpx>`))
	f.Add([]byte(`<html><p>`))
	f.Fuzz(func(t *testing.T, body []byte) {
		if len(body) > 0 && body[0] == '<' {
			sound(t, body)
		}
		sound(t, gpxOf(segment(string(body), bare("07:00:07Z", beating(120)))))
	})
}

// What has no header by itself gets one.
func FuzzCSV(f *testing.F) {
	f.Add(csvActivity(3, time.Second))
	for _, body := range []string{
		"0,120\n1,121\n", "Some run\n\nDate;Time;Hr (bpm);Speed [km/h];lap\n2.3.2026;07:00:00;120;9,5;1\n", "\"t\"\t\"bpm\"\n\"0,5\"\t\"1e2\"\n",
		"elapsed_ms|pulse|cadence (rpm)\r1000|nan|81\r", "time,hr\n1772434800000,131\n", "t,hr\n1:00:00.5,-1\n", "date,bpm\n2026-03-02 08:00:00+0100,131\n",
	} {
		f.Add([]byte(body))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		if len(body) > 0 && body[0] != '<' {
			sound(t, body)
		}
		sound(t, append([]byte("elapsed_s,bpm,speed,cadence,lap\n0,120,2,80,1\n"), body...))
	})
}

// What has no beginning by itself gets one, and is put into lists that have.
func FuzzStrap(f *testing.F) {
	f.Add(strapActivity(5, time.Second))
	for _, piece := range []string{
		`"samples":[[0,92],[1004.5,0],[2000,null]],"marks":[0,1.5,-2]}`, `"marks":[],"samples":[[-5,250]]}`, `"samples":[[1e14,99],[0,99]]}`, `"samples":[[[]]]}`, `"marks":[{}`, `,{"a":1}`, `[0,99]],"marks":[1e9`, "0,99", `"samples":[[0,99]]} {}`,
	} {
		f.Add([]byte(piece))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		sound(t, []byte(`{"halfhour_strap":1,`+string(body)))
		sound(t, []byte(`{"halfhour_strap":1,"started_at":"2026-04-14T06:10:00Z",`+string(body)))
		sound(t, []byte(`{"halfhour_strap":1,"started_at":"2026-04-14T06:10:00Z","samples":[`+string(body)+`],"marks":[0,60]}`))
		sound(t, []byte(`{"halfhour_strap":1,"started_at":"2026-04-14T06:10:00Z","samples":[[0,99]],"marks":[`+string(body)+`]}`))
	})
}

func FuzzRead(f *testing.F) {
	fit, gpx, csv := fitActivity(f, 3, time.Second), gpxActivity(2, time.Second), csvActivity(3, time.Second)
	for _, body := range [][]byte{
		fit, gpx, csv, strapActivity(3, time.Second), zipped(f, csv), zipped(f, fit), reframed(fit, 12, 0), bytes.Repeat(fit, 2),
		[]byte("\xff\xfet\x00,\x00h\x00r\x00\n\x000\x00,\x009\x009\x00"), []byte("\xef\xbb\xbft,hr\n0,99"), []byte("t,hr,L\xe4ufer\n0,99,\n"), []byte("PK\x03\x04"), []byte("\x1f\x8b"),
	} {
		f.Add(body)
	}
	f.Fuzz(func(t *testing.T, body []byte) { sound(t, body) })
}
