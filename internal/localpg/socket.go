package localpg

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// port only names the socket; nothing listens on the network.
const port = 5432

// socketName is the file that PostgreSQL makes in the folder of the socket.
func socketName() string { return ".s.PGSQL." + strconv.Itoa(port) }

// Address is where a private PostgreSQL answers.
type Address struct{ folder string }

// Attach is the address of the PostgreSQL that another program runs in this data
// folder, for a command beside it. ErrNotRunning when nothing answers there.
func Attach(ctx context.Context, dir string) (Address, error) {
	real, err := filepath.EvalSymlinks(dir)
	if err == nil {
		real, err = filepath.Abs(real)
	}
	if err != nil {
		return Address{}, fmt.Errorf("%w: %w", ErrNotRunning, err)
	}
	f := folder{data: real}
	uid, owned, err := f.owner()
	if err != nil {
		return Address{}, err
	}
	if !owned {
		return Address{}, fmt.Errorf("%w: %s holds no database", ErrNotRunning, real)
	}
	addr := Address{folder: f.socketFolder(uid)}
	conn, err := new(net.Dialer).DialContext(ctx, "unix", filepath.Join(addr.folder, socketName()))
	if err != nil {
		return Address{}, fmt.Errorf("%w: %w", ErrNotRunning, err)
	}
	return addr, conn.Close()
}

// Folder is the folder of the socket, for PostgreSQL's own tools (pg_dump --host).
func (a Address) Folder() string { return a.folder }

// URL connects to the database as Owner. Everything that may also come from the
// environment is written out, so that a PGHOST or PGUSER set for other work
// changes nothing. It is meant for pgx; the tools of PostgreSQL know fewer keywords.
func (a Address) URL(database string) string { return a.URLAs(Owner, database) }

// URLAs connects to the database as the role.
func (a Address) URLAs(role, database string) string {
	query := url.Values{
		"host": {a.folder}, "port": {strconv.Itoa(port)}, "password": {""}, "passfile": {os.DevNull},
		"sslmode": {"disable"}, "sslcertmode": {"disable"}, "sslnegotiation": {"postgres"},
		"application_name": {"halfhour"}, "connect_timeout": {"10"}, "target_session_attrs": {"any"},
		"options": {""}, "timezone": {"UTC"}, "channel_binding": {"disable"}, "require_auth": {""},
		"min_protocol_version": {"3.0"}, "max_protocol_version": {"3.0"},
	}
	// A space is written + in forms only; a real + is %2B here already.
	raw := strings.ReplaceAll(query.Encode(), "+", "%20")
	return (&url.URL{Scheme: "postgres", User: url.User(role), Path: "/" + database, RawQuery: raw}).String()
}

// socketFolder is run in the data folder, or a short folder in /tmp where the path of the
// socket would be longer than the kernel takes or the separators of a list are in it.
func (f folder) socketFolder(uid int) string {
	run := f.run()
	if len(filepath.Join(run, socketName())) <= longestSocket && !strings.ContainsAny(run, `,"`) {
		return run
	}
	sum := sha256.Sum256([]byte(f.data))
	return fmt.Sprintf("/tmp/halfhour-%d-%x", uid, sum[:8])
}

// socket makes the folder of the socket for the account. A folder in /tmp could have been
// laid there by somebody else, so owner and kind are looked at and not only asked for.
func (f folder) socket(acc account) (string, error) {
	dir := f.socketFolder(acc.uid)
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", fmt.Errorf("the folder of the socket, %s, cannot be made: %w", dir, err)
	}
	info, err := os.Lstat(dir)
	if err != nil {
		return "", fmt.Errorf("the folder of the socket, %s, cannot be read: %w", dir, err)
	}
	owner := acc.uid
	if stat, ok := info.Sys().(*syscall.Stat_t); ok {
		owner = int(stat.Uid)
	}
	if !info.IsDir() || info.Mode().Perm() != 0o700 || (owner != acc.uid && !(acc.change && owner == 0)) {
		return "", fmt.Errorf("%s should be a folder of %s that nobody else may enter (mode 0700), and is not. Move it away", dir, acc.name)
	}
	if owner != acc.uid { // just made by root
		err = os.Lchown(dir, acc.uid, acc.gids[0])
	}
	return dir, err
}
