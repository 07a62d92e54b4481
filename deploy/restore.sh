#!/usr/bin/env bash
# Brings a copy made by backup.sh back: see deploy/restore.md first.
#
#   deploy/restore.sh FILE
#
# Which database: as in backup.sh. What is there now is replaced, all of it or,
# if anything fails, nothing.
set -euo pipefail

file=${1:?usage: restore.sh FILE}
data=${HALFHOUR_DATA:-/var/lib/halfhour}

. "$(dirname "$0")/database.sh"

# Who was erased since the copy was made is erased again when Halfhour starts, by the
# list in its data folder. The list beside the copy is added to it.
list=$(dirname "$file")/erased
if [[ -s $list && -d $data ]]; then
	touch "$data/erased"
	sort -u -o "$data/erased" "$data/erased" "$list"
	chmod 600 "$data/erased"
	if [[ $(id -u) == 0 ]]; then
		chown "$(stat -c %u:%g "$data")" "$data/erased"
	fi
elif [[ -s $list ]]; then
	echo "before Halfhour is restarted, put $list into its data folder: $data is not here" >&2
fi

reach
"$(tool pg_restore)" --clean --if-exists --single-transaction --exit-on-error --no-password --dbname="$address" "$file"
echo "brought back: $file; restart Halfhour now, so that whoever was erased since is erased again"
