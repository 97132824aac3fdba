#!/usr/bin/env bash
# Writes a bill of materials as CycloneDX 1.5 JSON: the Debian packages whose libraries the program loads, those whose
# headers and static code went into it, and what comes from npm.
#   sbom.sh PROGRAM VERSION LOCK_FILE PACKAGE... >sbom.cdx.json
set -euo pipefail
program=$1 version=$2 lock=$3
shift 3

architecture="$(dpkg --print-architecture)"
seen=' '
components=()
# add PACKAGE SCOPE
add() {
  local package=${1%%:*} installed
  [[ $seen != *" $package "* ]] || return 0
  seen+="$package "
  installed="$(dpkg-query -W -f='${Version}' "$package")"
  components+=("{\"type\": \"library\", \"name\": \"$package\", \"version\": \"$installed\", \"scope\": \"$2\", \"purl\": \"pkg:deb/debian/$package@${installed//+/%2B}?arch=$architecture\"}")
}

# dpkg knows libraries by their real names, below /usr.
while read -r library; do
  real="$(readlink -f "$library")"
  owner="$( (dpkg -S "$real" 2>/dev/null || dpkg -S "${real#/usr}") | head -n 1)"
  add "${owner%%: *}" required
done < <(ldd "$program" | sed -nE 's/.*=> (\/[^ ]+) .*/\1/p' | LC_ALL=C sort)
for package in "$@"; do add "$package" excluded; done
uplot="$(sed -nE '/"node_modules\/uplot": \{/,/\}/s/.*"version": "([^"]+)".*/\1/p' "$lock")"
components+=("{\"type\": \"library\", \"name\": \"uplot\", \"version\": \"$uplot\", \"scope\": \"required\", \"purl\": \"pkg:npm/uplot@$uplot\"}")

printf '{\n  "bomFormat": "CycloneDX",\n  "specVersion": "1.5",\n  "version": 1,\n'
printf '  "metadata": {"timestamp": "%s", "component": {"type": "application", "name": "steelyard", "version": "%s"}},\n' \
  "$(date -u -d "@${SOURCE_DATE_EPOCH:-$(date +%s)}" +%Y-%m-%dT%H:%M:%SZ)" "$version"
printf '  "components": [\n'
for ((i = 0; i < ${#components[@]}; i++)); do
  printf '    %s%s\n' "${components[i]}" "$([ $((i + 1)) -eq ${#components[@]} ] || printf ,)"
done
printf '  ]\n}\n'
