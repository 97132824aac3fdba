#!/usr/bin/env bash
# Installs the Debian 12 packages that building and testing needs. Safe to repeat; quick when nothing is missing.
#   tests/setup.sh [build|test|long]     build: what the program needs; test (default): also what the tests need;
#                                        long: also what tests/run.sh --long needs
set -euo pipefail
build_packages=(
  g++ cmake ninja-build ccache pkg-config
  libboost1.81-dev libboost-program-options1.81-dev libboost-date-time1.81-dev libboost-json1.81-dev
  libsqlite3-dev libarmadillo-dev liblapack-dev libblas-dev libtomlplusplus-dev libexpected-dev libfmt-dev libssl-dev libpq-dev tzdata
)
test_packages=(libgtest-dev libgmock-dev postgresql python3-icalendar chromium fonts-dejavu-core)

long_packages=(
  libbenchmark-dev clang-19 libclang-rt-19-dev clang-tidy-19 llvm-19 cppcheck gcovr valgrind lintian debootstrap dpkg-dev binutils mandoc zsh fish
)

command -v npm >/dev/null || build_packages+=(npm)  # the page's chart library comes from npm
wanted=("${build_packages[@]}")
[ "${1:-test}" = build ] || wanted+=("${test_packages[@]}")
[ "${1:-test}" != long ] || wanted+=("${long_packages[@]}")

missing=()
for package in "${wanted[@]}"; do
  dpkg-query -W -f='${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' || missing+=("$package")
done
install_packages() {
  local as_root=()
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { echo "setup: these packages are missing and sudo is not here to install them: ${missing[*]}" >&2; exit 69; }
    as_root=(sudo)
  fi
  echo "setup: installing ${missing[*]}" >&2
  "${as_root[@]}" apt-get update -qq
  if [[ " ${missing[*]} " == *" postgresql "* ]]; then
    # The tests start a server of their own; the package shall not make and start one for the machine.
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends postgresql-common >/dev/null
    "${as_root[@]}" sed -ri 's/^#?\s*create_main_cluster\s*=.*/create_main_cluster = false/' /etc/postgresql-common/createcluster.conf
  fi
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}
[ ${#missing[@]} -eq 0 ] || install_packages

# What the page is built from and, for the tests, driven and checked with; the lock file fixes every version.
page="$(cd "$(dirname "$0")/../src/page" && pwd)"
if [ "${1:-test}" = build ]; then
  [ -d "$page/node_modules/uplot" ] || (cd "$page" && npm ci --omit=dev --ignore-scripts --no-audit --no-fund >/dev/null)
else
  node -e 'process.exit(Number(process.versions.node.split(".")[0]) >= 18 ? 0 : 1)' ||
    { echo "setup: the browser tests need Node.js 18 or later; this is $(node --version)" >&2; exit 69; }
  [ -d "$page/node_modules/playwright-core" ] || (cd "$page" && npm ci --ignore-scripts --no-audit --no-fund >/dev/null)
fi
