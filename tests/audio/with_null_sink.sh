#!/bin/sh
# Runs a command beside a sound card that exists only in memory: what is played on it can be recorded from it.
# The command finds the sound server's process id in CRANKNOTE_SOUND_SERVER. 77: the tools are not installed.
for tool in pulseaudio pactl paplay sox; do
    command -v $tool >/dev/null || { echo "$tool is not installed"; exit 77; }
done
HOME=$(mktemp -d) || exit 1
XDG_RUNTIME_DIR=$HOME/run
export HOME XDG_RUNTIME_DIR
unset PULSE_SERVER DBUS_SESSION_BUS_ADDRESS DISPLAY
mkdir -m 700 "$XDG_RUNTIME_DIR"
printf 'pcm.!default { type pulse }\nctl.!default { type pulse }\npcm.pulse { type pulse }\nctl.pulse { type pulse }\n' > "$HOME/.asoundrc"
pulseaudio -n --daemonize=no --exit-idle-time=-1 --log-target=null \
    -L "module-null-sink sink_name=shop rate=48000 format=float32le channels=2" -L module-native-protocol-unix &
CRANKNOTE_SOUND_SERVER=$!
export CRANKNOTE_SOUND_SERVER
trap 'kill $CRANKNOTE_SOUND_SERVER 2>/dev/null; wait $CRANKNOTE_SOUND_SERVER 2>/dev/null; rm -rf "$HOME"' EXIT
tries=0
until pactl info >/dev/null 2>&1; do
    tries=$((tries + 1))
    [ $tries -gt 100 ] && { echo "the sound server does not start"; exit 1; }
    sleep 0.1
done
pactl set-default-source shop.monitor
pactl set-default-sink shop
"$@"
