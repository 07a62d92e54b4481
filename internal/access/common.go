package access

import (
	"crypto/sha256"
	_ "embed" // the list below
	"encoding/base64"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Lengths of a password in characters. The longest is there only so that nobody
// makes the server hash a book; the shortest follows what is found in current
// guidance on passwords (from memory): length instead of rules of composition.
const (
	ShortestPassword = 10
	LongestPassword  = 200
)

// fewest is how many different characters a password has at least, so that it is no
// single key held down. Ours.
const fewest = 5

//go:embed common.txt
var common string

// CheckPassword says what is wrong with a new password; empty when nothing is. Own
// are the words that are tried first for this person: name, address, club.
func CheckPassword(password string, own ...string) string {
	switch n := utf8.RuneCountInString(password); {
	case n < ShortestPassword:
		return "please take at least 10 characters; several words are easy to keep in mind"
	case n > LongestPassword:
		return "please keep it to 200 characters"
	case isOwn(password, own):
		return "please take something else than your own name or address, or the club's: that is tried first"
	case isCommon(password), different(password) < fewest:
		return "many people take this one, so it is tried first; several words of your own are easy to keep in mind"
	}
	return ""
}

// isOwn says whether nothing but one of the words is left once digits, spaces and
// marks are taken away.
func isOwn(password string, own []string) bool {
	core := letters(password)
	for _, word := range append([]string{"Halfhour"}, own...) {
		local, _, _ := strings.Cut(word, "@")
		for _, w := range []string{word, local} {
			if strings.EqualFold(password, w) || core != "" && core == letters(w) {
				return true
			}
		}
	}
	return false
}

// letters are the letters of a text, in lower case.
func letters(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsLetter(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, text)
}

// isCommon says whether the password is on the list, in whatever case.
func isCommon(password string) bool {
	sum := sha256.Sum256([]byte(strings.ToLower(password)))
	return strings.Contains(common, "\n"+base64.StdEncoding.EncodeToString(sum[:6])+"\n")
}

// different counts the different characters of a text.
func different(text string) int {
	seen := map[rune]bool{}
	for _, r := range text {
		seen[r] = true
	}
	return len(seen)
}
