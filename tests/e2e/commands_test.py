#!/usr/bin/env python3
"""The commands as a user meets them: documents, exit codes, bad input."""

import json
import os
import resource
import signal
import subprocess
import sys
import time

from bench import Bench, Checks, capture

MS = 1_000_000


def check_audit(bench, checks):
    path = bench.write("one.jsonl", capture((0, "903c50"), (200 * MS, "903c00"), end=500 * MS))
    code, out, err = bench.run("audit", path, "--json")
    checks.equal(code, 0, "a clean capture leaves with 0")
    checks.equal(err, "", "and says nothing on stderr")
    document = json.loads(out)
    checks.equal(document["input"]["messages"], 2, "messages")
    checks.equal(document["input"]["duration_ns"], 500 * MS, "duration")
    checks.equal(document["notes"]["off_by_zero_velocity"], 1, "releases by velocity zero")
    checks.equal(document["findings"], [], "findings of a clean capture")
    checks.equal(document["loose_onsets"], 1, "loose onsets")

    stuck = bench.write("stuck.hex", "90 3C 50  # started, never released\n")
    code, out, _ = bench.run("audit", stuck, "--json")
    checks.equal(code, 1, "an error finding leaves with 1")
    finding = json.loads(out)["findings"][0]
    checks.equal(finding["rule"], "note.stuck", "rule")
    checks.equal((finding["channel"], finding["note"], finding["byte"]), (1, 60, 0), "where")

    code, out, _ = bench.run("audit", path, stuck, "--json")
    checks.equal(len(json.loads(out)["documents"]), 2, "two inputs give two documents")
    code, out, _ = bench.run("audit", "-", "--as", "hex", "--json", stdin=b"c0 05 06")
    checks.equal(json.loads(out)["wire"]["running_status"]["used"], 1, "running status from stdin")
    code, out, _ = bench.run("audit", path, "--summary", "--json")
    checks.that("strums" not in json.loads(out), "a summary leaves the strums out")
    code, out, _ = bench.run("audit", stuck)
    checks.that("note.stuck" in out and "Not judged" in out, "the text names what it found")
    for empty in ("empty.hex", "empty.bin", "empty.txt"):
        code, out, _ = bench.run("audit", bench.write(empty, ""), "--json")
        checks.equal((code, json.loads(out or "{}").get("input", {}).get("messages")), (0, 0),
                     f"{empty} has zero messages")


def check_bad_inputs(bench, checks):
    good = capture((0, "903c50"), (200 * MS, "903c00"), end=500 * MS)
    head = good.splitlines(keepends=True)[0]
    zeros = bench.path("zeros.jsonl")
    with open(zeros, "wb") as file:
        file.truncate(2_000_000_000)
    bad = {
        "an empty capture": bench.write("empty.jsonl", ""),
        "a binary file as capture": bench.write("binary.jsonl", bytes(range(256)) * 20),
        "a directory": bench.path(""),
        "a missing file": bench.path("missing.jsonl"),
        "a torn middle": bench.write("torn.jsonl", head + '{"t":0,"he\n{"t":5,"hex":"90"}\n'),
        "times going back": bench.write("back.jsonl",
                                        capture((50, "903c50"), (40, "903c00"))),
        "odd digits": bench.write("odd.hex", "90 3C 5\n"),
        "text that reads two ways": bench.write("two.txt", "90 60 64\n80 60 40\n"),
        "2 GB of zeros": zeros,
        "a MIDI file of the future": bench.write("song.mid", b"MThd\0\0\0\6\0\0\0\1\0\x60"),
        "an unknown ending": bench.write("what.xyz", "90 3c 50"),
    }
    for what, path in bad.items():
        code, out, err = bench.run("audit", path, "--json")
        checks.equal(code, 2, f"{what} leaves with 2")
        checks.equal(out, "", f"{what} leaves stdout empty")
        checks.that(err.count("\n") == 1 and len(err) > 40, f"{what}: one sentence: {err!r}")
        name = os.path.basename(path.rstrip("/"))
        checks.that(name in err, f"{what}: the sentence names the file: {err!r}")
    code, out, err = bench.run("audit", bad["2 GB of zeros"], bad["odd digits"], "--json")
    checks.equal((code, out), (2, ""), "one bad input of two leaves stdout empty")

    torn = bench.write("cut.jsonl", good[:-5])
    code, out, err = bench.run("audit", torn, "--json")
    checks.equal(code, 0, "a torn last line leaves as the findings say")
    checks.equal(json.loads(out)["input"]["torn"], True, "and the document says torn")
    offset = good.rindex('{"t"')
    checks.that(str(offset) in err and "cut.jsonl" in err, f"file and byte offset: {err!r}")


