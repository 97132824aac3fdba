#!/usr/bin/env bash
# Installs what was built into a scratch folder, runs the installed program, and builds a program of somebody else's
# against the installed headers, libraries and exported package.
#   consumer.sh BUILD_FOLDER BUILD_TYPE FLAGS
set -euo pipefail
build=$1 type=$2 flags=$3
here="$(cd "$(dirname "$0")" && pwd)"
scratch="$(mktemp -d)"
trap 'rm -rf "$scratch"' EXIT
prefix="$scratch/prefix"
cmake --install "$build" --prefix "$prefix" >/dev/null

for file in bin/steelyard share/steelyard/models/limits.toml share/man/man1/steelyard.1 share/man/man1/steelyard-serve.1 \
  share/bash-completion/completions/steelyard share/zsh/vendor-completions/_steelyard \
  share/fish/vendor_completions.d/steelyard.fish lib/systemd/system/steelyard.service \
  share/doc/steelyard/sbom.cdx.json include/steelyard/base/result.hpp; do
  [ -s "$prefix/$file" ] || { echo "not installed: $file" >&2; exit 1; }
done

# The program finds its other half, and that the models.
service="$(find "$prefix" -name steelyard-service)"
[ -x "$service" ] && [ "$("$service" --version)" = "$("$prefix/bin/steelyard" --version)" ] ||
  { echo "the two programs differ" >&2; exit 1; }
STEELYARD_DATA="$scratch/t.db" "$prefix/bin/steelyard" token list >/dev/null ||
  { echo "steelyard token does not find $service" >&2; exit 1; }

# With the models beside it, and none of the source folder's in reach of a changed value.
sed -i 's/"sample"/"population"/' "$prefix/share/steelyard/models/load.toml"
[ "$("$prefix/bin/steelyard" --version)" != "$("$build/bin/steelyard" --version)" ] ||
  { echo "the installed program does not read the installed models" >&2; exit 1; }

cmake -S "$here/consumer" -B "$scratch/build" -G Ninja -DCMAKE_PREFIX_PATH="$prefix" -DCMAKE_BUILD_TYPE="$type" "-DCMAKE_CXX_FLAGS_${type^^}=$flags" >/dev/null
cmake --build "$scratch/build" >/dev/null
said="$("$scratch/build/consumer" "$prefix/share/steelyard/models")"
[ "$said" = "1 error" ] || { echo "the consumer said: $said" >&2; exit 1; }  # the row of an unknown athlete
