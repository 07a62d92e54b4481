package page

import (
	"slices"
	"strconv"
	"strings"
)

// capital makes the first letter a capital one.
func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// sorted are the keys in order.
func sorted(m map[string]string) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// orDash is the text, or a dash where nothing is told.
func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// score is a score of pain, or a dash where it is not told.
func score(n int) string {
	if n < 0 {
		return "–"
	}
	return strconv.Itoa(n)
}

// first is the first text that is not empty.
func first(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

// with puts a word before the text, if there is one.
func with(word, text string) string {
	if text == "" {
		return ""
	}
	return word + text
}

// joined joins the texts that are not empty.
func joined(by string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(t string) bool { return t == "" }), by)
}
