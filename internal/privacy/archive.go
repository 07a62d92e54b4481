package privacy

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"time"

	"halfhour.app/halfhour/internal/day"
	"halfhour.app/halfhour/internal/roster"
	"halfhour.app/halfhour/internal/trace"
)

// LeftOut are the columns that are not in the archive as they stand, with the reason.
// Every other column of every table with rows about athletes is, whatever is added.
func LeftOut() map[string]string {
	return map[string]string{
		"login.token":           "the fingerprint of the secret in your browser; with it somebody could try to come in as you",
		"code.hash":             "the fingerprint of a sign-in link; with it somebody could try to come in as you",
		"calendar_address.hash": "the fingerprint of the secret address of your calendar; with it somebody could try to read it",
		"recording.body":        "the recording as it is packed here; it is in the folder recordings in a form that can be read",
		"recording.digest":      "a fingerprint by which the same file is recognised; it says nothing about you",
	}
}

// Bundle is everything kept on an athlete, ready to be written.
type Bundle struct {
	service *Service
	club    roster.Club
	athlete roster.Athlete
	tables  []Table
	coaches map[roster.CoachID]string
	at      time.Time
}

// Name is the file's name; it holds no person's.
func (b *Bundle) Name() string {
	return "halfhour-" + day.Of(b.at, b.athlete.Place()).String() + ".zip"
}

// Bundle finds what is to be written. Who may not have it does not find it.
func (s *Service) Bundle(ctx context.Context, who roster.Actor, athlete roster.AthleteID) (*Bundle, error) {
	b := &Bundle{service: s, at: s.Now(), coaches: map[roster.CoachID]string{}}
	var err error
	if b.athlete, err = s.subject(ctx, who, athlete); err != nil {
		return nil, err
	}
	if b.club, err = s.Store.Club(ctx, who.Club); err != nil {
		return nil, err
	}
	coaches, err := s.Store.Coaches(ctx, who.Club)
	if err != nil {
		return nil, err
	}
	for _, c := range coaches {
		b.coaches[c.ID] = c.Name
	}
	b.tables, err = s.Store.Tables(ctx, who.Club)
	return b, err
}

// WriteTo writes the archive. Rows and recordings are read a few at a time and go out
// as they come, so that much of it takes up no more room than little. After an error
// what was written is no whole archive, and no program takes it for one.
func (b *Bundle) WriteTo(ctx context.Context, w io.Writer) error {
	z := zip.NewWriter(w)
	for _, part := range []struct {
		name  string
		write func(context.Context, io.Writer) error
	}{
		{"README.txt", b.readme}, {"everything.json", b.everything},
		{"sessions.csv", b.sessions}, {"blocks.csv", b.blocks},
	} {
		file, err := b.file(z, part.name)
		if err != nil {
			return err
		}
		if err := part.write(ctx, file); err != nil {
			return err
		}
	}
	if err := b.recordings(ctx, z); err != nil {
		return err
	}
	return z.Close()
}

// file begins the next file of the archive.
func (b *Bundle) file(z *zip.Writer, name string) (io.Writer, error) {
	return z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: b.at})
}

// everything writes all rows, table by table.
func (b *Bundle) everything(ctx context.Context, w io.Writer) error {
	about, err := json.Marshal(map[string]any{
		"club": b.club.Name, "athlete": b.athlete.Name, "made_at": b.at.UTC(), "coaches": b.coaches,
	})
	if err != nil {
		return err
	}
	if _, err := io.WriteString(w, `{"about":`+string(about)); err != nil {
		return err
	}
	for _, t := range b.tables {
		if err := b.table(ctx, w, t); err != nil {
			return err
		}
	}
	lines, err := b.service.Store.Lines(ctx, b.club.ID, b.athlete.ID)
	if err != nil {
		return err
	}
	if err := begin(w, "audit"); err != nil {
		return err
	}
	if err := writeRows(w, lines, true); err != nil {
		return err
	}
	_, err = io.WriteString(w, "\n]}\n")
	return err
}

// begin opens the list of a table's rows.
func begin(w io.Writer, table string) error {
	_, err := io.WriteString(w, ",\n\""+table+"\":[")
	return err
}

// table writes the rows of one table, some at a time.
func (b *Bundle) table(ctx context.Context, w io.Writer, t Table) error {
	if err := begin(w, t.Name); err != nil {
		return err
	}
	first := true
	for from := int64(0); ; {
		rows, next, err := b.service.Store.Rows(ctx, b.club.ID, b.athlete.ID, t, from)
		if err != nil {
			return err
		}
		if err := writeRows(w, rows, first); err != nil {
			return err
		}
		first = first && len(rows) == 0
		if from = next; next == 0 {
			break
		}
	}
	_, err := io.WriteString(w, "\n]")
	return err
}

func writeRows(w io.Writer, rows [][]byte, first bool) error {
	var line bytes.Buffer
	for _, row := range rows {
		line.Reset()
		if !first {
			line.WriteByte(',')
		}
		first = false
		line.WriteByte('\n')
		line.Write(row)
		if _, err := w.Write(line.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// recordings writes each into a file of its own, and the marks of all into one.
func (b *Bundle) recordings(ctx context.Context, z *zip.Writer) error {
	all, err := b.service.Store.Recordings(ctx, b.club.ID, b.athlete.ID)
	if err != nil || len(all) == 0 {
		return err
	}
	var marks [][]string
	for i := range all {
		one, err := b.service.Store.Recording(ctx, b.club.ID, b.athlete.ID, all[i].Session)
		if err != nil {
			return err
		}
		r, err := trace.Unpack(one.Body)
		if err != nil {
			return err
		}
		name := recordingName(&one)
		file, err := b.file(z, name)
		if err != nil {
			return err
		}
		if err := writeRecording(file, &r); err != nil {
			return err
		}
		marks = append(marks, markRows(name, &r)...)
	}
	file, err := b.file(z, "recordings/marks.csv")
	if err != nil {
		return err
	}
	return writeTable(file, marksHead(), marks)
}
