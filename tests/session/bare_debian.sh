#!/bin/sh
# README's commands on a bare Debian 12 in a chroot. Run by hand, as root, with debootstrap and a
# network; keep its log.
#
#   sh tests/session/bare_debian.sh FOLDER            without the tests
#   sh tests/session/bare_debian.sh FOLDER --tests    with them
#
# FOLDER is made if it does not exist; mounts inside it end with this script. What is committed is
# tried. BIND (folders, separated by blanks) are shown inside too, such as a store of packages.
set -eu
folder=$1 tests=${2:-}
if [ -z "${BARE_DEBIAN_MOUNTS:-}" ]; then
    BARE_DEBIAN_MOUNTS=own exec unshare --mount sh "$0" "$@"
fi

say() { printf '\n== %s\n' "$*"; }
inside() {
    chroot "$folder" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/home/guest LANG=C.UTF-8 \
        DEBIAN_FRONTEND=noninteractive "$@"
}
# Runs a command that must end with a status, and shows the last lines of what it says.
expect() {
    wanted=$1
    shift
    status=0
    inside "$@" >"$folder/tmp/said" 2>&1 || status=$?
    tail -n 12 "$folder/tmp/said" | cut -c1-160
    echo "-- status $status (expected $wanted)"
    [ "$status" = "$wanted" ]
}
# The shell block of README that follows a marker.
readme() { awk -v mark="<!-- $1 -->" '$0 == mark {on = 1; next} on && /^```$/ {exit} on && !/^```/' README.md; }

[ -d "$folder/usr" ] || debootstrap --variant=minbase bookworm "$folder"
mkdir -p "$folder/home/guest"
cp -L /etc/resolv.conf "$folder/etc/"
mount -t proc proc "$folder/proc"
mount --rbind /dev "$folder/dev"
for path in ${BIND:-}; do
    mkdir -p "$folder$path"
    mount --bind "$path" "$folder$path"
done
rm -rf "$folder/home/guest/fairlead"
mkdir "$folder/home/guest/fairlead"
git archive HEAD | tar -x -C "$folder/home/guest/fairlead"
go="cd /home/guest/fairlead && "

say "Debian $(cat "$folder/etc/debian_version"): python3 and pip, nothing else"
inside sh -c "apt-get update && apt-get install -y --no-install-recommends python3 python3-pip" \
    >"$folder/tmp/apt" 2>&1 || { tail "$folder/tmp/apt"; exit 1; }

# How this machine reaches the package index; after apt, which writes the certificates again.
for path in /etc/pip.conf /etc/ssl/certs/ca-certificates.crt; do
    [ ! -f "$path" ] || cp -L "$path" "$folder$path"
done

say "Installing, and the figures, without Qt's libraries"
expect 0 sh -c "$go$(readme 'demo command' | sed -n 1p) true"
expect 0 sh -c "$go .venv/bin/fairlead figures samples/dipole-reference.s1p --band 6m"

say "A picture without them: one line, status 1"
expect 1 sh -c "$go .venv/bin/fairlead picture samples/dipole-reference.s1p -o one.png"
say "The window without them: one line, status 1"
expect 1 sh -c "$go .venv/bin/fairlead"

say "README's line for the system"
inside sh -c "$(readme 'system command' | sed 's/apt-get install/apt-get install -y/')" \
    >"$folder/tmp/apt" 2>&1 || { tail "$folder/tmp/apt"; exit 1; }
say "README's first command"
expect 0 sh -c "$go$(readme 'demo command')"
inside sh -c "$go ls -l comparison.png"
say "The window without a display: one line, status 1"
expect 1 sh -c "$go .venv/bin/fairlead"

[ "$tests" = --tests ] || exit 0
say "README's second command"
expect 0 sh -c "$go$(readme 'test command')"
