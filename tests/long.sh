#!/usr/bin/env bash
# What does not fit the ordinary test run; tests/run.sh --long calls it. Needs root for the package's own Debian.
#   long.sh [STEP...]     tidy page kill coverage callgrind package fuzz asan tsan; all of them if none is named
# STEELYARD_FUZZ_SECONDS: for each fuzz target (1800 if not set)
set -uo pipefail
root="$(cd "$(dirname "$0")/.." && pwd)"
cd "$root"
"$root/tests/setup.sh" long
steps=("$@")
[ ${#steps[@]} -gt 0 ] || steps=(tidy page kill coverage callgrind package fuzz asan tsan)
logs="$root/build/long"
mkdir -p "$logs"

built() { cmake --preset "$1" && nice cmake --build "build/$1" -- -j2 "${@:2}"; }

step_asan() { built asan && ctest --test-dir build/asan --output-on-failure --no-tests=error -j2; }
step_tsan() { built tsan test_serve steelyard && ctest --test-dir build/tsan --output-on-failure --no-tests=error -R '^(Server|Daemon|Api|Inbox|Access|Briefings|BrokenSocket|Threats|Tls|Kill)'; }
step_kill() { built dev && ctest --test-dir build/dev -C long -L long --output-on-failure --no-tests=error; }

# Each target alone, so that the figures say something; what is found stays in build/long/found. A time limit for one
# input that also holds when others take the processor.
step_fuzz() {
  local target failed=0
  built dev steelyard && built fuzz fuzz_csv fuzz_json fuzz_shorthand fuzz_models fuzz_http fuzz_store fuzz_loads || return 1
  tests/fuzz/seeds.sh build/dev/bin/steelyard "$logs/seeds"
  for target in csv json shorthand models http store loads; do
    mkdir -p "$logs/corpus/$target" "$logs/found/$target"
    nice -n 19 "build/fuzz/bin/fuzz_$target" "$logs/corpus/$target" "$logs/seeds/$target" $(ls -d "tests/fuzz/regressions/$target" 2>/dev/null) \
      -max_total_time="${STEELYARD_FUZZ_SECONDS:-1800}" -timeout=100 -rss_limit_mb=2048 -max_len=300000 \
      -artifact_prefix="$logs/found/$target/" -print_final_stats=1 >"$logs/fuzz-$target" 2>&1 || failed=1
    echo "fuzz $target: $(grep -E 'number_of_executed_units' "$logs/fuzz-$target" | grep -oE '[0-9]+$') executions"
  done
  return $failed
}

step_package() { tests/package/package_test.sh; }
step_page() { built dev && ctest --test-dir build/dev -L browser --output-on-failure --no-tests=error; }

# Instructions of the answers against those that are kept: numbers that do not depend on how busy the machine is.
step_callgrind() { built release steelyard && tests/bench/instructions.py build/release/bin/steelyard; }

# Lines of the rooms that decide which no test of theirs runs.
step_coverage() {
  built coverage test_load test_decide test_decide_long || return 1
  find build/coverage -name '*.gcda' -delete
  build/coverage/bin/test_load >/dev/null && build/coverage/bin/test_decide >/dev/null && build/coverage/bin/test_decide_long >/dev/null &&
    gcovr --root "$root" --object-directory build/coverage --filter 'src/(load|decide)/' --gcov-ignore-parse-errors \
      --exclude-throw-branches --txt "$logs/coverage" 2>"$logs/gcovr" && cat "$logs/coverage"
}

# Without the headers that g++ has parsed before, so that each file must name what it needs.
step_tidy() {
  built dev && mkdir -p "$logs/commands" &&
    sed -E 's# -Winvalid-pch -include [^ ]*/cmake_pch\.hxx##' build/dev/compile_commands.json >"$logs/commands/compile_commands.json" || return 1
  nice run-clang-tidy-19 -quiet -p "$logs/commands" -j2 '/src/[a-z]+/' >"$logs/tidy" 2>&1
  local findings
  findings="$(grep -cE 'warning:|error:' "$logs/tidy")"
  echo "clang-tidy: $findings findings"
  cppcheck --project="$logs/commands/compile_commands.json" --suppressions-list=src/cmake/cppcheck.txt --inline-suppr --quiet \
    --enable=warning,performance,portability --error-exitcode=1 -i tests -j2 >"$logs/cppcheck" 2>&1 && [ "$findings" -eq 0 ]
}

status=0
for step in "${steps[@]}"; do
  begin=$SECONDS
  if "step_$step" >"$logs/$step" 2>&1; then result=passed; else result=FAILED status=1; fi
  printf '%-10s %s in %d s\n' "$step" "$result" $((SECONDS - begin))
  tail -n 12 "$logs/$step" | sed 's/^/    /'
done
exit $status
