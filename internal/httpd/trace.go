package httpd

import (
	"strconv"
	"strings"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/heart"
	"halfhour.app/halfhour/internal/intensity"
	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/trace"
	"halfhour.app/halfhour/internal/wording"
	"halfhour.app/halfhour/web/page"
	"halfhour.app/halfhour/web/part"
)

// known says whether there is a ceiling.
func known(c intensity.Ceiling) bool { return c.Source != intensity.NoSource }

// tracePicture draws a recording over its session.
func tracePicture(seen *heart.Seen) *part.Trace {
	r := &seen.Reading
	t := &part.Trace{Label: traceLabel(seen), Rates: r.Rates, Blocks: make([]part.Beaten, len(r.Blocks))}
	if c := seen.Recording.Ceiling; known(c) {
		t.Easy, t.Low, t.High = int(c.BPM), int(c.Low()), int(c.High())
	}
	for i, b := range r.Blocks {
		t.Blocks[i] = part.Beaten{Kind: blockKind(b.Kind), From: b.Start, To: b.End, Unsettled: aboveCeiling(&b)}
	}
	found := foundBlocks(seen)
	for i, w := range seen.Walks {
		at, ok := found[w.Block]
		if !ok {
			continue
		}
		b := &t.Blocks[at]
		b.Number, b.Sign = strconv.Itoa(i+1), signOf(w)
		if tap, tapped := seen.Session.Blocks[w.Block].Settle.Get(); tapped {
			b.Tap = tap
		}
	}
	signs := artefactSigns(r)
	for _, a := range r.Artefacts {
		t.Lost = append(t.Lost, part.Lost{From: a.From, To: a.To, Sign: signs[a.Kind]})
	}
	return t
}

// foundBlocks says which block of the reading each block of the session is: those
// that were done, in their order. It is empty where the session was told without
// blocks, or corrected since the recording was read.
func foundBlocks(seen *heart.Seen) map[int]int {
	found := map[int]int{}
	for i, b := range seen.Session.Blocks {
		if b.Done == 0 {
			continue
		}
		k := len(found)
		if k == len(seen.Reading.Blocks) || seen.Reading.Blocks[k].Kind != b.Kind {
			return nil
		}
		found[i] = k
	}
	if len(found) != len(seen.Reading.Blocks) {
		return nil
	}
	return found
}

// aboveCeiling is how many seconds of a walk the heart stayed above the ceiling; 0
// also where it cannot be told.
func aboveCeiling(b *trace.Block) int {
	switch {
	case b.State != trace.Settled && b.State != trace.NotSettled:
		return 0
	case b.Settle != trace.None:
		return b.Settle
	case b.State == trace.NotSettled:
		return b.End - b.Start
	}
	return 0
}

// signOf is the sign of what breath and heart say together.
func signOf(w heart.Walk) part.Mark {
	if w.Mixed {
		return "mixed"
	}
	return part.Mark(told(w.Both).State)
}

// told is an answer in words.
func told(s heart.Said) page.Told {
	switch s {
	case heart.HasSettled:
		return page.Told{State: part.Met, Words: "settled"}
	case heart.HasNotSettled:
		return page.Told{State: part.Unmet, Words: "not settled"}
	}
	return page.Told{State: part.Unknown, Words: "cannot tell"}
}

// artefactSigns gives every kind of artefact in the reading a letter, in the order
// in which they come.
func artefactSigns(r *trace.Reading) map[trace.ArtefactKind]string {
	signs := map[trace.ArtefactKind]string{}
	for _, a := range r.Artefacts {
		if signs[a.Kind] == "" {
			signs[a.Kind] = string(rune('a' + len(signs)))
		}
	}
	return signs
}

// lostWords say what was left out, a kind a line.
func lostWords(seen *heart.Seen) (list []page.LostWords) {
	r := &seen.Reading
	begin := 0
	if len(r.Blocks) > 0 {
		begin = r.Blocks[0].Start
	}
	signs, seconds, times, first := artefactSigns(r), map[trace.ArtefactKind]int{}, map[trace.ArtefactKind]int{}, map[trace.ArtefactKind]int{}
	var kinds []trace.ArtefactKind
	for _, a := range r.Artefacts {
		if times[a.Kind] == 0 {
			kinds, first[a.Kind] = append(kinds, a.Kind), a.From-begin
		}
		seconds[a.Kind] += a.To - a.From
		times[a.Kind]++
	}
	for _, k := range kinds {
		words := artefactWords(k) + ": " + pathway.Time(seconds[k])
		where := ", " + pathway.Time(max(first[k], 0)) + " into the session."
		if first[k] <= 0 {
			where = ", from the start on."
		}
		if times[k] > 1 {
			where = " in " + wording.Number(times[k]) + " stretches" + strings.Replace(where, ", ", ", the first ", 1)
		}
		list = append(list, page.LostWords{Sign: signs[k], Words: words + where})
	}
	return list
}

// traceLabel is the recording in words, for whoever cannot see the picture.
func traceLabel(seen *heart.Seen) string {
	low, high := 0, 0
	for _, bpm := range seen.Reading.Rates {
		if rate := int(bpm); rate > 0 {
			if low == 0 || rate < low {
				low = rate
			}
			high = max(high, rate)
		}
	}
	words := "Heart rate over " + lengthWords(seen.Reading.Seconds)
	if high > 0 {
		words += ", from " + strconv.Itoa(low) + " to " + strconv.Itoa(high) + " beats a minute"
	}
	if c := seen.Recording.Ceiling; known(c) {
		words += "; the easy ceiling is " + strconv.Itoa(int(c.BPM))
	}
	return strings.TrimSpace(words + ". " + settledWords(seen))
}

