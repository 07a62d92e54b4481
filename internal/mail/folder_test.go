package mail

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"halfhour.app/halfhour/internal/fault"
	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

func TestLettersAsFiles(t *testing.T) {
	f := &Folder{Dir: filepath.Join(t.TempDir(), "mail"), From: sender(t), Now: at}
	require.NoError(t, f.Writable())
	empty, err := f.List(3)
	require.NoError(t, err)
	require.Empty(t, empty)
	for i := range 12 {
		m := one(post.WayIn)
		m.ID = roster.LetterID(i + 1)
		m.MadeAt = noon.Add(time.Duration(i/2) * time.Second) // two of each second
		m.Name = fmt.Sprintf("Athlete %d", i+1)
		require.NoError(t, f.Carry(t.Context(), m))
		require.NoError(t, f.Carry(t.Context(), m), "sent twice, one file")
	}
	list, err := f.List(3)
	require.NoError(t, err)
	require.Len(t, list, 12)
	for i, l := range list {
		text, err := f.Read(3, l.Name)
		require.NoError(t, err)
		require.Contains(t, text.Text, fmt.Sprintf("Hello Athlete %d,", 12-i), "the newest first")
		require.Empty(t, l.Text)
		require.Equal(t, "ines@example.org", l.To)
		require.Equal(t, "Your way in to Harbour", l.Subject)
		require.True(t, noon.Equal(l.At))
	}
	text, err := f.Read(3, list[0].Name)
	require.NoError(t, err)
	require.Contains(t, text.Text, "https://run.example.org/in/abc")

	other, err := f.List(4)
	require.NoError(t, err)
	require.Empty(t, other, "another club's are its own")
	for _, name := range []string{"", "..", "../3/" + list[0].Name, "20260414T120000Z-1.eml/../../secret", "secret.eml", list[0].Name + "\x00", "20260414T120000Z-999.eml"} {
		_, err := f.Read(3, name)
		require.Equal(t, fault.NotFound, fault.KindOf(err), "%q", name)
	}
	_, err = f.Read(4, list[0].Name)
	require.Equal(t, fault.NotFound, fault.KindOf(err), "another club's")

	info, err := os.Stat(filepath.Join(f.Dir, "3", list[0].Name))
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "there are links in them")
	info, err = os.Stat(filepath.Join(f.Dir, "3"))
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	rest, err := filepath.Glob(filepath.Join(f.Dir, "3", ".part-*"))
	require.NoError(t, err)
	require.Empty(t, rest)
}

func TestAFolderThatCannotBeWritten(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	f := &Folder{Dir: filepath.Join(file, "mail"), From: sender(t), Now: at}
	for _, err := range []error{f.Writable(), f.Carry(t.Context(), one(post.WayIn))} {
		require.ErrorContains(t, err, "letters cannot be written")
		require.NotContains(t, err.Error(), "ines")
	}
}

// A file that is no letter, or half of one, breaks no page.
func TestAFolderWithOtherThings(t *testing.T) {
	f := &Folder{Dir: t.TempDir(), From: sender(t), Now: at}
	require.NoError(t, f.Carry(t.Context(), one(post.NewDevice)))
	at := filepath.Join(f.Dir, "3")
	require.NoError(t, os.WriteFile(filepath.Join(at, "notes.txt"), []byte("x"), 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(at, "20260414T120000Z-5.eml"), 0o700))
	require.NoError(t, os.Symlink("/etc/passwd", filepath.Join(at, "20260414T120000Z-6.eml")))
	list, err := f.List(3)
	require.NoError(t, err)
	require.Len(t, list, 1)
	for _, half := range []string{"", "Date: x\r\n\r\n", "Date: Tue, 14 Apr 2026 12:00:00 +0000\r\nContent-Type: text/plain\r\n\r\nx", "Date: Tue, 14 Apr 2026 12:00:00 +0000\r\n\r\n"} {
		require.NoError(t, os.WriteFile(filepath.Join(at, "20260414T120000Z-7.eml"), []byte(half), 0o600))
		_, err := f.Read(3, "20260414T120000Z-7.eml")
		require.Error(t, err, "%q", half)
	}
}

func TestLettersAreRemoved(t *testing.T) {
	now := noon
	f := &Folder{Dir: filepath.Join(t.TempDir(), "mail"), From: sender(t), Now: func() time.Time { return now }}
	clubs, err := f.Clubs()
	require.NoError(t, err)
	require.Empty(t, clubs, "before the first letter")
	require.NoError(t, f.Remove(3, nil))
	require.NoError(t, f.Carry(t.Context(), one(post.WayIn)))
	second := one(post.NewDevice)
	second.ID, second.MadeAt = 12, noon.Add(1500*time.Millisecond)
	require.NoError(t, f.Carry(t.Context(), second))

	dir := filepath.Join(f.Dir, "3")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("x"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(f.Dir, "4"), []byte("x"), 0o600))
	half := filepath.Join(dir, ".part-1")
	require.NoError(t, os.WriteFile(half, []byte("half a letter to Ines"), 0o600))
	require.NoError(t, os.Chtimes(half, noon, noon))

	clubs, err = f.Clubs()
	require.NoError(t, err)
	require.Equal(t, []roster.ClubID{3}, clubs)
	stamps, err := f.Stamps(3)
	require.NoError(t, err)
	require.ElementsMatch(t, []post.Stamp{{ID: 7, MadeAt: noon.Add(-time.Minute)}, {ID: 12, MadeAt: noon.Add(time.Second)}}, stamps)
	for range 2 {
		require.NoError(t, f.Remove(3, stamps[:1]), "removed twice is removed")
	}
	left, err := f.Stamps(3)
	require.NoError(t, err)
	require.Equal(t, stamps[1:], left)
	require.FileExists(t, half, "somebody may be writing it")
	now = noon.Add(time.Hour)
	require.NoError(t, f.Remove(3, nil))
	require.NoFileExists(t, half)
	require.FileExists(t, filepath.Join(dir, "notes.txt"), "what is no letter is left alone")

	require.NoError(t, os.Remove(filepath.Join(dir, nameOf(left[0]))))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, nameOf(left[0]), "x"), 0o700))
	err = f.Remove(3, left)
	require.ErrorContains(t, err, "cannot be removed")
	require.NotContains(t, err.Error(), ".eml")
}
