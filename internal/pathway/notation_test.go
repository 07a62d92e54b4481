package pathway_test

import (
	"fmt"
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/pathway"
)

// plan reads a session as the rule book writes it: "6 × (run 1:00, walk 4:00)",
// "run 20:00, walk 2:30, run 7:30", or without the words, a run first. "–" is no
// session.
func plan(text string) []pathway.Block {
	if text == "–" {
		return nil
	}
	repeats := 1
	if n, inner, ok := strings.Cut(text, " × ("); ok {
		repeats, text = whole(n), strings.TrimSuffix(inner, ")")
	}
	var once []pathway.Block
	for i, part := range strings.Split(text, ", ") {
		kind := pathway.Run
		if strings.HasPrefix(part, "walk ") || !strings.HasPrefix(part, "run ") && i%2 == 1 {
			kind = pathway.Walk
		}
		once = append(once, pathway.Block{Kind: kind, Planned: clock(part[strings.LastIndex(part, " ")+1:])})
	}
	var blocks []pathway.Block
	for range repeats {
		blocks = append(blocks, once...)
	}
	return blocks
}

// clock reads 13:45, or whole minutes, as seconds.
func clock(text string) int {
	minutes, seconds, ok := strings.Cut(text, ":")
	if !ok {
		return 60 * whole(minutes)
	}
	return 60*whole(minutes) + whole(seconds)
}

func whole(text string) int {
	n, err := strconv.Atoi(text)
	if err != nil {
		panic(fmt.Sprintf("a test names %q where a number must be", text))
	}
	return n
}
