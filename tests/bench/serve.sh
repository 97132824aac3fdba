#!/usr/bin/env bash
# How the service compares with a static file server that sends the same bytes, on this machine.
#   tests/bench/serve.sh PROGRAM [SECONDS]     needs wrk, nginx and curl; PROGRAM should be an optimised build
# Prints requests a second, p50 and p99 of: reads over the service, the same body as a file, and reads mixed with writes.
set -euo pipefail
program=$(realpath "$1")
seconds=${2:-10}
root=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d)
pids=()
finish() {
  for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null || true; done
  wait 2>/dev/null || true
  rm -rf "$work"
}
trap finish EXIT

export STEELYARD_DATA=$work/store.db
"$program" ingest "$root/sample-logs" --quiet >/dev/null 2>&1
"$program" serve --listen 127.0.0.1:0 2>"$work/log" &
pids+=($!)
until grep -q event=listening "$work/log"; do kill -0 "${pids[0]}"; done
port=$(sed -n 's/.*event=listening.* port=\([0-9]*\).*/\1/p' "$work/log")
route='/v1/athletes/hc05/today?date=2026-11-23'

mkdir -p "$work/www"
chmod 755 "$work" "$work/www"
curl -s "http://127.0.0.1:$port$route" >"$work/www/today.json"
file_port=$((port > 40000 ? port - 20000 : port + 20000))
cat >"$work/nginx.conf" <<CONF
worker_processes 1;
daemon off;
pid $work/nginx.pid;
error_log $work/nginx.log;
events { worker_connections 1024; }
http { access_log off; server { listen 127.0.0.1:$file_port; root $work/www; } }
CONF
nginx -c "$work/nginx.conf" 2>/dev/null &
pids+=($!)
until curl -sf "http://127.0.0.1:$file_port/today.json" -o /dev/null; do kill -0 "${pids[1]}"; done

cat >"$work/mixed.lua" <<'LUA'
-- One write in ten: a bar speed of some day, so that the entries differ.
local n = 0
local thread = 0
function setup(t) t:set("id", thread) thread = thread + 1 end
request = function()
  n = n + 1
  if n % 10 ~= 0 then return wrk.format("GET", wrk.path) end
  local body = string.format('{"date":"%04d-%02d-%02d","lift":"squat","percent":60,"speed":0.%02d}',
    1950 + n % 50, 1 + n % 12, 1 + n % 28, 10 + (n + id) % 80)
  return wrk.format("POST", "/v1/athletes/hc01/bar", {["Content-Type"] = "application/json"}, body)
end
LUA

run() {  # NAME URL [wrk options]
  local name=$1 url=$2
  shift 2
  wrk -t1 -c64 -d"${seconds}s" --latency "$@" "$url" >"$work/out"
  local rate p50 p99 wrong
  rate=$(awk '/Requests\/sec/ {print $2}' "$work/out")
  p50=$(awk '$1 == "50%" {print $2}' "$work/out")
  p99=$(awk '$1 == "99%" {print $2}' "$work/out")
  wrong=$(grep -E 'Non-2xx|Socket errors' "$work/out" || true)
  printf '%-34s %10s req/s   p50 %-9s p99 %-9s %s\n' "$name" "$rate" "$p50" "$p99" "${wrong:-no errors}"
  last=$rate
}
run "file server, $(stat -c %s "$work/www/today.json") bytes" "http://127.0.0.1:$file_port/today.json"
files=$last
run "service, GET today" "http://127.0.0.1:$port$route"
reads=$last
run "service, 9 reads and 1 write" "http://127.0.0.1:$port$route" -s "$work/mixed.lua"
mixed=$last
run "service, GET metrics (no store)" "http://127.0.0.1:$port/metrics"
bare=$last

# Slow clients: 500 connections that never finish their header, and what eight others notice of them.
ulimit -n 4096 2>/dev/null || true
p99() {  # milliseconds
  wrk -t1 -c8 -d"$(((seconds + 2) / 3))s" --latency "http://127.0.0.1:$port$route" |
    awk '$1 == "99%" { x = $2; print x ~ /us$/ ? x / 1000 : x ~ /ms$/ ? x + 0 : x * 1000 }'
}
idle=()
hold() {
  for _ in $(seq 500); do
    exec {fd}<>"/dev/tcp/127.0.0.1/$port"
    printf 'GET / HTTP/1.1\r\nHo' >&"$fd"
    idle+=("$fd")
  done
}
let_go() {
  for fd in "${idle[@]}"; do exec {fd}>&-; done
  idle=()
}
alone=()
beside=()
for _ in 1 2 3 4 5; do  # by turns, so that the machine's other work falls on both
  alone+=("$(p99)")
  hold
  beside+=("$(p99)")
  let_go
done
median() { printf '%s\n' "$@" | sort -g | sed -n 3p; }
printf 'eight connections, p99 of five runs: %s ms alone, %s ms beside 500 idle ones (%s; %s)\n' \
  "$(median "${alone[@]}")" "$(median "${beside[@]}")" "${alone[*]}" "${beside[*]}"
awk -v f="$files" -v r="$reads" -v m="$mixed" -v b="$bare" 'BEGIN {
  printf "ratio to the file server: reads %.4f, mixed %.4f, without the store %.2f\n", r / f, m / f, b / f }'
