#!/usr/bin/env python3
"""Real MIDI ports: exact bytes through JACK's dummy driver into `listen`, and a port that goes.

A loop may lose an event in some thousands on a busy machine: what was lost is counted by name.
"""

import json
import sys
import time

from bench import Bench, Checks, child, documents, ended, jack_ports, jack_server, wait_until

CHORD = [43, 47, 50, 53, 55, 59, 62, 65]  # G7 over two octaves


def strum():
    """Events of the sender: microseconds after the event before, and the bytes."""
    started = [f"{5000 if i else 300000}us:90{note:02x}50" for i, note in enumerate(CHORD)]
    released = [f"{2000 if i else 200000}us:90{note:02x}00" for i, note in enumerate(CHORD)]
    return started + released


def playing(bench, sender, *events):
    """A program that has a port, waits for a listener, then sends these events."""
    return child(sender, "--client", "harp", "--wait", "20", "--hold", "300", *events,
                 env=bench.env)


def wait_for_harp(bench):
    wait_until(lambda: any("harp" in port for port in jack_ports(bench) or []), "the sender's port")


def listen(bench, sender, seconds, *events):
    """The lines of `listen` while the sender plays."""
    with playing(bench, sender, *events):
        wait_for_harp(bench)
        listening = bench.start("listen", "--port", "harp", "--for", str(seconds), "--json")
        code, out, err = ended(listening)
    return code, documents(out), err


def listen_to_all(bench, sender):
    """A busy machine loses an event now and then before it reaches us: said, and tried again."""
    for _ in range(4):
        code, lines, err = listen(bench, sender, 2.5, *strum())
        lost = 2 * len(CHORD) - lines[-1]["document"]["input"]["messages"]
        if lost == 0:
            break
        print(f"{lost} of {2 * len(CHORD)} events were lost on the way")
    return code, lines, err


def check_chord(bench, checks, sender):
    code, lines, err = listen_to_all(bench, sender)
    checks.equal(code, 0, f"a clean strum through a port leaves with 0 ({err!r})")
    audit = lines[-1]["document"]
    checks.equal([strum["chord"] for strum in audit["strums"]], ["G7"], "the chord")
    checks.equal(audit["strums"][0]["direction"], "up", "the direction")
    checks.equal(audit["wire"]["running_status"]["visible"], False, "running status is not visible")
    why = {entry["rule"]: entry["why"] for entry in audit["not_judged"]}
    checks.that("whole messages" in why.get("wire.stray-data", ""), "and the document says why")


def frames_between(audit):
    onsets = audit["strums"][0]["onsets"] if audit["strums"] else []
    return [round((b["t_ns"] - a["t_ns"]) * 48e-6, 1) for a, b in zip(onsets, onsets[1:])]


def check_frames(bench, checks, sender):
    """Events sent every 240 frames are seen 240 frames apart, though a cycle has 64.

    A busy machine skips cycles, which makes gaps longer: a few tries, one good one is enough.
    Stamped by the cycle alone, no try could be good: the gaps would be 192 or 256.
    """
    tries = []
    for _ in range(5):
        _, lines, _ = listen(bench, sender, 1.5, *strum())
        tries.append(frames_between(lines[-1]["document"]))
        good = [gap for gap in tries[-1] if abs(gap - 240) < 8]
        if len(good) * 2 > len(CHORD):
            break
    print("gaps in frames, a try a line:", *tries, sep="\n  ")
    checks.that(len(good) * 2 > len(CHORD), f"each event has its frame: {tries}")


def check_port_goes(bench, checks, sender):
    with playing(bench, sender, "300000us:903c50"):
        wait_for_harp(bench)
        listening = bench.start("listen", "--port", "harp", "--for", "8", "--json")
        time.sleep(1.5)
    time.sleep(2.5)
    with playing(bench, sender, "300000us:904050", "50000us:904000"):
        _, out, _ = ended(listening)
    lines = documents(out)
    audit = lines[-1]["document"]
    found = {finding["rule"]: finding for finding in audit["findings"]}
    checks.that("port.gone" in found and "port.back" in found, f"gone and back: {list(found)}")
    checks.that("note.stuck" not in found, "the open note ended with the port")
    checks.equal(audit["notes"]["on"], 2, "it listens on when the port is back")
    links = [line["link"] for line in lines if line["event"] == "source"]
    checks.equal(links[:3], ["linked", "gone", "linked"], "said live")


def check_odd_bytes(bench, checks, sender):
    """A peer can send anything; what comes is said to be the peer's doing, not a wire's."""
    _, lines, _ = listen(bench, sender, 2, "300000us:f07d01f7", "20000us:3c40", "20000us:f4")
    audit = lines[-1]["document"]
    found = {finding["rule"]: finding for finding in audit["findings"]}
    checks.that("wire.stray-data" in found and "wire.undefined-status" in found,
                f"stray data and F4 are seen: {list(found)}")
    checks.that(all(finding["doubt"] for rule, finding in found.items()
                    if rule.startswith("wire.")), "with the doubt that it is no wire")


def check_own_port(bench, checks, sender):
    """A port of ours that another program connects to."""
    listening = bench.start("listen", "--own-port", "in", "--for", "5", "--json")
    wait_until(lambda: "strumwright:in" in (jack_ports(bench) or []), "our own port")
    with child(sender, "--to", "strumwright:in", "--hold", "300", "200000us:903c50",
               "100000us:903c00", env=bench.env):
        _, out, _ = ended(listening)
    audit = documents(out)[-1]["document"]
    checks.equal(audit["notes"]["on"], 1, "a note came to our own port")
    checks.equal(audit["notes"]["held_at_end"], [], "and was released")


def main():
    bench, checks = Bench(sys.argv[1]), Checks()
    sender = sys.argv[2]
    with jack_server(bench):
        code, out, _ = bench.run("ports", "--json")
        checks.equal(code, 0, "ports")
        checks.that("missing" in json.loads(out), "ports says what is missing")
        check_chord(bench, checks, sender)
        check_frames(bench, checks, sender)
        check_odd_bytes(bench, checks, sender)
        check_port_goes(bench, checks, sender)
        check_own_port(bench, checks, sender)
    code, out, err = bench.run("listen", "--port", "harp", "--for", "1", "--json")
    checks.equal((code, out), (3, ""), "without a service: exit 3")
    checks.equal(err.count("\n"), 1, f"one sentence: {err!r}")
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