def check_usage(bench, checks):
    for arguments in (["audit"], ["nonsense"], ["audit", "--bogus"], ["explain", "no.rule"],
                      ["listen"], ["name", "H9"], ["name", "200"], ["audit", "-", "--json"]):
        code, out, err = bench.run(*arguments)
        checks.equal((code, out), (2, ""), f"{arguments} is a usage error")
        checks.equal(err.count("\n"), 1, f"{arguments}: one sentence: {err!r}")
    code, out, _ = bench.run("--help")
    checks.that(code == 0 and "audit" in out, "--help lists the commands")
    for command in ("ports", "listen", "audit", "name", "explain", "simulate"):
        code, out, _ = bench.run(command, "--help")
        checks.that(code == 0 and "Example" in out, f"{command} --help teaches by example")
    for arguments in (["audit", "-", "--as", "hex", "--json"], ["name", "-", "--json"]):
        with subprocess.Popen([bench.program, *arguments], env=bench.env, stdin=os.open("/", 0),
                              stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
            out, err = process.communicate()
        checks.equal((process.returncode, out), (2, b""), f"{arguments} with a directory as stdin")
        checks.equal(err.count(b"\n"), 1, f"{arguments}: one sentence: {err!r}")
    path = bench.write("full.hex", "90 3c 50 90 3c 00")
    for closing, code in (("<&-", 2), (">&-", 4), ("<&- >&-", 2)):
        done = subprocess.run(f"exec {bench.program} audit - --as hex --json {closing}", shell=True,
                              env=bench.env, input=b"90 3c 50 90 3c 00", capture_output=True,
                              check=False, timeout=20)
        checks.equal((done.returncode, done.stdout), (code, b""), f"audit with {closing}")
    with open("/dev/full", "wb") as full:
        done = subprocess.run([bench.program, "audit", path, "--json"], env=bench.env, stdout=full,
                              stderr=subprocess.PIPE, check=False)
    checks.equal(done.returncode, 4, "a full disk under stdout leaves with 4")
    for record in ("/dev/full", "/dev/null/no.jsonl"):
        code, _, err = bench.run("listen", "--simulate", "--for", "1", "--record", record, "--json")
        checks.equal(code, 4, f"a recording that {record} does not take leaves with 4")
        checks.that(record.rsplit("/", 1)[0] in err, f"and is named: {err!r}")


def check_interrupts(bench, checks):
    for number in (signal.SIGINT, signal.SIGTERM):
        with subprocess.Popen([bench.program, "audit", "-", "--as", "hex", "--json"], env=bench.env,
                              stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
            process.stdin.write(b"90 3c 50 90 3c 00 9")
            process.stdin.flush()
            time.sleep(0.5)
            process.send_signal(number)
            code = process.wait(timeout=10)  # the pipe is still open
            document = json.loads(process.stdout.read())
        checks.equal(code, 0, f"signal {number} while a pipe is silent leaves as the findings say")
        checks.equal((document["interrupted"], document["input"]["messages"]), (True, 2),
                     "and completes the document")


def check_name_and_explain(bench, checks):
    code, out, _ = bench.run("name", "C4", "E4", "G4", "A4", "--json")
    named = json.loads(out)
    checks.equal((code, named["name"], named["others"]), (0, "C6", ["Am7/C"]), "C6")
    code, out, _ = bench.run("name", "-", "--json", stdin=b"60 64 67\n57 60 64\n")
    checks.equal([json.loads(line)["name"] for line in out.splitlines()], ["C", "Am"],
                 "a set a line")
    code, out, _ = bench.run("explain")
    checks.that(code == 0 and out.count("note.") >= 9, "explain lists the rules")
    code, out, _ = bench.run("explain", "note.stuck")
    checks.that("Likely causes" in out and "Do this next" in out, "explain says what to do")
    code, out, _ = bench.run("ports", "--json")
    listed = json.loads(out)
    checks.equal(code, 0, "ports leaves with 0 with no service at all")
    checks.that(all(set(entry) == {"service", "start"} for entry in listed["missing"]),
                "what is missing says how to start it")


def check_simulate(bench, checks):
    first, second = bench.path("a.jsonl"), bench.path("b.jsonl")
    truth = bench.path("truth.json")
    for path in (first, second):
        code, _, err = bench.run("simulate", "--seed", "7", "-o", path, "--truth", truth)
        checks.equal((code, err), (0, ""), "simulate to a file")
    with open(first, "rb") as a, open(second, "rb") as b:
        one, other = a.read(), b.read()
    checks.equal(one.split(b"\n", 1)[1], other.split(b"\n", 1)[1], "the same seed, the same bytes")
    code, out, _ = bench.run("audit", first, "--json")
    document = json.loads(out)
    checks.equal((code, document["findings"]), (0, []), "a clean simulation has no finding")
    with open(truth, encoding="utf-8") as file:
        told = json.load(file)
    checks.equal(told["bytes"], document["input"]["bytes"], "the truth counts the bytes")
    checks.equal(len(told["strokes"]), len(document["strums"]), "each stroke is one strum")
    checks.equal([s["t_ns"] for s in told["strokes"]], [s["start_ns"] for s in document["strums"]],
                 "and begins where the truth says")


def check_memory_of_a_long_input(bench, checks):
    """The peak does not grow with the input. (The resource limit would kill what did.)"""
    path = bench.write("long.bin", bytes([0x90, 60, 80, 0x90, 60, 0]) * 3_000_000)

    def limit():
        resource.setrlimit(resource.RLIMIT_DATA, (256 << 20, 256 << 20))
    done = subprocess.run([bench.program, "audit", path, "--summary", "--json"], env=bench.env,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=limit,
                          check=False)
    checks.equal(json.loads(done.stdout or b"{}").get("input", {}).get("messages"), 6_000_000,
                 "6,000,000 messages fit in little memory")


def main():
    bench, checks = Bench(sys.argv[1]), Checks()
    for part in (check_audit, check_bad_inputs, check_usage, check_interrupts,
                 check_name_and_explain, check_simulate, check_memory_of_a_long_input):
        print(part.__name__, flush=True)
        part(bench, checks)
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
