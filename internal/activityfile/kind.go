package activityfile

import (
	"bytes"
	"compress/gzip"
	"io"
)

// unpack is the file itself where it was packed with gzip, once and no further.
func unpack(body []byte) ([]byte, error) {
	switch {
	case len(body) == 0:
		return nil, refuse("the file is empty")
	case len(body) > MostBytes:
		return nil, refuse("the file is larger than 12 MB; twelve hours of heart rate take less")
	case !isGzip(body):
		return body, nil
	}
	packed, err := gzip.NewReader(bytes.NewReader(body))
	if err != nil {
		return nil, refuse("the packed file is damaged; was it copied whole?")
	}
	plain, err := io.ReadAll(io.LimitReader(packed, MostBytes+1))
	switch {
	case len(plain) > MostBytes:
		return nil, refuse("unpacked, the file is larger than 12 MB; twelve hours of heart rate take less")
	case err != nil:
		return nil, refuse("the packed file is damaged; was it copied whole?")
	case len(plain) == 0:
		return nil, refuse("the packed file is empty")
	case isGzip(plain):
		return nil, refuse("the file is packed more than once; please unpack it first")
	}
	return plain, nil
}

func isGzip(body []byte) bool { return bytes.HasPrefix(body, []byte{0x1f, 0x8b}) }

// refuseOthers names what people send by mistake; nil for what may be text.
func refuseOthers(body []byte) error {
	for _, other := range []struct{ start, words string }{
		{"PK\x03\x04", "this is a zip archive; please unpack it and send the recording inside"},
		{"PK\x05\x06", "this is an empty zip archive"},
		{"\x89PNG", "this is a picture, not a recording"},
		{"\xff\xd8\xff", "this is a picture, not a recording"},
		{"GIF8", "this is a picture, not a recording"},
		{"%PDF", "this is a PDF document, not a recording"},
		{"\xd0\xcf\x11\xe0", "this is a workbook or document of an office program; please save it as CSV"},
		{"SQLite format 3", "this is a database, not a recording"},
	} {
		if bytes.HasPrefix(body, []byte(other.start)) {
			return refuse("%s", other.words)
		}
	}
	if isBinary(body) {
		return refuse("this is neither a FIT, nor a GPX, nor a CSV file")
	}
	return nil
}

// isBinary says whether the beginning of the file holds bytes that no text has.
func isBinary(body []byte) bool {
	if isUTF16(body) {
		return false
	}
	for _, b := range body[:min(len(body), 1024)] {
		if b < ' ' && b != '\t' && b != '\n' && b != '\r' && b != '\f' {
			return true
		}
	}
	return false
}
