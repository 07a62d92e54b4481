package privacy

import (
	"context"
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/pathway"
	"halfhour.app/halfhour/internal/readiness"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// sessions writes one line for each session.
func (b *Bundle) sessions(ctx context.Context, w io.Writer) error {
	all, err := b.service.Store.Sessions(ctx, b.club.ID, b.athlete.ID)
	if err != nil {
		return err
	}
	rows := make([][]string, len(all))
	for i := range all {
		rows[i] = b.sessionRow(&all[i])
	}
	return writeTable(w, []string{
		"session", "date", "started_at", "kind", "phase", "outcome", "minutes", "effort_of_10", "talk", "breath_back",
		"hot", "limp", "warm_up", "cool_down", "pain", "warning_signs", "note", "entered_at", "entered_by",
	}, rows)
}

func (b *Bundle) sessionRow(s *roster.Session) []string {
	by := b.athlete.Name
	if s.ByCoach != 0 {
		by = b.coaches[s.ByCoach]
	}
	pain := painText(&s.Session)
	signs := make([]string, len(s.Signs))
	for i, sign := range s.Signs {
		signs[i] = sign.Words()
	}
	return []string{
		number(int64(s.ID)), s.Date.String(), instant(s.StartedAt), s.Kind.String(), s.Phase, s.Became().String(),
		maybe(s.Minutes), maybe(s.Effort), s.Talk.String(), s.Breath.String(), yes(s.Hot), yes(s.Limp), string(s.WarmUp), string(s.CoolDown),
		pain, strings.Join(signs, "; "), s.Note, instant(s.LoggedAt), by,
	}
}

// painText is where it hurt and how much; empty where nobody asked.
func painText(s *readiness.Session) string {
	var all []string
	for _, p := range s.Pain {
		text := p.Site + " " + strconv.Itoa(int(p.Score))
		if next, told := p.NextMorning.Get(); told {
			text += " (next morning " + strconv.Itoa(next) + ")"
		}
		all = append(all, text)
	}
	if len(all) == 0 && s.PainAsked {
		return "none"
	}
	return strings.Join(all, "; ")
}

// blocks writes one line for each run and walk.
func (b *Bundle) blocks(ctx context.Context, w io.Writer) error {
	all, err := b.service.Store.Sessions(ctx, b.club.ID, b.athlete.ID)
	if err != nil {
		return err
	}
	var rows [][]string
	for i := range all {
		for n, block := range all[i].Blocks {
			rows = append(rows, []string{
				number(int64(all[i].ID)), all[i].Date.String(), strconv.Itoa(n + 1), kindText(block.Kind),
				number(int64(block.Planned)), number(int64(block.Done)), maybe(block.Settle),
				maybe(block.Heart.Valid), maybe(block.Heart.Seconds),
			})
		}
	}
	return writeTable(w, []string{
		"session", "date", "block", "kind", "planned_seconds", "done_seconds", "breath_back_after_seconds", "recorded_seconds", "heart_seconds",
	}, rows)
}

func kindText(k pathway.Kind) string {
	if k == pathway.Run {
		return "run"
	}
	return "walk"
}

// recordingName is the file of a recording: its date, and the session it belongs to.
func recordingName(r *roster.Recording) string {
	return "recordings/" + r.On.String() + "-session-" + number(int64(r.Session)) + ".csv"
}

// writeRecording writes a recording as this program reads one: with the time of day
// where it is known, else with the seconds since the first line.
func writeRecording(w io.Writer, r *trace.Recording) error {
	speed, steps := holds(r)
	head := []string{"elapsed_s", "heart_rate"}
	if !r.Start.IsZero() {
		head[0] = "timestamp"
	}
	if speed {
		head = append(head, "speed (m/s)")
	}
	if steps {
		head = append(head, "steps per minute")
	}
	if len(r.Laps) > 0 {
		head = append(head, "lap")
	}
	out := csv.NewWriter(w)
	if err := out.Write(head); err != nil {
		return err
	}
	laps := r.Laps
	for _, s := range r.Samples {
		row := []string{number(int64(s.At)), present(int(s.BPM), 0)}
		if !r.Start.IsZero() {
			row[0] = r.Start.Add(time.Duration(s.At) * time.Second).UTC().Format(time.RFC3339Nano)
		}
		if speed {
			row = append(row, metres(s.Speed))
		}
		if steps {
			row = append(row, present(int(s.Steps), trace.Unknown))
		}
		for len(laps) > 0 && s.At >= laps[0] {
			laps = laps[1:]
		}
		if len(r.Laps) > 0 {
			row = append(row, strconv.Itoa(1+len(r.Laps)-len(laps)))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// holds says whether any sample tells the speed, and the steps.
func holds(r *trace.Recording) (speed, steps bool) {
	for _, s := range r.Samples {
		speed, steps = speed || s.Speed != trace.Unknown, steps || s.Steps != trace.Unknown
	}
	return speed, steps
}

func marksHead() []string { return []string{"recording", "mark", "elapsed_s"} }

// markRows are where the blocks of a guided session began, and where the last ended.
func markRows(name string, r *trace.Recording) [][]string {
	rows := make([][]string, len(r.Marks))
	for i, at := range r.Marks {
		rows[i] = []string{strings.TrimPrefix(name, "recordings/"), strconv.Itoa(i + 1), number(int64(at))}
	}
	return rows
}

// writeTable writes a table whose cells may be anybody's words.
func writeTable(w io.Writer, head []string, rows [][]string) error {
	out := csv.NewWriter(w)
	if err := out.Write(head); err != nil {
		return err
	}
	for _, row := range rows {
		for i := range row {
			row[i] = inert(row[i])
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// inert keeps a spreadsheet from taking somebody's words for a formula: an apostrophe
// comes before them (common practice). everything.json has them as they are.
func inert(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		if _, err := strconv.Atoi(cell); err != nil {
			return "'" + cell
		}
	}
	return cell
}

func number(n int64) string { return strconv.FormatInt(n, 10) }

func maybe(m readiness.Maybe) string {
	n, told := m.Get()
	if !told {
		return ""
	}
	return strconv.Itoa(n)
}

// present is a number; empty where it stands for nothing.
func present(n, nothing int) string {
	if n == nothing {
		return ""
	}
	return strconv.Itoa(n)
}

func metres(centimetres int16) string {
	if centimetres == trace.Unknown {
		return ""
	}
	return strconv.FormatFloat(float64(centimetres)/100, 'f', 2, 64)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func instant(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}
