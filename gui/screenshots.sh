#!/usr/bin/env bash
# Takes the pictures of README anew: every view of the harbour loft, one in the dark, one with text twice as large.
# Needs xvfb, xdotool and imagemagick; `./dev gui` builds the window first.
#
# usage: gui/screenshots.sh [PROGRAM [first]]     first: those of the first job alone
set -euo pipefail
cd "$(dirname "$0")/.."
program=${1:-build/release/bin/aumbry-gui}
folder=gui/screenshots
mkdir -p "$folder"
export XDG_CONFIG_HOME XDG_STATE_HOME
XDG_CONFIG_HOME=$(mktemp -d)
XDG_STATE_HOME=$XDG_CONFIG_HOME/state
trap 'rm -rf "$XDG_CONFIG_HOME"' EXIT

# A key is down for some frames, as under a finger.
press() {
    xdotool keydown "$1"
    sleep 0.15
    xdotool keyup "$1"
    sleep 0.3
}

# Until the program has computed what there is to compute: no processor time within a second.
rest() {
    local before after
    while :; do
        before=$(awk '{ print $14 + $15 }' "/proc/$1/stat")
        sleep 1
        after=$(awk '{ print $14 + $15 }' "/proc/$1/stat")
        [ $((after - before)) -gt 2 ] || break
    done
}

click() {
    xdotool mousemove "$1" "$2"
    sleep 0.2
    xdotool mousedown 1
    sleep 0.15
    xdotool mouseup 1
    sleep 0.4
}

# write X Y TEXT: over what the field there holds.
write() {
    click "$1" "$2"
    press ctrl+a
    xdotool type --delay 60 "$3"
    sleep 0.3
}

picture() {
    import -window root png:- | convert - -strip +dither -colors 64 "PNG8:$folder/$1.png"
    echo "$folder/$1.png"
}

# README's first job, from the start page to a bookcase that is priced.
first_job() {
    local process
    "$program" --width 1280 --height 800 &
    process=$!
    sleep 2
    rest "$process"
    write 300 189 study
    click 350 223
    click 280 277
    write 300 264 2027-02-10
    write 300 298 2027-03-01
    write 300 447 46.00
    write 300 529 21
    click 1000 600 # no field has the keyboard: a caret that blinks takes time without end
    rest "$process"
    picture first-start
    click 140 722
    rest "$process"
    click 90 522
    rest "$process"
    write 560 329 900
    write 560 363 2050
    click 600 700
    rest "$process"
    picture first-piece
    click 1046 319
    rest "$process"
    picture first-priced
    kill "$process"
    wait "$process" || true
}

# shoot NAME KEY [options of the program...]: the view that Ctrl+KEY shows.
shoot() {
    local name=$1 key=$2 process
    shift 2
    "$program" --width 1280 --height 800 "$@" catalogs/projects/harbour-loft.aumbry.json &
    process=$!
    sleep 2
    rest "$process"
    press "ctrl+$key"
    # The cuts are gone through.
    if [ "$key" = 3 ]; then
        xdotool mousemove 640 795
        for _ in 1 2 3 4; do press n; done
    fi
    if [ "$key" = 1 ]; then
        # A line is chosen, so that its form is seen too.
        click 90 "${y:-366}"
    fi
    if [ "$key" = 8 ]; then
        # A figure is asked for: the view is empty until one is.
        click 190 200
        xdotool type --delay 60 total
        press Return
    fi
    rest "$process"
    picture "$name"
    kill "$process"
    wait "$process" || true
}

if [ -z "${in_display:-}" ]; then
    exec env in_display=1 xvfb-run -a -s "-screen 0 1280x800x24" bash gui/screenshots.sh "$program" "${2:-all}"
fi
export LIBGL_ALWAYS_SOFTWARE=1
if [ "${2:-all}" = first ]; then
    first_job
    exit
fi
shoot bill 1
shoot sizes 2
shoot cutting 3
shoot alternatives 4
shoot dates 5
shoot lift 6
shoot watch-out 7
shoot workings 8
shoot lists 9
shoot cutting-dark 3 --dark
y=560 shoot bill-large 1 --text-scale 2
first_job
