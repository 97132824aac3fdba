#!/usr/bin/env bash
# Makes the seeds of the fuzz targets, a folder each, from sample-logs and models.
#   seeds.sh PROGRAM OUT
set -euo pipefail
program=$1 out=$2
root="$(cd "$(dirname "$0")/../.." && pwd)"
rm -rf "$out"
mkdir -p "$out"/{csv,json,shorthand,models,http,store,loads}

for file in "$root"/sample-logs/*.csv; do
  head -n 6 "$file" >"$out/csv/$(basename "$file")"
done
printf 'athlete,date,note\r\na1,2026-11-23,"two ""lines""\r\nin a cell"\r\n' >"$out/csv/quoted"
printf 'athlete,date,minutes,rpe\na1,2026-11-23,60,7\na1,2026-11-23,,\n"a2",2026-11-24,1e2,0.5\n' >"$out/csv/sessions"
head -n 3 "$root/sample-logs/checks-hc04.jsonl" >"$out/json/checks"
for entry in '"session","date":"2026-11-23","minutes":60,"rpe":7,"note":"\u00e9"' '"set","date":"2026-11-23","lift":"squat","reps":5,"weight":140,"unit":"lb"' \
  '"plan","date":"2026-11-23","lift":"squat","kind":"heavy","sets":3,"reps":3,"percent":85' '"athlete","weekdays":"mon wed","plates_kg":"20 10 5"' \
  '"max","lift":"squat","from":"2026-01-01","training_max":150' '"day-off","from":"2026-01-01","to":"2026-01-03","reason":"holiday"' \
  '"check","date":"2026-11-23","sore_regions":"quads:4","pain":"knee-right:5:sharp","symptoms":"cough"' '"clearance","date":"2026-11-23","caution":"stop","by":"practitioner"'; do
  printf '{"entry":%s,"athlete":"a1"}\n' "$entry" >"$out/json/$(cut -d'"' -f2 <<<"$entry")"
done
printf 'squat 140 3x5 @8, bench 100x5x3, 75 min, rpe 7' >"$out/shorthand/1"
printf 'squat 60%% 8x2 @6, 55min, speed, "slept badly"' >"$out/shorthand/2"
printf 'pull-up bw 3x8, deadlift 315lb 3x5 miss 2, heavy' >"$out/shorthand/3"
printf 'bench 100x5 102.5x4 105x3 @9.5, 1h' >"$out/shorthand/4"
byte=0
for name in load strength day-kinds limits lifts cautions response; do
  { printf "\\x0$byte"; cat "$root/models/$name.toml"; } >"$out/models/$name"
  byte=$((byte + 1))
done
for path in today loads strength compare ahead why questions marks plan report; do
  printf 'GET /v1/athletes/a1/%s?date=2026-11-23\n\n' "$path" >"$out/http/get-$path"
done
printf 'GET /v1/week?week=2026-W47\nAccept: text/html\n\n' >"$out/http/week"
printf 'GET /v1/athletes/a1/today?as=html\nIf-None-Match: "x"\n\n' >"$out/http/html"
printf 'POST /v1/athletes/a1/checks\nContent-Type: application/json\nIdempotency-Key: k1\n\n{"date":"2026-11-23","sleep_hours":7,"soreness":2}' >"$out/http/check"
printf 'POST /v1/athletes/a1/sessions\nContent-Type: application/json\n\n{"date":"2026-11-22","minutes":60,"rpe":7,"sets":[{"lift":"squat","reps":5,"weight":100}]}' >"$out/http/session"
printf 'POST /v1/athletes/a1/decisions\nContent-Type: application/json\n\n{"date":"2026-11-23","follow":true}' >"$out/http/decision"
printf 'POST /v1/ingest\nContent-Type: text/csv\n\nathlete,date,minutes,rpe\na1,2026-11-21,60,7\n' >"$out/http/ingest"
printf 'POST /v1/login\nContent-Type: application/json\nCookie: session=x\n\n{"token":"abc"}' >"$out/http/login"
for path in healthz metrics v1/openapi.json; do printf 'GET /%s\n\n' "$path" >"$out/http/$(basename "$path")"; done
head -n 4 "$root/sample-logs/athletes.csv" >"$out/a.csv"
{ head -n 1 "$root/sample-logs/checks.csv"; grep -m 3 "$(sed -n 2p "$out/a.csv" | cut -d, -f1)" "$root/sample-logs/checks.csv"; } >"$out/c.csv"
"$program" ingest "$out/a.csv" "$out/c.csv" --data "$out/store/small.db" --quiet >/dev/null
"$program" backup "$out/store/copy" --data "$out/store/small.db" >/dev/null
rm -f "$out"/store/small.db* "$out/a.csv" "$out/c.csv"
printf 'not a database' >"$out/store/text"
printf '\x32\x00\x3c\x00\x00\x50\x00' >"$out/loads/week"
for i in 1 2 3 4 5 6 7 8; do printf '\x32\x00\x3c\x00\xff\x50\x00\x28'; done >"$out/loads/two-months"
for i in 1 2 3 4 5 6; do printf '\x32\x00\x3c\x00\x00\x50\x00'; done >"$out/loads/six-weeks"
