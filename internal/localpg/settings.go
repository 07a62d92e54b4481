package localpg

import "strconv"

// arguments are the settings of the server. They are on the command line, not in
// postgresql.conf, so that a later Halfhour changes them for old data folders too.
func (p plan) arguments() []string {
	args := []string{"-D", p.folder.pgdata()}
	add := func(pairs ...string) {
		for _, pair := range pairs {
			args = append(args, "-c", pair)
		}
	}
	add("listen_addresses=", "unix_socket_directories="+p.socket, "unix_socket_permissions=0700", "port="+strconv.Itoa(port))
	add(small(p.binary.major)...)
	add(quiet()...)
	if p.test {
		add(unsafe()...)
	}
	return args
}

// small keeps the server within 40 MB at rest, four connections included. The system caches
// the files too: reading 15 MB of rows took 28 ms with 8 MB of shared buffers and 25 ms with
// 32 MB (PostgreSQL 15, two cores), which used 15 MB more.
func small(major int) []string {
	settings := []string{
		"max_connections=40", "shared_buffers=8MB", "huge_pages=off",
		"min_wal_size=32MB", "max_wal_size=256MB",
		"max_parallel_workers_per_gather=0", "max_logical_replication_workers=0", "jit=off",
	}
	if major >= 18 {
		settings = append(settings, "io_method=sync") // else three more processes wait for work
	}
	return settings
}

// quiet keeps rows out of the log: PostgreSQL would write a failing statement and the values
// of a broken key beside its error, which the caller gets anyway.
func quiet() []string {
	return []string{
		"logging_collector=off", "log_destination=stderr", "log_line_prefix=", "log_min_messages=log",
		"log_min_error_statement=panic", "log_error_verbosity=terse", "log_checkpoints=off",
		"timezone=UTC", "log_timezone=UTC",
	}
}

// unsafe is for tests, whose data may be lost.
func unsafe() []string {
	return []string{
		"fsync=off", "synchronous_commit=off", "full_page_writes=off",
		"wal_level=minimal", "max_wal_senders=0", "autovacuum=off", "max_connections=100",
	}
}
