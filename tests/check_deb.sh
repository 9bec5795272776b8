#!/bin/sh
# Makes the Debian package, unpacks it into an empty root and does a maker's job with nothing but what is in it.
# Usage: check_deb.sh BUILD_DIR POISE
set -eu
here=$(cd "$(dirname "$0")" && pwd)
build=$1
poise=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
fail() {
    echo "$*"
    exit 1
}

cpack -G DEB --config "$build/CPackConfig.cmake" -B "$work/made" >"$work/log" 2>&1 || { cat "$work/log"; exit 1; }
deb=$(find "$work/made" -maxdepth 1 -name 'poise_*.deb')
[ -f "$deb" ] || fail "no package was made"
root=$work/root
dpkg-deb -x "$deb" "$root"
usr=$root/usr

# What it says of itself. Every library that the program needs is in a package that it depends on.
[ "$(dpkg-deb -f "$deb" Package)" = poise ] || fail "wrong name"
depends=$(dpkg-deb -f "$deb" Depends)
for package in libc6 libcjson1 libexpat1 libgeos-c1v5 libzip4 lp-solve; do
    echo "$depends" | grep -Eq "(^|, )$package( |,|\$)" || fail "Depends lacks $package: $depends"
done
dpkg-deb -f "$deb" Recommends | grep -q '^gnuplot-nox' || fail "Recommends lacks gnuplot-nox"
for binary in "$usr/bin/poise" "$usr/lib"*/libpoise.so "$usr/lib"/*/libpoise.so; do
    [ -e "$binary" ] || continue
    ldd "$binary" | grep 'not found' && fail "$binary: libraries are missing"
done

# What every package has, and nothing of the machine that made it.
for file in share/doc/poise/copyright share/doc/poise/changelog.gz share/man/man1/poise.1.gz \
    share/man/man5/poise-instrument.5.gz share/bash-completion/completions/poise \
    share/zsh/vendor-completions/_poise share/fish/vendor_completions.d/poise.fish share/poise/plots/side.gp \
    share/poise/components/README.md share/poise/components/instruments/mudlark/spine-tail.stl; do
    [ -s "$usr/$file" ] || fail "the package lacks $file"
done
grep -rl --exclude-dir=doc -e "$build" "$usr" && fail "paths of the build are in the package"
[ -z "$(find "$root" -perm /022 ! -type l)" ] || fail "others may write: $(find "$root" -perm /022 ! -type l)"

# The job: the demo as installed weighs what the build says; a new file; a picture; completion; the manual.
unset POISE_COMPONENTS POISE_PLOTS
export XDG_CACHE_HOME="$work/cache" XDG_DATA_DIRS=/nowhere
demo=$usr/share/poise/components/instruments/mudlark/mudlark.json
"$usr/bin/poise" weigh "$demo" >"$work/installed"
"$poise" weigh "$demo" >"$work/built"
diff "$work/built" "$work/installed" || fail "the installed program weighs differently"
cd "$work"
"$usr/bin/poise" new "Marsh Wren" >/dev/null
"$usr/bin/poise" weigh marsh-wren.json >/dev/null
"$usr/bin/poise" plot "$demo" side -o side.svg 2>/dev/null
grep -q '<svg' side.svg || fail "no picture"
offered=$(PATH="$usr/bin:$PATH" bash --norc -c '. "$0"; COMP_LINE="poise parts tuners-6-inline-l"; COMP_POINT=${#COMP_LINE}
    COMP_WORDS=(poise) COMPREPLY=(); _poise; echo "${COMPREPLY[@]}"' "$usr/share/bash-completion/completions/poise")
[ "$offered" = "tuners-6-inline-lightweight tuners-6-inline-locking" ] || fail "completion offers: $offered"
gzip -dc "$usr/share/man/man1/poise.1.gz" | groff -man -ww -Kutf8 -Tutf8 >page 2>warnings
[ ! -s warnings ] || fail "$(cat warnings)"

"$here/install/check_examples.sh" "$usr"
echo "$(basename "$deb"): $(dpkg-deb -f "$deb" Installed-Size) kB"
