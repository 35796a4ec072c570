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


def check_chord(bench, checks, sender):
    code, lines, err = listen(bench, sender, 2.5, *strum())
    checks.equal(code, 0, f"a clean strum through a port leaves with 0 ({err!r})")
    audit = lines[-1]["document"]
    checks.equal([strum["chord"] for strum in audit["strums"]], ["G7"], "the chord")
    checks.equal(audit["strums"][0]["direction"], "up", "the direction")
    span_ms = audit["strums"][0]["span_ms"]
    checks.that(34 < span_ms < 36, f"each event has its frame: span {span_ms} ms of 35")
    checks.equal(audit["wire"]["running_status"]["visible"], False, "running status is not visible")
    why = {entry["rule"]: entry["why"] for entry in audit["not_judged"]}
    checks.that("whole messages" in why.get("wire.stray-data", ""), "and the document says why")


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


def main():
    bench, checks = Bench(sys.argv[1]), Checks()
    sender = sys.argv[2]
    with jack_server(bench):
        code, out, _ = bench.run("ports", "--json")
        checks.equal(code, 0, "ports")
        checks.that("missing" in json.loads(out), "ports says what is missing")
        check_chord(bench, checks, sender)
        check_odd_bytes(bench, checks, sender)
        check_port_goes(bench, checks, sender)
    code, out, err = bench.run("listen", "--port", "harp", "--for", "1", "--json")
    checks.equal((code, out), (3, ""), "without a service: exit 3")
    checks.equal(err.count("\n"), 1, f"one sentence: {err!r}")
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
