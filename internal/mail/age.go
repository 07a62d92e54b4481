package mail

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"time"

	"halfhour.app/halfhour/internal/post"
	"halfhour.app/halfhour/internal/roster"
)

// stamped is how a file's name says when its letter was made, in UTC.
const stamped = "20060102T150405Z"

// halfWritten is how old a file is, at least, of which nobody writes any more: a letter
// is written in a moment. Ours.
const halfWritten = time.Hour

// nameOf is the name of a letter's file.
func nameOf(s post.Stamp) string {
	return s.MadeAt.UTC().Format(stamped) + "-" + strconv.FormatInt(int64(s.ID), 10) + ".eml"
}

// stampOf reads it back; false where the name is none of a letter.
func stampOf(name string) (post.Stamp, bool) {
	parts := named.FindStringSubmatch(name)
	if parts == nil {
		return post.Stamp{}, false
	}
	at, wrong := time.Parse(stamped, parts[1])
	id, far := strconv.ParseInt(parts[2], 10, 64)
	return post.Stamp{ID: roster.LetterID(id), MadeAt: at}, wrong == nil && far == nil
}

// Clubs are those that have a folder.
func (f *Folder) Clubs() ([]roster.ClubID, error) {
	entries, err := inside(f.Dir)
	var clubs []roster.ClubID
	for _, e := range entries {
		if id, no := strconv.ParseInt(e.Name(), 10, 64); no == nil && e.IsDir() {
			clubs = append(clubs, roster.ClubID(id))
		}
	}
	return clubs, err
}

// Stamps are those of the club's letters, whatever the order.
func (f *Folder) Stamps(club roster.ClubID) ([]post.Stamp, error) {
	entries, err := inside(f.of(club))
	var stamps []post.Stamp
	for _, e := range entries {
		if s, ok := stampOf(e.Name()); ok && e.Type().IsRegular() {
			stamps = append(stamps, s)
		}
	}
	return stamps, err
}

// inside are the entries of a folder; of one that is not there, none.
func inside(dir string) ([]os.DirEntry, error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return entries, unswept(err)
}

// Remove removes the club's letters, and what a program that was killed left of one.
func (f *Folder) Remove(club roster.ClubID, letters []post.Stamp) error {
	var faults []error
	for _, s := range letters {
		faults = append(faults, removed(filepath.Join(f.of(club), nameOf(s))))
	}
	halves, err := filepath.Glob(filepath.Join(f.of(club), ".part-*"))
	faults = append(faults, err)
	for _, half := range halves {
		info, err := os.Lstat(half)
		if err == nil && f.Now().Sub(info.ModTime()) >= halfWritten {
			faults = append(faults, removed(half))
		}
	}
	return errors.Join(faults...)
}

// removed removes a file; one that is not there is no fault.
func removed(path string) error {
	err := os.Remove(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return unswept(err)
}

// unswept says what is wrong with the folder without the name of a letter.
func unswept(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return errors.New("old letters cannot be removed from the mail folder: " + path.Err.Error())
	}
	return err
}
