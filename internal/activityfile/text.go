package activityfile

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// asText is the file in UTF-8 without a byte order mark. UTF-16 is known by its
// mark; what is no UTF-8 is taken as Latin-1: only names and notes hold such
// letters, and nobody reads those.
func asText(body []byte) []byte {
	if isUTF16(body) {
		return fromUTF16(body)
	}
	body = bytes.TrimPrefix(body, []byte("\xef\xbb\xbf"))
	if utf8.Valid(body) {
		return body
	}
	size := len(body)
	for _, b := range body {
		if b >= utf8.RuneSelf {
			size++
		}
	}
	text := make([]byte, 0, size)
	for _, b := range body {
		text = utf8.AppendRune(text, rune(b))
	}
	return text
}

func isUTF16(body []byte) bool {
	return bytes.HasPrefix(body, []byte{0xff, 0xfe}) || bytes.HasPrefix(body, []byte{0xfe, 0xff})
}

func fromUTF16(body []byte) []byte {
	high, low := 0, 1
	if body[0] == 0xff {
		high, low = 1, 0
	}
	at := func(i int) rune { return rune(body[i+high])<<8 | rune(body[i+low]) }
	text := make([]byte, 0, len(body)/2*3) // at most three bytes for two
	for i := 2; i+1 < len(body); i += 2 {
		r := at(i)
		if utf16.IsSurrogate(r) && i+3 < len(body) {
			r = utf16.DecodeRune(r, at(i+2))
			i += 2
		}
		text = utf8.AppendRune(text, r)
	}
	return text
}

// quote shows a piece of the file to a person: shortened, and without letters that
// cannot be printed.
func quote[T string | []byte](piece T) string {
	const most = 24
	var b strings.Builder
	letters := 0
	for _, r := range strings.TrimSpace(string(piece[:min(len(piece), 4*most+4)])) {
		if letters++; letters > most {
			b.WriteRune('…')
			break
		}
		if !unicode.IsPrint(r) || r == utf8.RuneError {
			r = '·'
		}
		b.WriteRune(r)
	}
	return "“" + b.String() + "”"
}

// isBlank says whether a cell stands for no value.
func isBlank(cell []byte) bool {
	switch len(cell) {
	case 0:
		return true
	case 1, 2, 3, 4:
		switch strings.ToLower(string(cell)) {
		case "-", "--", "---", "n/a", "na", "nan", "null", "none", "nil":
			return true
		}
	}
	return false
}

// number reads a decimal number with a point or a comma. Not a number: false.
func number(cell []byte) (float64, bool) {
	digits, point := cell, -1
	negative := len(digits) > 0 && digits[0] == '-'
	if negative {
		digits = digits[1:]
	}
	whole := int64(0)
	for i, c := range digits {
		switch {
		case '0' <= c && c <= '9' && i < 15:
			whole = whole*10 + int64(c-'0')
		case (c == '.' || c == ',') && point < 0:
			point = i
		default:
			return slowNumber(cell)
		}
	}
	if len(digits) == 0 || point == 0 && len(digits) == 1 {
		return 0, false
	}
	value := float64(whole)
	if point >= 0 {
		value /= math.Pow10(len(digits) - 1 - point)
	}
	if negative {
		value = -value
	}
	return value, true
}

// slowNumber reads what number does not: many digits, exponents, a plus.
func slowNumber(cell []byte) (float64, bool) {
	if len(cell) > 40 {
		return 0, false
	}
	value, err := strconv.ParseFloat(strings.Replace(string(cell), ",", ".", 1), 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) {
		return 0, false
	}
	return value, true
}
