#!/bin/sh
# Fails when a room of the core touches the machine, or knows a room above it.   core_is_pure.sh SOURCE_FOLDER
src=${1:?usage: core_is_pure.sh SOURCE_FOLDER}
bad=0

# say ROOM PATTERN WHY: every line of the room's sources that matches is a fault.
say() {
    found=$(grep -rnE "$2" "$src/$1" --include='*.hpp' --include='*.cpp' 2>/dev/null) || return 0
    echo "$found" | sed "s|^|$3: |"
    bad=1
}

core="units signal layout speed portrait compare diagnose"
machine='imgui|GLFW|portaudio|sndfile|libav|libsw|cairo|pango|nlohmann|openssl|filesystem|fstream|iostream|chrono|ctime|time\.h|thread|unistd\.h|fcntl\.h|sys/'
for room in $core; do
    [ -d "$src/$room" ] || { echo "no room $src/$room"; bad=1; }
    say "$room" "^[[:space:]]*#[[:space:]]*include[[:space:]]*[<\"][^>\"]*($machine)" "the core touches the machine"
    say "$room" '^(([^/]|/[^/])*[^a-z_/])?((fopen|printf|fprintf|puts|getenv|system|time|clock)[[:space:]]*\(|std::(cout|cerr|clog)|[a-z_]+_clock::|std::random_device|toml::parse_file)' \
        "the core touches the machine"
done

# room: the rooms that it may know.
allow() {
    room=$1
    shift
    others=""
    for r in $core audio job figure note cli desk; do
        case " $room $* " in *" $r "*) ;; *) others="$others|$r" ;; esac
    done
    say "$room" "^[[:space:]]*#[[:space:]]*include[[:space:]]*\"(${others#|})/" "$room knows too much"
}
allow units
allow signal units
allow layout units
allow speed units signal layout
allow portrait units signal layout speed
allow compare units signal layout speed portrait
allow diagnose units signal layout speed portrait compare
for room in audio job figure note; do say "$room" '^[[:space:]]*#[[:space:]]*include[[:space:]]*"(cli|desk)/' "$room knows too much"; done
exit $bad
