#!/usr/bin/env python3
"""Raw sources for real: a pseudo-terminal pair, a FIFO whose writer goes and comes back.

Running status must be seen, since only raw sources show it.
"""

import os
import sys
import threading
import time

from bench import Bench, Checks, documents, ended, serial_pair

# C major under running status, then its releases by velocity zero: 49 bytes for 24 messages.
CHORD = [36, 40, 43, 48, 52, 55, 60, 64, 67, 72, 76, 79]


def strum_under_running_status():
    started = bytes([0x90]) + b"".join(bytes([note, 80]) for note in CHORD)
    released = b"".join(bytes([note, 0]) for note in CHORD)
    return started, released


def send_paced(path, pieces):
    """Writes like firmware: a piece, then silence."""
    line = os.open(path, os.O_WRONLY | os.O_NOCTTY)
    try:
        for piece, pause in pieces:
            for at in range(0, len(piece), 2):
                os.write(line, piece[at:at + 2])
                time.sleep(0.004)
            time.sleep(pause)
    finally:
        os.close(line)


def check_strum(checks, lines, what):
    audit = lines[-1]["document"]
    checks.equal(audit["input"]["bytes"], 49, f"{what}: bytes")
    checks.equal(audit["input"]["raw"], True, f"{what}: raw")
    status = audit["wire"]["running_status"]
    checks.equal((status["visible"], status["used"], status["possible"]), (True, 23, 23),
                 f"{what}: running status")
    checks.equal([strum["chord"] for strum in audit["strums"]], ["C"], f"{what}: the chord")
    checks.equal(audit["notes"]["held_at_end"], [], f"{what}: nothing held")
    rules = [finding["rule"] for finding in audit["findings"]]
    checks.that("wire.stray-data" not in rules and "note.stuck" not in rules,
                f"{what}: no invented fault: {rules}")
    events = [line["event"] for line in lines]
    checks.that("strum" in events and "chord" in events, f"{what}: said live: {events}")


def check_pair(bench, checks, option):
    with serial_pair(bench) as (ours, theirs):
        listening = bench.start("listen", option, theirs, "--for", "3", "--json")
        time.sleep(1.0)
        started, released = strum_under_running_status()
        send_paced(ours, [(started, 0.3), (released, 0.1)])
        code, out, err = ended(listening)
        checks.equal(code, 0, f"{option}: a clean strum leaves with 0 ({err!r})")
        check_strum(checks, documents(out), option)


def check_simulated_controller(bench, checks):
    """The simulated Heron on one end of a line, the bench on the other."""
    with serial_pair(bench) as (ours, theirs):
        listening = bench.start("listen", "--raw", theirs, "--for", "6", "--json")
        time.sleep(1.0)
        code, _, err = bench.run("simulate", "--raw", ours, "--strokes", "4", "--running-status")
        checks.equal((code, err), (0, ""), "simulate plays to a line")
        _, out, _ = ended(listening)
        audit = documents(out)[-1]["document"]
        checks.equal(len(audit["strums"]), 4, "each stroke arrives as a strum")
        checks.equal(audit["notes"]["held_at_end"], [], "and every note is released")
        checks.that(audit["wire"]["running_status"]["used"] > 10, "under running status")


def check_fifo(bench, checks):
    fifo = bench.path("fifo")
    os.mkfifo(fifo)
    listening = bench.start("listen", "--raw", fifo, "--for", "4", "--json")
    time.sleep(0.5)
    writer = threading.Thread(target=send_paced, args=(fifo, [(b"\x90\x3c\x50", 0.2)]))
    writer.start()
    writer.join()
    time.sleep(1.0)
    writer = threading.Thread(target=send_paced, args=(fifo, [(b"\x90\x40\x50\x40\x00", 0.2)]))
    writer.start()
    writer.join()
    code, out, _ = ended(listening)
    lines = documents(out)
    audit = lines[-1]["document"]
    rules = [finding["rule"] for finding in audit["findings"]]
    checks.that("port.gone" in rules and "port.back" in rules, f"a FIFO that closes: {rules}")
    checks.equal(audit["notes"]["on"], 2, "it listens on after the FIFO came back")
    checks.equal(audit["notes"]["held_at_end"], [], "the note open at the close was ended")
    checks.that("note.stuck" not in rules, "and is not called stuck")
    checks.equal(code, 0, "no error finding")


def check_missing(bench, checks):
    for arguments in (["--raw", bench.path("no-such-device")],
                      ["--serial", bench.path("no-such-line")],
                      ["--port", "no such port"]):
        code, out, err = bench.run("listen", *arguments, "--for", "1", "--json")
        checks.equal((code, out), (3, ""), f"{arguments[0]}: a missing device leaves with 3")
        checks.equal(err.count("\n"), 1, f"{arguments[0]}: one sentence: {err!r}")


def main():
    bench, checks = Bench(sys.argv[1]), Checks()
    check_missing(bench, checks)
    check_pair(bench, checks, "--serial")
    check_pair(bench, checks, "--raw")
    check_simulated_controller(bench, checks)
    check_fifo(bench, checks)
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
