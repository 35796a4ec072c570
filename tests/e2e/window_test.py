#!/usr/bin/env python3
"""The window as its users meet it: real ports, real keys, the chord read off the picture."""

import json
import os
import pathlib
import re
import subprocess
import sys
import time

from bench import Bench, Checks, child, ended, jack_ports, jack_server, need, screen, wait_until

CHORD = [43, 47, 50, 53, 55, 59, 62, 65]  # G7


def read_state(path):
    try:
        return json.loads(pathlib.Path(path).read_text(encoding="utf-8"))
    except (FileNotFoundError, json.JSONDecodeError):
        return None


STRIP_CHORD = "110x60+1170+6"  # the right end of the strip at 1280x800, where the chord stands


def readings(bench, picture, area):
    """What text recognition reads in a rectangle, black on white, at a few sizes and layouts."""
    crop = bench.path("crop.png")
    read = set()
    for size, layout in (("60%", "7"), ("100%", "7"), ("100%", "6"), ("200%", "8")):
        subprocess.run(["convert", picture, "-crop", area, "+repage", "-colorspace", "Gray",
                        "-negate", "-auto-level", "-resize", size, "-bordercolor", "white",
                        "-border", "30", crop], check=True)
        done = subprocess.run(["tesseract", crop, "-", "--psm", layout], capture_output=True,
                              check=True)
        read.add(re.sub(r"\W", "", done.stdout.decode()))
    return read


def target_of(state, name):
    return next(target for target in state["targets"] if target["id"] == name)


def key(bench, *names):
    subprocess.run(["xdotool", "key", "--delay", "40", *names], env=bench.env, check=True)


def click(bench, state, name):
    target = target_of(state, name)
    x, y = target["x"] + target["w"] // 2, target["y"] + target["h"] // 2
    subprocess.run(["xdotool", "mousemove", str(x), str(y), "click", "1"], env=bench.env,
                   check=True)


def check_first_start(bench, checks):
    """No hardware: the simulated Heron plays, and says so."""
    picture, state_file = bench.path("first.png"), bench.path("first.json")
    code, _, err = bench.run("--after", "4", "--screenshot", picture, "--state", state_file)
    checks.equal(code, 0, f"a picture of the first start ({err!r})")
    state = read_state(state_file)
    checks.equal(state["area"], "hear", "it opens in Hear")
    checks.equal(state["source"]["simulated"], True, "the Heron is simulated")
    checks.that(state["source"]["name"].startswith("SIMULATED"), "and marked as such")
    checks.that(len(state["strums"]) >= 2 and state["chord"], "and plays")
    checks.equal(state["findings"], [], "without a fault")
    checks.that(os.path.getsize(picture) > 20_000, "the picture has something on it")


def wait_for_chord(state_file):
    try:
        return wait_until(lambda: (s := read_state(state_file)) and s["chord"] == "G7" and s,
                          "the chord in the state file", 25)
    except TimeoutError:
        state = read_state(state_file) or {}
        print("the state was", {name: state.get(name) for name in ("chord", "held", "source")})
        raise


def check_port(bench, checks, sender):
    state_file, picture = bench.path("state.json"), bench.path("chord.png")
    # Twice, since a busy machine loses an event now and then before it reaches us.
    once = [f"{6000 if i else 900000}us:90{note:02x}50" for i, note in enumerate(CHORD)]
    ended_again = [f"{2000 if i else 300000}us:90{note:02x}00" for i, note in enumerate(CHORD)]
    events = once + ended_again + once
    with child(sender, "--client", "harp", "--wait", "30", "--hold", "20000", *events,
               env=bench.env):
        wait_until(lambda: any("harp" in port for port in jack_ports(bench) or []), "the sender")
        window = bench.start("--port", "harp", "--state", state_file)
        try:
            state = wait_for_chord(state_file)
            state = wait_until(lambda: (s := read_state(state_file)) and len(s["held"]) >= 7 and s,
                               "what is held", 10)
            checks.that({note["note"] for note in state["held"]} <= set(CHORD), "what is held")
            checks.equal(state["source"]["simulated"], False, "a real source")
            time.sleep(0.7)  # the picture settles
            subprocess.run(["import", "-window", "root", picture], env=bench.env, check=True)
            read = readings(bench, picture, STRIP_CHORD)
            checks.that("G7" in read, f"the chord read off the picture: {read}")
            check_keys(bench, checks, state_file)
            check_keep(bench, checks, state_file)
        finally:
            window.terminate()
            code, _, err = ended(window)
        checks.equal(code, 0, f"the window ends well on SIGTERM ({err!r})")


def check_keys(bench, checks, state_file):
    def area(name):
        return lambda: (s := read_state(state_file)) and s["area"] == name and s
    for digit, name in (("2", "notes"), ("3", "wire"), ("4", "instrument"), ("9", "logbook"),
                        ("1", "hear")):
        key(bench, digit)
        state = wait_until(area(name), f"key {digit} opens {name}", 5)
        checks.equal(state["area"], name, f"key {digit}")
    click(bench, state, "area.wire")
    checks.equal(wait_until(area("wire"), "a click opens Wire", 5)["area"], "wire", "a click")
    key(bench, "1")
    wait_until(area("hear"), "back to Hear", 5)


def check_keep(bench, checks, state_file):
    key(bench, "k")
    kept = pathlib.Path(bench.env["XDG_DATA_HOME"]) / "strumwright" / "kept"
    files = wait_until(lambda: list(kept.glob("*.jsonl")) if kept.exists() else [],
                       "Keep writes a capture", 10)
    checks.equal(len(files), 1, "one kept capture")
    wait_until(lambda: files[0].stat().st_size > 0, "it has content", 5)
    time.sleep(0.5)
    code, out, err = bench.run("audit", str(files[0]), "--json")
    document = json.loads(out or "{}")
    checks.that(code in (0, 1), f"it can be audited ({err!r})")
    chords = {strum["chord"] for strum in document.get("strums", [])}
    checks.that("G7" in chords, f"and holds the strum: {chords}")
    key(bench, "r")
    state = wait_until(lambda: (s := read_state(state_file)) and s["source"]["recording"] and s,
                       "R records", 5)
    checks.equal(state["source"]["recording"], True, "recording")
    key(bench, "r")
    wait_until(lambda: (s := read_state(state_file)) and not s["source"]["recording"],
               "R stops the recording", 5)


def check_no_display(bench, checks):
    env = dict(bench.env)
    env.pop("DISPLAY", None)
    env.pop("WAYLAND_DISPLAY", None)
    done = subprocess.run([bench.program, "--screenshot", bench.path("x.png"), "--after", "1"],
                          env=env, capture_output=True, check=False, timeout=30)
    checks.equal(done.returncode, 3, "no display: exit 3")
    checks.equal(done.stderr.decode().count("\n"), 1, f"one sentence: {done.stderr!r}")


def main():
    need("convert", "import", "tesseract")
    bench, checks = Bench(sys.argv[1]), Checks()
    check_no_display(bench, checks)
    with screen(bench):
        check_first_start(bench, checks)
        with jack_server(bench):
            check_port(bench, checks, sys.argv[2])
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
