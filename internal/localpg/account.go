package localpg

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"slices"
	"strconv"
	"syscall"
)

// account is the one PostgreSQL runs as. It never is root.
type account struct {
	name   string
	uid    int
	gids   []int // the first is the primary one
	change bool  // we are root, so a child has to become it
	shared bool  // other programs of the machine run as it too
}

// chooseAccount decides who runs PostgreSQL. A plain user does it himself. Under root
// the owner of an existing cluster does, for PostgreSQL refuses a cluster of
// somebody else; without one it is the account postgres, then nobody.
func chooseAccount(f folder) (account, error) {
	uid, owned, err := f.owner()
	if err != nil {
		return account{}, err
	}
	if os.Geteuid() != 0 {
		return ownAccount(f, uid, owned)
	}
	if owned {
		return ownerAccount(f, uid)
	}
	for _, name := range []string{"postgres", "nobody"} {
		if u, err := user.Lookup(name); err == nil {
			acc, err := rootAccount(u)
			acc.shared = name == "nobody"
			return acc, err
		}
	}
	return account{}, errors.New("PostgreSQL refuses to run as root, and this machine has neither an account postgres nor nobody. " +
		"Add one (useradd --system postgres) or start Halfhour as a plain user")
}

// ownAccount is a plain user who starts PostgreSQL as himself.
func ownAccount(f folder, owner int, owned bool) (account, error) {
	self := os.Geteuid()
	if owned && owner != self {
		return account{}, fmt.Errorf("%s belongs to %s, and Halfhour runs as %s. Start it as %s, or with another data folder",
			f.pgdata(), accountName(owner), accountName(self), accountName(owner))
	}
	groups, err := os.Getgroups()
	if err != nil {
		return account{}, fmt.Errorf("the groups of this account are unknown: %w", err)
	}
	return account{name: accountName(self), uid: self, gids: append([]int{os.Getegid()}, groups...)}, nil
}

// ownerAccount is the owner of a cluster that is there already, for a start as root.
func ownerAccount(f folder, uid int) (account, error) {
	if uid == 0 {
		return account{}, fmt.Errorf("%s belongs to root, and PostgreSQL refuses to run as root. "+
			"Give it to another account: chown -R postgres %s", f.pgdata(), f.pgdata())
	}
	u, err := user.LookupId(strconv.Itoa(uid))
	if err != nil {
		return account{}, fmt.Errorf("%s belongs to account number %d, which this machine does not know. "+
			"Give it to another account: chown -R postgres %s", f.pgdata(), uid, f.pgdata())
	}
	acc, err := rootAccount(u)
	acc.shared = u.Username == "nobody"
	return acc, err
}

// rootAccount is the account that root becomes, with its primary group alone.
func rootAccount(u *user.User) (account, error) {
	uid, err := strconv.Atoi(u.Uid)
	if err != nil {
		return account{}, fmt.Errorf("account %s has no number: %w", u.Username, err)
	}
	gid, err := strconv.Atoi(u.Gid)
	if err != nil {
		return account{}, fmt.Errorf("account %s has no group: %w", u.Username, err)
	}
	return account{name: u.Username, uid: uid, gids: []int{gid}, change: true}, nil
}

// credential is what a child needs to become the account; nil when it is it already.
func (a account) credential() *syscall.Credential {
	if !a.change {
		return nil
	}
	return &syscall.Credential{Uid: uint32(a.uid), Gid: uint32(a.gids[0]), Groups: []uint32{}}
}

// mayEnter tells whether the mode of the folder lets the account pass through it.
func (a account) mayEnter(info fs.FileInfo) bool {
	stat, ok := info.Sys().(*syscall.Stat_t)
	if !ok {
		return true
	}
	mode := info.Mode().Perm()
	switch {
	case int(stat.Uid) == a.uid:
		return mode&0o100 != 0
	case slices.Contains(a.gids, int(stat.Gid)):
		return mode&0o010 != 0
	default:
		return mode&0o001 != 0
	}
}

// accountName is the name of an account number, or the number where it has no name.
func accountName(uid int) string {
	u, err := user.LookupId(strconv.Itoa(uid))
	if err != nil {
		return fmt.Sprintf("account number %d", uid)
	}
	return u.Username
}
