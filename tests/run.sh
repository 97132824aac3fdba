#!/usr/bin/env bash
# Builds the program and runs the tests. Works from any folder; what is missing is installed first.
#   tests/run.sh [ARGUMENT...]     arguments go to ctest, such as -R Ingest
#   tests/run.sh --long [STEP...]  what takes hours: see tests/long.sh
# The rooms that read no file or clock run under the address and undefined-behaviour sanitizers (build/pure), the others
# with the program as users run it (build/release), among them a PostgreSQL server of their own and a browser.
set -euo pipefail
root="$(cd "$(dirname "$0")/.." && pwd)"
if [ "${1:-}" = --long ]; then
  exec "$root/tests/long.sh" "${@:2}"
fi
"$root/tests/setup.sh" test
cd "$root"
log="$(mktemp)"
trap 'rm -f "$log"' EXIT
for preset in release pure; do
  cmake --preset "$preset" >"$log" 2>&1 || { cat "$log" >&2; exit 1; }
  cmake --build --preset "$preset" -- -j2
done

status=0 passed=0 failed=0
for preset in release pure; do  # the slow ones are part of the long run (asan)
  ctest --test-dir "build/$preset" --output-on-failure --no-tests=ignore -j "$(nproc)" -LE slow "$@" | tee "$log" || status=$?
  # "97% tests passed, 3 tests failed out of 120"
  summary="$(grep -E '^[0-9]+% tests passed, ' "$log" | tail -n 1 || true)"
  [ -n "$summary" ] || continue
  failed_here="$(sed -E 's/.*passed, ([0-9]+) tests? failed out of ([0-9]+).*/\1/' <<<"$summary")"
  all_here="$(sed -E 's/.*failed out of ([0-9]+).*/\1/' <<<"$summary")"
  failed=$((failed + failed_here)) passed=$((passed + all_here - failed_here))
done
if [ $((passed + failed)) -eq 0 ]; then
  echo "no test was run" >&2
  exit 1
fi
echo "$passed passed, $failed failed"
exit "$status"
