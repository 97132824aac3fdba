#!/usr/bin/env bash
# The Debian package, as somebody meets it: built twice in different folders with the same bytes, without errors of
# lintian, installed, upgraded and purged in a fresh Debian. Needs root, network for debootstrap, and some 15 minutes.
#   package_test.sh [DEB]      DEB: a package that is built already; then nothing is built
# STEELYARD_DEBIAN: a folder that debootstrap has filled already.
set -euo pipefail
root="$(cd "$(dirname "$0")/../.." && pwd)"
scratch="$(mktemp -d /tmp/steelyard-package.XXXXXX)"
chroot="$scratch/debian"
clean_up() {
  mountpoint -q "$chroot/proc" && umount "$chroot/proc"
  rm -rf "$scratch"
}
trap clean_up EXIT
say() { printf 'package: %s\n' "$*"; }
die() { printf 'package: FAILED: %s\n' "$*" >&2; exit 1; }
export SOURCE_DATE_EPOCH
SOURCE_DATE_EPOCH="$(git -C "$root" log -1 --format=%ct)"
STEELYARD_COMMIT="$(git -C "$root" rev-parse --short=12 HEAD)"
export STEELYARD_COMMIT

# build_in FOLDER: what the working tree's last commit holds, built there; prints the package's path
build_in() {
  mkdir -p "$1"
  git -C "$root" archive HEAD | tar -x -C "$1"
  cp -r "$root/src/page/node_modules" "$1/src/page/"
  (cd "$1" && cmake --preset package && nice cmake --build build/package -- -j2 && cd build/package && cpack) >"$1.log" 2>&1 ||
    { tail -n 20 "$1.log" >&2; die "the build in $1"; }
  ls "$1"/build/package/steelyard_*.deb
}

if [ $# -gt 0 ]; then
  deb="$(realpath "$1")"
else
  deb="$(build_in "$scratch/one")"
fi
say "$(basename "$deb"), $(stat -c %s "$deb") bytes, sha256 $(sha256sum "$deb" | cut -c1-16)"
dpkg-deb -f "$deb" Depends | tee "$scratch/depends"
grep -q 'libsqlite3-0 (>=' "$scratch/depends" || die "dependencies are not computed"
grep -q 'libpq' "$scratch/depends" && die "libpq is needed only by who keeps a store on a server"
[ "$(dpkg-deb -f "$deb" Recommends)" = libpq5 ] || die "libpq5 is not recommended"
lintian --fail-on error "$deb" | sort | uniq -c || die "lintian"

if [ $# -eq 0 ]; then
  # Without a compiler cache, and in a deeper folder.
  other="$(CCACHE_DISABLE=1 build_in "$scratch/two/another-folder-of-the-second-build")"
  cmp "$deb" "$other" || die "two builds differ"
  say "two builds in different folders: the same bytes"
fi

say "installing in a fresh Debian"
if [ -n "${STEELYARD_DEBIAN:-}" ]; then
  cp -a "$STEELYARD_DEBIAN" "$chroot"
else
  debootstrap --variant=minbase bookworm "$chroot" >"$scratch/debootstrap.log" 2>&1 || { tail "$scratch/debootstrap.log"; die debootstrap; }
fi
mountpoint -q "$chroot/proc" || mount -t proc proc "$chroot/proc"
inside() { chroot "$chroot" env HOME=/root DEBIAN_FRONTEND=noninteractive LC_ALL=C PATH=/usr/sbin:/usr/bin:/sbin:/bin "$@"; }
cp "$deb" "$chroot/tmp/one.deb"
inside apt-get update -qq
inside apt-get install -y -qq /tmp/one.deb >"$scratch/install.log" 2>&1 || { tail "$scratch/install.log"; die "install"; }
inside getent passwd steelyard | grep -q ':/var/lib/steelyard:' || die "no user"
[ "$(inside stat -c '%U %a' /var/lib/steelyard)" = "steelyard 700" ] || die "rights of /var/lib/steelyard"
inside test -f /lib/systemd/system/steelyard.service || die "no unit"
inside steelyard --version

# What the unit starts, as its user.
as_service() { inside setpriv --reuid steelyard --regid steelyard --clear-groups env HOME=/var/lib/steelyard "$@"; }
as_service sh -c 'steelyard serve --config /etc/steelyard/steelyard.ini --data /var/lib/steelyard/steelyard.db \
  --inbox /var/lib/steelyard/inbox --outbox /var/lib/steelyard/outbox --listen 127.0.0.1:0 >/tmp/serve.log 2>&1 & echo $! >/var/lib/steelyard/pid
  for i in $(seq 100); do grep -q "127.0.0.1:" /tmp/serve.log && break; sleep 0.1; done
  printf "athlete,name\na1,Ada\n" >/var/lib/steelyard/inbox/.a && mv /var/lib/steelyard/inbox/.a /var/lib/steelyard/inbox/a.csv
  for i in $(seq 100); do test -f /var/lib/steelyard/inbox/done/a.csv && break; sleep 0.1; done
  kill $(cat /var/lib/steelyard/pid); test -f /var/lib/steelyard/inbox/done/a.csv' || { inside cat /tmp/serve.log; die "the service does not read its inbox"; }
sleep 1
[ "$(inside stat -c '%U %a' /var/lib/steelyard/steelyard.db)" = "steelyard 600" ] || die "rights of the store"
say "the service read a file as its own user"

say "upgrading"
dpkg-deb -R "$deb" "$scratch/next"
sed -i 's/^Version: .*/Version: 9.9.9/' "$scratch/next/DEBIAN/control"
dpkg-deb --root-owner-group -b "$scratch/next" "$chroot/tmp/next.deb" >/dev/null
echo 'morning = 05:30' >>"$chroot/etc/steelyard/steelyard.ini"
inside dpkg -i /tmp/next.deb >"$scratch/upgrade.log" 2>&1 || { tail "$scratch/upgrade.log"; die "upgrade"; }
grep -q '05:30' "$chroot/etc/steelyard/steelyard.ini" || die "the upgrade lost the settings"
as_service steelyard verify --data /var/lib/steelyard/steelyard.db

say "removing, then purging"
inside dpkg -r steelyard >/dev/null 2>&1
test -f "$chroot/etc/steelyard/steelyard.ini" || die "removing took the settings"
test -f "$chroot/var/lib/steelyard/steelyard.db" || die "removing took the store"
inside dpkg -P steelyard >"$scratch/purge.log" 2>&1 || { cat "$scratch/purge.log"; die "purge"; }
for left in /etc/steelyard /var/lib/steelyard /usr/share/steelyard /usr/bin/steelyard; do
  [ ! -e "$chroot$left" ] || die "purging left $left"
done
inside getent passwd steelyard && die "purging left the user"
say "passed"
