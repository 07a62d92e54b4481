#!/usr/bin/env bash
# Copies everything Halfhour keeps into one file, while it runs.
#
#   deploy/backup.sh FOLDER        writes FOLDER/halfhour-2026-04-14T031500Z.dump
#
# Which database: HALFHOUR_OWNER_URL or else DATABASE_URL, when one is set; else the
# private one in the data folder HALFHOUR_DATA (default /var/lib/halfhour), as root or
# its owner.
# KEEP says how many copies stay in the folder (default 14; 0: all).
#
# The copy holds health data: keep it where only those may read it who may read
# the original. How to bring it back: deploy/restore.md.
set -euo pipefail
umask 077

folder=${1:?usage: backup.sh FOLDER}
data=${HALFHOUR_DATA:-/var/lib/halfhour}
keep=${KEEP:-14}

. "$(dirname "$0")/database.sh"

reach
mkdir -p "$folder"
file=$folder/halfhour-$(date -u +%Y-%m-%dT%H%M%SZ).dump
trap 'rm -f "$file.part"' EXIT
"$(tool pg_dump)" --format=custom --no-password --file="$file.part" --dbname="$address"
"$(tool pg_restore)" --list "$file.part" >/dev/null # a copy that cannot be read is none
mv "$file.part" "$file"
echo "$file"

# Beside the copies lies who was erased, by marks that name nobody: restore.sh takes it
# along, so that an older copy brings nobody back.
if [[ -r $data/erased ]]; then
	touch "$folder/erased"
	sort -u -o "$folder/erased" "$folder/erased" "$data/erased"
fi

if ((keep > 0)); then
	# Names are in the order of time.
	find "$folder" -maxdepth 1 -name 'halfhour-*.dump' | sort -r | tail -n +$((keep + 1)) | xargs -r -d '\n' rm -f --
fi
