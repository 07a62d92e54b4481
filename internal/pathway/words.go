package pathway

import (
	"fmt"
	"strings"
)

// Words says the session in words: "run 2 min, walk 3 min, six times".
func Words(blocks []Block) string {
	if run, n, ok := repeated(blocks); ok {
		return fmt.Sprintf("run %s, walk %s%s", Time(run), Time(blocks[1].Planned), often(n))
	}
	parts := make([]string, len(blocks))
	for i, b := range blocks {
		parts[i] = b.Kind.String() + " " + Time(b.Planned)
	}
	return strings.Join(parts, ", ")
}

func often(n int) string {
	switch {
	case n == 1:
		return ""
	case n == 2:
		return ", twice"
	default:
		return ", " + Number(n) + " times"
	}
}

// Time writes seconds as people say them: 45 s, 2 min, 2 min 30.
func Time(seconds int) string {
	switch m, s := seconds/60, seconds%60; {
	case m == 0:
		return fmt.Sprintf("%d s", s)
	case s == 0:
		return fmt.Sprintf("%d min", m)
	default:
		return fmt.Sprintf("%d min %02d", m, s)
	}
}

// Number writes the numbers up to twelve as a word.
func Number(n int) string {
	words := [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	if n >= 0 && n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}
