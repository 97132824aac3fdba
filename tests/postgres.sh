#!/usr/bin/env bash
# A PostgreSQL server of the tests' own: in a temporary folder, on a Unix socket, without a network address.
#   tests/postgres.sh start NOTE     starts one and writes its folder into the file NOTE
#   tests/postgres.sh restart NOTE   stops it as a computer that is switched off would, and starts it again
#   tests/postgres.sh stop NOTE      stops it and removes its folder
set -euo pipefail
verb="$1"
note="$2"

# Debian keeps the server's programs out of the path.
programs="$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -1 || true)"
[ -n "$programs" ] || programs="$(dirname "$(command -v initdb)")"

# The server refuses to run as root.
as_user=()
if [ "$(id -u)" -eq 0 ]; then as_user=(setpriv --reuid=nobody --regid=nogroup --clear-groups env -C / HOME=/tmp); fi

run_server() {
  "${as_user[@]}" "$programs/pg_ctl" -D "$1/data" -l "$1/log" -s -w -t 60 start \
    -o "-c listen_addresses= -c unix_socket_directories=$1 -c fsync=${STEELYARD_TEST_FSYNC:-off} -c max_connections=60 -c max_locks_per_transaction=256 -c shared_buffers=128MB" \
    || { tail -20 "$1/log" >&2; exit 1; }
}

stop_server() {
  [ -f "$note" ] || return 0
  local folder
  folder="$(cat "$note")"
  if [ -d "$folder/data" ]; then
    "${as_user[@]}" "$programs/pg_ctl" -D "$folder/data" -s -w -m immediate stop || true
    rm -rf "$folder"
  fi
  rm -f "$note"
}

case "$verb" in
  start)
    stop_server
    folder="$(mktemp -d /tmp/steelyard-pg-XXXXXX)"
    if [ "$(id -u)" -eq 0 ]; then chown nobody:nogroup "$folder"; fi
    printf '%s' "$folder" >"$note"
    "${as_user[@]}" "$programs/initdb" -D "$folder/data" -U postgres -A trust -E UTF8 --locale=C --no-sync >/dev/null
    sed -i '1i local all with_password scram-sha-256' "$folder/data/pg_hba.conf"
    run_server "$folder"
    ;;
  restart)
    folder="$(cat "$note")"
    "${as_user[@]}" "$programs/pg_ctl" -D "$folder/data" -s -w -m immediate stop
    run_server "$folder"
    ;;
  stop)
    stop_server
    ;;
  *)
    echo "postgres: start, restart or stop" >&2
    exit 64
    ;;
esac