// settledWords say in a sentence what became of the walks; empty without any.
func settledWords(seen *heart.Seen) string {
	yes, no, open := 0, 0, 0
	for _, w := range seen.Walks {
		switch w.Both {
		case heart.HasSettled:
			yes++
		case heart.HasNotSettled:
			no++
		default:
			open++
		}
	}
	all := yes + no + open
	if all == 0 && len(seen.Session.Blocks) == 0 && len(seen.Reading.Blocks) > 1 {
		return "This session was told without its blocks: they are drawn as planned, and no walk is judged."
	}
	if all == 0 {
		return "There is no walk after a run in this session, so none is judged."
	}
	walks := wording.Count(all, "walk", "walks")
	words := wording.Capital(wording.Number(yes)) + " of " + walks + " settled"
	switch {
	case open == all && all == 1:
		return "It cannot be told whether the one walk settled."
	case open == all:
		return "Of none of the " + walks + " can it be told whether it settled."
	case yes == all && all == 1:
		words = "The one walk settled"
	case yes == all && all == 2:
		words = "Both walks settled"
	case yes == all:
		words = "All " + walks + " settled"
	case yes == 0 && all == 1:
		words = "The one walk did not settle"
	case no == all && all == 2:
		words = "Neither walk settled"
	case yes == 0:
		words = "None of the " + walks + " settled"
	}
	if open > 0 {
		words += "; of " + wording.Number(open) + " it cannot be told"
	}
	return words + "."
}

// walkRows are the rows of the table beside the picture.
func walkRows(seen *heart.Seen) (rows []page.Walk) {
	found := foundBlocks(seen)
	for i, w := range seen.Walks {
		row := page.Walk{Name: "Walk " + strconv.Itoa(i+1), Heart: told(w.Heart), Breath: told(w.Breath), Both: told(w.Both), Mixed: w.Mixed}
		if at, ok := found[w.Block]; ok {
			fillWalk(&row, &seen.Reading.Blocks[at], w, seen.Usable)
		} else {
			row.Why = "The session was corrected since the recording was read."
		}
		rows = append(rows, row)
	}
	return rows
}

// fillWalk puts in what the heart shows of the walk, or why nothing is shown.
func fillWalk(row *page.Walk, b *trace.Block, w heart.Walk, usable bool) {
	if b.State != trace.Settled && b.State != trace.NotSettled || b.Valid == 0 {
		row.Why = reasonWords(b.Reason)
		return
	}
	share := func(easy int) string { return strconv.Itoa((200*easy+b.Valid)/(2*b.Valid)) + "%" }
	row.Share, row.Range = share(b.Easy), share(b.EasyLow)+" to "+share(b.EasyHigh)
	row.Settle, row.Drop = "not in this walk", "not told"
	if b.Settle != trace.None {
		row.Settle = pathway.Time(b.Settle)
	}
	if b.Drop != trace.None {
		row.Drop = wording.Count(b.Drop, "beat", "beats")
		if b.Drop > 1 {
			row.Drop = strconv.Itoa(b.Drop) + " beats"
		}
	}
	if usable && w.Heart == heart.CannotTell {
		row.Doubt = doubtWords(b)
	}
}

// readFacts are what is to be known of how the recording was read.
func readFacts(seen *heart.Seen, b subject, d wording.Dates, today day.Date) []page.Fact {
	r, rec := &seen.Reading, seen.Recording
	facts := []page.Fact{
		{Name: "Coverage", Words: "Usable for " + strconv.Itoa(wording.Rounded(100*r.Coverage)) + "% of the session, as far as it was recorded."},
		{Name: "Blocks found", Words: alignmentWords(r)},
		{Name: "Judged with", Words: "No easy ceiling was known."},
	}
	if known(rec.Ceiling) {
		facts[2].Words = "An easy ceiling of " + strconv.Itoa(int(rec.Ceiling.BPM)) + ", from " + sourceWords(rec.Ceiling) + ". " + sureWords(rec.Ceiling)
	}
	if r.Peak > 0 {
		facts = append(facts, page.Fact{Name: "Highest", Words: strconv.Itoa(r.Peak) + " beats a minute, held for ten seconds."})
	}
	by := "by the athlete"
	switch {
	case rec.ByCoach != 0:
		by = "by a coach"
	case !b.byCoach():
		by = "by you"
	}
	file := map[string]string{"fit": "FIT", "gpx": "GPX", "csv": "CSV", "strap": "A strap"}[rec.Format]
	return append(facts, page.Fact{
		Name: "File", Words: file + ", " + lengthWords(r.Seconds) + " long, added " + by + " " + d.When(seen.Athlete.Today(rec.AddedAt), today) + ".",
	})
}

// lengthWords say how long a recording is, in whole minutes from five on.
func lengthWords(seconds int) string {
	if seconds >= 300 {
		seconds = (seconds + 30) / 60 * 60
	}
	return pathway.Time(seconds)
}
