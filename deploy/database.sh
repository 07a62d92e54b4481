# Which database, and with which tools: for backup.sh and restore.sh, which read
# this and set $data before.

# reach sets address to the database as PostgreSQL's tools take it. A password goes
# through the environment: the words of a command can be read by everybody on the
# machine.
reach() {
	local url=${HALFHOUR_OWNER_URL:-${DATABASE_URL:-}} folder=
	if [[ -n $url ]]; then
		if [[ $url =~ ^(postgres(ql)?://[^:/@?]*):([^@/?]*)@(.*)$ ]]; then
			printf -v PGPASSWORD '%b' "${BASH_REMATCH[3]//%/\\x}"
			export PGPASSWORD
			url=${BASH_REMATCH[1]}@${BASH_REMATCH[4]}
		fi
		address=$url
		return
	fi
	# PostgreSQL writes there where it answers: the fifth line is the socket's folder.
	[[ -r $data/pgdata/postmaster.pid ]] && folder=$(sed -n 5p "$data/pgdata/postmaster.pid")
	if [[ ! -S $folder/.s.PGSQL.5432 ]]; then
		echo "no Halfhour is running with the data folder $data" >&2
		return 1
	fi
	address="host=$folder port=5432 user=halfhour dbname=halfhour"
}

# tool is one of PostgreSQL's programs, of the version that made the data where
# there are several.
tool() {
	local major path
	if [[ -n ${HALFHOUR_PG_BIN:-} && -x $HALFHOUR_PG_BIN/$1 ]]; then
		echo "$HALFHOUR_PG_BIN/$1"
		return
	fi
	if [[ -z ${DATABASE_URL:-} && -r $data/pgdata/PG_VERSION ]]; then
		major=$(cat "$data/pgdata/PG_VERSION")
		for path in "/usr/lib/postgresql/$major/bin/$1" "/usr/pgsql-$major/bin/$1"; do
			[[ -x $path ]] && { echo "$path"; return; }
		done
	fi
	command -v "$1" || { echo "$1 is not installed (Debian: apt install postgresql-client)" >&2; return 1; }
}
