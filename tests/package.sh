#!/bin/sh
# package.sh BUILD: packs BUILD as a .deb in a folder of its own, and looks at it as the one who installs it.
set -eu
build=$1
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
(cd "$build" && cpack -G DEB -B "$out") >"$out/log" 2>&1 || { cat "$out/log"; exit 1; }
deb=$(find "$out" -maxdepth 1 -name '*.deb')
dpkg-deb -I "$deb" >"$out/facts"
dpkg-deb -x "$deb" "$out/root"
fail() { echo "package: $1"; cat "$out/facts"; exit 1; }
for library in libsndfile1 libavformat59 libcairo2 libssl3 fonts-inter; do
  grep -q "Depends:.*$library" "$out/facts" || fail "does not ask for $library"
done
for file in bin/cranknote share/cranknote/layouts/five-in-line.toml share/doc/cranknote/copyright \
            share/doc/cranknote/examples/minibus/layout.toml; do
  [ -s "$out/root/usr/$file" ] || fail "lacks $file"
done
"$out/root/usr/bin/cranknote" layout check "$out/root/usr/share/cranknote/layouts/five-in-line.toml" >"$out/table"
grep -q '×' "$out/table" || fail "its program prints no ratios"
