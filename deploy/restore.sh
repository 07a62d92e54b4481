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

reach
"$(tool pg_restore)" --clean --if-exists --single-transaction --exit-on-error --no-password --dbname="$address" "$file"
echo "brought back: $file"
