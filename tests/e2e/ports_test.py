#!/usr/bin/env python3
"""Sources and outputs through libjack and through RtMidi, with a server that stops and comes back."""

import subprocess
import sys
import time

from bench import Bench, Checks, child, documents, ended, jack_ports, jack_server, wait_until

ALL_KINDS = ["903c64", "803c00", "f8", "fe", "f07e7f0601f7", "e00040"]
LINKS = ("gone", "back")


class Ports:
    def __init__(self, probe, sender, recorder):
        self.bench, self.checks = Bench(probe), Checks()
        self.sender, self.recorder = sender, recorder

    def player(self, *events):
        return child(self.sender, "--client", "harp", "--wait", "20", "--hold", "300", *events,
                     env=self.bench.env, stderr=subprocess.DEVNULL)

    def wait_for(self, port):
        wait_until(lambda: port in (jack_ports(self.bench) or []), f"the port {port}")


def check_kinds(ports, way):
    """SysEx, timing and active sensing are not filtered, and a period's events keep their order."""
    with ports.player("300000us:" + ALL_KINDS[0], *ALL_KINDS[1:]):
        ports.wait_for("harp:out")
        listening = ports.bench.start("listen", way, "HARP", "2") if way == "libjack" else \
            ports.bench.start("listen", way, "harp:out", "2")
        code, out, err = ended(listening)
    lines = documents(out)
    ports.checks.equal((code, err), (0, ""), f"{way}: nothing printed")
    ports.checks.equal([line["hex"] for line in lines if line["kind"] == "chunk"], ALL_KINDS,
                       f"{way}: every kind of message")
    period_ns = 1_333_333
    resolution_ns = 20_833 if way == "libjack" else period_ns
    ports.checks.equal(lines[0]["resolution_ns"], resolution_ns, f"{way}: the stamps' error")


def check_server_stops(ports, way):
    """The source of one server is back at the next; nothing is printed on the way."""
    with jack_server(ports.bench) as server:
        with ports.player("300000us:903c64"):
            ports.wait_for("harp:out")
            listening = ports.bench.start("listen", way, "harp:out", "9")
            time.sleep(1)
            stopped = time.monotonic()
            server.terminate()
            server.wait()
    time.sleep(max(0.0, stopped + 2.5 - time.monotonic()))
    with jack_server(ports.bench), ports.player("300000us:904064"):
        code, out, err = ended(listening)
    lines = documents(out)
    ports.checks.equal((code, err), (0, ""), f"{way}: no crash, nothing printed")
    kinds = [line["kind"] for line in lines if line["kind"] in LINKS]
    ports.checks.equal(kinds[:2], ["gone", "back"], f"{way}: gone with the server, and back")
    ports.checks.that("904064" in [line.get("hex") for line in lines],
                      f"{way}: it listens on")


def check_output(ports, way):
    """Through libjack the distances are exact to the frame; what was started is ended."""
    recording = subprocess.Popen([ports.recorder, "--client", "synth", "--for", "2"],
                                 env=ports.bench.env, stdout=subprocess.PIPE,
                                 stderr=subprocess.PIPE)
    ports.wait_for("synth:in")
    code, _, err = ports.bench.run("send", way, "synth:in")
    ports.checks.equal((code, err), (0, ""), f"{way}: sent")
    events = [line.split() for line in ended(recording)[1].splitlines()]
    sent = [f"90{60 + i:02x}64" for i in range(12)]
    released = [f"80{60 + i:02x}40" for i in range(12)] + ["b07b00"]
    ports.checks.equal([event[1] for event in events], sent + released, f"{way}: notes and their end")
    return [int(frame) for frame, _ in events[:12]]


def check_exact(ports):
    """A server that missed periods moves what falls in them: three tries, all of them told."""
    tries = []
    for _ in range(3):
        frames = check_output(ports, "libjack")
        tries.append([b - a for a, b in zip(frames, frames[1:])])
        if tries[-1] == [192] * 11:
            break
    ports.checks.equal(tries[-1], [192] * 11, f"4 ms apart at 48 kHz ({tries})")


def main():
    ports = Ports(*sys.argv[1:4])
    for way in ("libjack", "rtmidi"):
        with jack_server(ports.bench):
            check_kinds(ports, way)
        check_server_stops(ports, way)
    with jack_server(ports.bench, 1024):
        check_exact(ports)
        check_output(ports, "rtmidi")
    ports.bench.close()
    ports.checks.end()


if __name__ == "__main__":
    main()
