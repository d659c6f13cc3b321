#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs a package into a bare Debian 12 of its own, uses what it brings and
# removes it; whatever is left then is a fault.
#     bare.sh PACKAGE.deb
set -euo pipefail
deb=$1
root=$(mktemp -d)
trap 'umount "$root/proc" 2>/dev/null; rm -rf --one-file-system "$root"' EXIT
log=$root.log

fail() {
    echo "$*"
    tail -n 20 "$log"
    exit 1
}

# inside COMMAND ... : runs it there, without anything of this machine's.
inside() {
    env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 \
        DEBIAN_FRONTEND=noninteractive chroot "$root" "$@"
}

debootstrap --variant=minbase bookworm "$root" >"$log" 2>&1 ||
    fail "no bare Debian could be made"
mount -t proc proc "$root/proc" 2>>"$log" || true
cp /etc/resolv.conf "$root/etc/" 2>/dev/null || true
# Minimal systems leave manuals out; this one is to show them.
rm -f "$root"/etc/dpkg/dpkg.cfg.d/*
cp "$deb" "$root/opt/saltwright.deb"

inside apt-get update >>"$log" 2>&1 || true
inside apt-get install -y --no-install-recommends /opt/saltwright.deb \
    >>"$log" 2>&1 || fail "it does not install"
rm "$root/opt/saltwright.deb"
echo "installed, with $(inside dpkg-query -W -f '${Depends}' saltwright)"

inside saltwright --version >>"$log" || fail "the command does not run"
inside bash -c 'cd /usr/share/doc/saltwright/examples &&
    saltwright formulate --water well.csv --target basil.csv \
        --shelf straights.csv --volume 400gal --sheet /opt/sheet.html' \
    >>"$log" || fail "the examples do not run"
grep -q 'All 16 targets are met' "$log" || fail "the answer is another"
rm "$root/opt/sheet.html"
[ -s "$root/usr/share/saltwright/saltwright.schema.json" ] || fail "no schema"
[ -s "$root/usr/share/doc/saltwright/methods.md" ] || fail "no methods"

inside apt-get install -y --no-install-recommends man-db bash-completion \
    >>"$log" 2>&1 || fail "no man"
for page in "$root"/usr/share/man/man1/saltwright*; do
    page=$(basename "$page" .1.gz)
    inside man -P cat "$page" 2>>"$log" | grep -q '^NAME' ||
        fail "man $page shows nothing"
done
completed=$(inside bash -c '. /usr/share/bash-completion/bash_completion
    . /usr/share/bash-completion/completions/saltwright
    COMP_WORDS=(saltwright formul) COMP_CWORD=1
    _saltwright
    echo "${COMPREPLY[*]}"')
[ "$completed" = formulate ] || fail "completion offers: $completed"
echo "it runs, shows its manual and completes"

inside apt-get purge -y saltwright >>"$log" 2>&1 || fail "it does not go"
left=$(find "$root" -xdev -name '*saltwright*' ! -path '*/var/log/*')
[ -z "$left" ] || fail "left behind: $left"
inside ldconfig -p | grep saltwright && fail "the loader still knows it"
rm -f "$log"
echo "removed without a trace"
