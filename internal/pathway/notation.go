package pathway

import (
	"fmt"
	"strconv"
	"strings"
)

// Limits of a session that is written down.
const (
	mostBlocks   = 120  // blocks
	longestBlock = 7200 // seconds of one block
)

// Parse reads a session as people write it down:
//
//	session = part { "," part }
//	part    = block | times "x" "(" block { "," block } ")"
//	length  = minutes ":" seconds | seconds
//	block   = ( "run" | "walk" ) length
//
// as in "walk 5:00, 6x(run 1:30, walk 3:30), walk 4:00". Capitals do not matter, and
// "×" is as good as "x". The error says in words what is wrong, and where.
func Parse(text string) ([]Block, error) {
	var blocks []Block
	rest := strings.ToLower(strings.ReplaceAll(text, "×", "x"))
	for {
		part, after, more := cutPart(rest)
		repeated, err := parsePart(strings.TrimSpace(part))
		if err != nil {
			return nil, err
		}
		if blocks = append(blocks, repeated...); len(blocks) > mostBlocks {
			return nil, fmt.Errorf("more than %d blocks", mostBlocks)
		}
		if rest = after; !more {
			return blocks, nil
		}
	}
}

// cutPart cuts at the first comma outside of brackets.
func cutPart(text string) (part, rest string, more bool) {
	deep := 0
	for i, r := range text {
		switch {
		case r == '(':
			deep++
		case r == ')':
			deep--
		case r == ',' && deep <= 0:
			return text[:i], text[i+1:], true
		}
	}
	return text, "", false
}

// parsePart reads a block, or a repeat with what it repeats.
func parsePart(part string) ([]Block, error) {
	head, inner, bracket := strings.Cut(part, "(")
	if !bracket {
		b, err := parseBlock(part)
		return []Block{b}, err
	}
	inner, closed := strings.CutSuffix(inner, ")")
	count := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(head), "x"))
	times, err := strconv.Atoi(count)
	switch {
	case !closed || strings.ContainsAny(inner, "()"):
		return nil, fmt.Errorf("%q: brackets do not match", part)
	case err != nil || times < 1 || times > mostBlocks:
		return nil, fmt.Errorf("%q: before a bracket stands how often, as in 6x(…)", part)
	}
	var once, all []Block
	for _, one := range strings.Split(inner, ",") {
		b, err := parseBlock(strings.TrimSpace(one))
		if err != nil {
			return nil, err
		}
		once = append(once, b)
	}
	for range times {
		all = append(all, once...)
	}
	return all, nil
}

// parseBlock reads "run 1:30" or "walk 90".
func parseBlock(text string) (Block, error) {
	name, time, _ := strings.Cut(text, " ")
	var b Block
	switch name {
	case "run":
		b.Kind = Run
	case "walk":
		b.Kind = Walk
	case "":
		return b, fmt.Errorf("a block is missing")
	default:
		return b, fmt.Errorf("%q: a block is a run or a walk with its time, as in run 1:30", text)
	}
	seconds, ok := parseClock(strings.TrimSpace(time))
	if !ok || seconds < 1 || seconds > longestBlock {
		return b, fmt.Errorf("%q: the time is missing or not between 0:01 and 120:00", text)
	}
	b.Planned = seconds
	return b, nil
}

// parseClock reads 1:30 as minutes and seconds, a number alone as seconds.
func parseClock(text string) (seconds int, ok bool) {
	before, after, colon := strings.Cut(text, ":")
	first, err := strconv.ParseUint(before, 10, 16)
	if err != nil {
		return 0, false
	}
	if !colon {
		return int(first), true
	}
	second, err := strconv.ParseUint(after, 10, 8)
	if err != nil || len(after) != 2 || second > 59 {
		return 0, false
	}
	return 60*int(first) + int(second), true
}
