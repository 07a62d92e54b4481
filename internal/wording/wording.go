// Package wording is what things are called: values in, words out. Pages and letters
// take their words from here, so that the same thing is called the same everywhere.
package wording

import (
	"strconv"
	"unicode"
	"unicode/utf8"

	"halfhour.app/halfhour/internal/pathway"
)

// Number writes numbers up to ninety-nine as words, larger ones in figures.
func Number(n int) string {
	tens := [...]string{"", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"}
	teens := [...]string{"thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"}
	switch {
	case n < 0 || n > 99:
		return strconv.Itoa(n)
	case n <= 12:
		return pathway.Number(n)
	case n < 20:
		return teens[n-13]
	case n%10 == 0:
		return tens[n/10]
	}
	return tens[n/10] + "-" + pathway.Number(n%10)
}

// Capital begins a sentence.
func Capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	if size == 0 {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}

// Count writes "one session", "three sessions".
func Count(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return Number(n) + " " + many
}

// Ordinal is "first" to "twelfth", then "13th".
func Ordinal(n int) string {
	words := [...]string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth"}
	if n > 0 && n < len(words) {
		return words[n]
	}
	ending := "th"
	if n%100 < 11 || n%100 > 13 {
		ending = [...]string{"th", "st", "nd", "rd", "th", "th", "th", "th", "th", "th"}[n%10]
	}
	return strconv.Itoa(n) + ending
}
