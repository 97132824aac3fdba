#!/usr/bin/env bash
# Builds the program and runs every test. Works from any folder; what is missing is installed first.
#   tests/run.sh [ARGUMENT...]     arguments go to ctest, such as -R Ingest
#   tests/run.sh --long [STEP...]  what takes hours: see tests/long.sh
set -euo pipefail
root="$(cd "$(dirname "$0")/.." && pwd)"
if [ "${1:-}" = --long ]; then
  exec "$root/tests/long.sh" "${@:2}"
fi
"$root/tests/setup.sh" test
cd "$root"
log="$(mktemp)"
trap 'rm -f "$log"' EXIT
cmake --preset dev >"$log" 2>&1 || { cat "$log" >&2; exit 1; }
cmake --build build/dev -- -j2

status=0
ctest --test-dir build/dev --output-on-failure --no-tests=error -j "$(nproc)" "$@" | tee "$log" || status=$?
# "97% tests passed, 3 tests failed out of 120"
summary="$(grep -E '^[0-9]+% tests passed, ' "$log" | tail -n 1)"
failed="$(sed -E 's/.*passed, ([0-9]+) tests? failed out of ([0-9]+).*/\1/' <<<"$summary")"
all="$(sed -E 's/.*failed out of ([0-9]+).*/\1/' <<<"$summary")"
if [ -z "$summary" ]; then
  echo "no test was run" >&2
  exit 1
fi
echo "$((all - failed)) passed, $failed failed"
exit "$status"
