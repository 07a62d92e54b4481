package mail

import (
	"cmp"
	"context"
	"errors"
	"io"
	"io/fs"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// Folder keeps letters as files where no mail server is named, each club's in a
// folder of its own. They hold one-time links, so only the account that runs
// Halfhour may read them.
type Folder struct {
	Dir  string
	From *mail.Address
	Now  func() time.Time
}

// Carry writes one letter. The same letter again replaces its first copy.
func (f *Folder) Carry(ctx context.Context, m *post.Mail) error {
	msg, err := compose(ctx, m, f.From, f.Now())
	if err != nil {
		return err
	}
	dir := f.of(m.Club.ID)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return written(err)
	}
	part, err := os.CreateTemp(dir, ".part-*")
	if err != nil {
		return written(err)
	}
	defer os.Remove(part.Name())
	_, err = msg.WriteTo(part)
	if err = errors.Join(err, part.Sync(), part.Close()); err != nil {
		return written(err)
	}
	return written(os.Rename(part.Name(), filepath.Join(dir, nameOf(post.Stamp{ID: m.ID, MadeAt: m.MadeAt}))))
}

// Writable says whether letters can be kept there.
func (f *Folder) Writable() error {
	if err := os.MkdirAll(f.Dir, 0o700); err != nil {
		return written(err)
	}
	probe, err := os.CreateTemp(f.Dir, ".part-*")
	if err != nil {
		return written(err)
	}
	return errors.Join(probe.Close(), os.Remove(probe.Name()))
}

// written says what is wrong with the folder without the name of a letter.
func written(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return errors.New("letters cannot be written into the mail folder: " + err.Error())
}

func (f *Folder) of(club roster.ClubID) string {
	return filepath.Join(f.Dir, strconv.FormatInt(int64(club), 10))
}

// named is the form of a letter's file: nothing else of the folder is ever opened.
var named = regexp.MustCompile(`^(\d{8}T\d{6}Z)-(\d{1,19})\.eml$`)

// mostKept is how many letters are listed.
const mostKept = 200

// List gives the club's newest letters, the newest first, without their text.
func (f *Folder) List(club roster.ClubID) ([]post.Filed, error) {
	entries, err := os.ReadDir(f.of(club))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, written(err)
	}
	var names []string
	for _, e := range entries {
		if named.MatchString(e.Name()) && e.Type().IsRegular() {
			names = append(names, e.Name())
		}
	}
	slices.SortFunc(names, func(a, b string) int { return newer(a, b) })
	var list []post.Filed
	for _, name := range names[:min(len(names), mostKept)] {
		one, err := f.Read(club, name)
		if err != nil {
			return nil, err
		}
		one.Text = ""
		list = append(list, one)
	}
	return list, nil
}

// newer puts the later file first; of the same second the one with the larger number.
func newer(a, b string) int {
	x, y := named.FindStringSubmatch(a), named.FindStringSubmatch(b)
	if c := strings.Compare(y[1], x[1]); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(len(y[2]), len(x[2])), strings.Compare(y[2], x[2]))
}

// Read gives one letter of the club with its text; what is no letter's name is
// fault.NotFound.
func (f *Folder) Read(club roster.ClubID, name string) (post.Filed, error) {
	if !named.MatchString(name) {
		return post.Filed{}, fault.New(fault.NotFound, "")
	}
	in, err := os.Open(filepath.Join(f.of(club), name))
	if errors.Is(err, fs.ErrNotExist) {
		return post.Filed{}, fault.New(fault.NotFound, "")
	}
	if err != nil {
		return post.Filed{}, written(err)
	}
	defer in.Close()
	msg, err := mail.ReadMessage(io.LimitReader(in, 1<<20))
	if err != nil {
		return post.Filed{}, errors.New("a letter in the mail folder cannot be read")
	}
	one := post.Filed{Name: name, To: msg.Header.Get("To"), Subject: decoded(msg.Header.Get("Subject"))}
	if to, err := mail.ParseAddress(one.To); err == nil {
		one.To = to.Address
	}
	if one.At, err = msg.Header.Date(); err != nil {
		return post.Filed{}, errors.New("a letter in the mail folder has no date")
	}
	one.Text, err = plainText(msg)
	return one, err
}

func decoded(header string) string {
	text, err := new(mime.WordDecoder).DecodeHeader(header)
	if err != nil {
		return header
	}
	return text
}

// plainText is the part of a letter without markup.
func plainText(msg *mail.Message) (string, error) {
	_, params, err := mime.ParseMediaType(msg.Header.Get("Content-Type"))
	if err != nil {
		return "", errors.New("a letter in the mail folder cannot be read")
	}
	for parts := multipart.NewReader(msg.Body, params["boundary"]); ; {
		p, err := parts.NextRawPart()
		if err != nil {
			return "", errors.New("a letter in the mail folder has no plain text")
		}
		if !strings.HasPrefix(p.Header.Get("Content-Type"), "text/plain") {
			continue
		}
		text, err := io.ReadAll(quotedprintable.NewReader(p))
		if err != nil {
			return "", errors.New("a letter in the mail folder cannot be read")
		}
		return strings.ReplaceAll(string(text), "\r\n", "\n"), nil
	}
}
