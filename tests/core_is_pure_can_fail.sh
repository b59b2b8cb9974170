#!/bin/sh
# Proves that core_is_pure.sh sees each kind of fault: it must pass on a clean tree and fail on every planted line.
check=${1:?usage: core_is_pure_can_fail.sh CHECK}
tree=$(mktemp -d) || exit 1
trap 'rm -rf "$tree"' EXIT
for room in units signal layout speed portrait compare diagnose audio job; do mkdir "$tree/$room"; done
printf '#include <cmath>\n#include "units/units.hpp"\nint lifetime(int);\nint a = lifetime(3);  // how long (of time (s)), std::cout\n\nchar t[9]; int n = snprintf(t, 9, "x");\n' > "$tree/signal/clean.cpp"
sh "$check" "$tree" || { echo "a clean tree does not pass"; exit 1; }

failed=0
must_fail() {
    printf '%s\n' "$2" > "$tree/$1/planted.cpp"
    if out=$(sh "$check" "$tree"); then echo "not seen in $1: $2"; failed=1; fi
    case $out in *"$1/planted.cpp"*) ;; *) echo "the fault is not named: $2"; failed=1 ;; esac
    rm "$tree/$1/planted.cpp"
}
for header in imgui.h GLFW/glfw3.h portaudio.h sndfile.h libavformat/avformat.h cairo/cairo.h pango/pangocairo.h nlohmann/json.hpp \
    filesystem fstream iostream chrono; do
    must_fail compare "#include <$header>"
done
must_fail layout '  # include "imgui.h"'
must_fail speed 'auto t = std::chrono::steady_clock::now();'
must_fail signal 'void f() { printf("x"); }'
must_fail signal 'auto e = getenv("HOME");'
must_fail signal 'void g() { std::cerr << 1; }'
must_fail signal 'auto t = time(nullptr);'
must_fail speed 'int x = 4 / 2; auto d = std::random_device{}();'
must_fail layout 'auto t = toml::parse_file("x");'
must_fail units '#include "signal/recording.hpp"'
must_fail signal '#include "layout/layout.hpp"'
must_fail layout '#include "signal/recording.hpp"'
must_fail speed '#include "portrait/finding.hpp"'
must_fail portrait '#include "compare/comparison.hpp"'
must_fail compare '#include "diagnose/diagnose.hpp"'
must_fail diagnose '#include "note/names.hpp"'
must_fail diagnose '#include "audio/decode.hpp"'
must_fail job '#include "cli/commands.hpp"'
exit $failed
