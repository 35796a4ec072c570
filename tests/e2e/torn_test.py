#!/usr/bin/env python3
"""A capture torn at each of its bytes: read to the tear, or refused in one sentence."""

import json
import sys

from bench import Bench, Checks, capture

MS = 1_000_000


def main():
    bench, checks = Bench(sys.argv[1]), Checks()
    whole = capture((0, "903c50"), (200 * MS, "903c00"), {"t": 300 * MS, "mark": "here"},
                    end=500 * MS).encode()
    first_line = whole.index(b"\n")
    messages = 0
    for length in range(len(whole)):
        code, out, err = bench.run("audit", bench.write("torn.jsonl", whole[:length]), "--json")
        if length < first_line:
            checks.that((code, out) == (2, "") and err.count("\n") == 1,
                        f"{length} bytes, inside the header: {code} {err!r}")
            continue
        if not out:
            checks.that(False, f"{length} bytes: {code} {err!r}")
            continue
        document = json.loads(out)
        rest = whole[:length].rsplit(b"\n", 1)[-1]
        complete = rest == b"" or rest.endswith(b"}") and rest.count(b"{") == rest.count(b"}")
        checks.equal(document["input"]["torn"], not complete, f"{length} bytes: torn")
        checks.equal(err.count("\n"), 0 if complete else 1, f"{length} bytes: said so: {err!r}")
        checks.that(document["input"]["messages"] >= messages, f"{length} bytes: nothing lost")
        messages = document["input"]["messages"]
    checks.equal(messages, 2, "the whole has both messages")
    bench.close()
    checks.end()


if __name__ == "__main__":
    main()
