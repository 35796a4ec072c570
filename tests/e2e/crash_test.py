#!/usr/bin/env python3
"""Killed in mid-session: the next start finds the last minutes and keeps them."""

import json
import pathlib
import signal
import sys
import time

from bench import Bench, Checks, ended


def main():
    bench, checks = Bench(sys.argv[1]), Checks()
    listening = bench.start("listen", "--simulate", "--json")
    time.sleep(5.0)
    listening.send_signal(signal.SIGKILL)
    _, out, _ = ended(listening)
    strums = [json.loads(line) for line in out.splitlines() if '"event":"strum"' in line]
    checks.that(len(strums) >= 4, f"it played: {len(strums)} strums")

    code, _, err = bench.run("listen", "--simulate", "--for", "1", "--json")
    checks.equal(code, 0, "the next start")
    checks.that("cut off" in err, f"says what was saved: {err!r}")
    kept = list((pathlib.Path(bench.env["XDG_DATA_HOME"]) / "strumwright" / "kept").glob("*"))
    checks.equal(len(kept), 1, "one kept capture")
    code, out, err = bench.run("audit", str(kept[0]), "--json")
    saved = json.loads(out)
    # At most the last second is not yet on the disk.
    lost = [strum for strum in strums if strum["t_ns"] < 3_500_000_000 and strum["t_ns"] not in
            [found["start_ns"] for found in saved["strums"]]]
    checks.equal(lost, [], "nothing older than the last moments is lost")

    code, _, err = bench.run("listen", "--simulate", "--for", "1", "--json")
    checks.equal(err, "", "and it is said once")

    stopped = bench.start("listen", "--simulate", "--json")
    time.sleep(2.0)
    stopped.send_signal(signal.SIGTERM)
    code, out, _ = ended(stopped)
    last = json.loads(out.splitlines()[-1])
    checks.equal(last["document"].get("interrupted"), True, "SIGTERM completes the document")
    checks.equal(code, 0, "and leaves as the findings say")
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
