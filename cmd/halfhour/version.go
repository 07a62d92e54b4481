package main

import (
	"fmt"
	"runtime/debug"
)

// versionCommand prints which Halfhour this is.
type versionCommand struct{}

// Run prints one line.
func (versionCommand) Run(o outside) error {
	_, err := fmt.Fprintln(o.out, "halfhour", version())
	return err
}

// version is what the Go tool noted at the build: the module's version, or the
// commit with "changed" where files differed from it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "of an unknown build"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	commit, changed := "unknown build", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision" && len(s.Value) > 12:
			commit = s.Value[:12]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = " (changed)"
		}
	}
	return commit + changed
}
