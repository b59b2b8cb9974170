#!/bin/sh
# Runs a command with a disk of 2 MB, in memory, whose folder is in CRANKNOTE_SMALL_DISK. 77: it cannot be made.
disk=$(mktemp -d) || exit 1
if ! mount -t tmpfs -o size=2m none "$disk" 2>/dev/null; then
    rmdir "$disk"
    echo "skipped: no right to mount a small disk (needs root)"
    exit 77
fi
trap 'umount "$disk"; rmdir "$disk"' EXIT
CRANKNOTE_SMALL_DISK=$disk
export CRANKNOTE_SMALL_DISK
"$@"
