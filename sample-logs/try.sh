#!/usr/bin/env bash
# Builds the program and shows what it says about the invented club in this folder, on Monday 2026-11-23.
# Works from any folder, as root or with sudo; the second time it only shows. The store is a temporary file.
set -euo pipefail
logs="$(cd "$(dirname "$0")" && pwd)"
root="$(dirname "$logs")"
day=2026-11-23

"$root/tests/setup.sh" build
build="$root/build/release"
if [ ! -f "$build/build.ninja" ]; then
  cmake -S "$root" -B "$build" -G Ninja -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_FLAGS_RELEASE=-O2 -DBUILD_TESTING=OFF >&2
fi
cmake --build "$build" --target steelyard -- -j2 >&2
PATH="$build/bin:$PATH"

store="$(mktemp -d)"
trap 'rm -rf "$store"' EXIT
export STEELYARD_DATA="$store/club.db"

show() {
  printf '\n$ %s\n' "$*"
  "$@"
}

cd "$root"
echo "== What was ingested"
show steelyard ingest sample-logs
show steelyard questions

echo
echo "== Today's call: an ordinary Monday, sore quads on the heavy day, back from 16 days of holiday"
show steelyard today --athlete hc01 --date "$day"
show steelyard today --athlete hc05 --date "$day"
show steelyard today --athlete hc03 --date "$day"

echo
echo "== Heavy today, or later?"
show steelyard compare --athlete hc05 --date "$day"

echo
echo "== The coach's week"
show steelyard week --week 2026-W47 --date "$day" --group club

echo
echo "== Daily loads of one lifter"
show steelyard loads --athlete hc02 --date "$day"
