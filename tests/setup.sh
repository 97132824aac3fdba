#!/usr/bin/env bash
# Installs the Debian 12 packages that building and testing needs. Safe to repeat; quick when nothing is missing.
#   tests/setup.sh [build|test]     build: what the program needs; test (default): also what the tests need
set -euo pipefail
build_packages=(
  g++ cmake ninja-build ccache pkg-config
  libboost1.81-dev libboost-program-options1.81-dev libboost-date-time1.81-dev libboost-json1.81-dev
  libsqlite3-dev libarmadillo-dev liblapack-dev libblas-dev libtomlplusplus-dev libexpected-dev libfmt-dev libssl-dev tzdata
)
test_packages=(libgtest-dev libgmock-dev python3-icalendar)

wanted=("${build_packages[@]}")
[ "${1:-test}" = build ] || wanted+=("${test_packages[@]}")

missing=()
for package in "${wanted[@]}"; do
  dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing+=("$package")
done
[ ${#missing[@]} -gt 0 ] || exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null || { echo "setup: these packages are missing and sudo is not here to install them: ${missing[*]}" >&2; exit 69; }
  as_root=(sudo)
fi
echo "setup: installing ${missing[*]}" >&2
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
