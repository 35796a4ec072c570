#!/usr/bin/env python3
"""Holds the includes against the architecture (DEVELOPERS.md, "Who may include whom").

core never includes app; a folder of core includes only the folders named beside it; no file
includes itself through others. Prints each breach and leaves with 1 if there is one.
"""

import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
INCLUDE = re.compile(r'^\s*#include\s+"((?:core|app)/[^"]+)"', re.MULTILINE)

# A folder of core: the folders that it may include, besides itself and the headers of core/.
ALLOWED = {
    "midi": set(),
    "harmony": set(),
    "notes": {"midi"},
    "strum": {"midi", "notes"},
    "wire": {"midi"},
    "session": {"midi", "wire"},
    "diagnosis": {"midi", "notes", "strum", "harmony", "wire"},
    "pipeline": {"midi", "notes", "strum", "harmony", "wire", "diagnosis", "session"},
    "simulation": {"midi", "harmony", "session", "wire", "diagnosis"},
    "publish": {"midi", "notes", "strum", "harmony", "wire", "diagnosis", "session", "pipeline",
                "simulation"},
}


def read_includes():
    graph = {}
    for top in ("core", "app"):
        for path in sorted((ROOT / top).rglob("*")):
            if path.suffix in (".h", ".cpp"):
                name = path.relative_to(ROOT).as_posix()
                graph[name] = INCLUDE.findall(path.read_text(encoding="utf-8"))
    return graph


def breaches_of_layers(graph):
    for name, includes in graph.items():
        parts = name.split("/")
        if parts[0] != "core":
            continue
        for other in includes:
            target = other.split("/")
            if target[0] == "app":
                yield f"{name} includes {other}: core knows no app"
            elif len(parts) > 2 and len(target) > 2 and target[1] != parts[1]:
                if parts[1] not in ALLOWED:
                    yield f"core/{parts[1]} stands in no rule"
                elif target[1] not in ALLOWED[parts[1]]:
                    yield f"{name} includes {other}: core/{parts[1]} may not"


def circles(graph):
    done = set()

    def visit(name, trail):
        if name in trail:
            yield " -> ".join(trail[trail.index(name):] + [name])
        elif name not in done:
            for other in graph.get(name, []):
                yield from visit(other, trail + [name])
            done.add(name)

    for name in graph:
        yield from visit(name, [])


def main():
    graph = read_includes()
    if len(graph) < 20:
        print(f"only {len(graph)} sources found: is this the project?")
        return 1
    found = list(breaches_of_layers(graph)) + [f"circle: {c}" for c in circles(graph)]
    print("\n".join(found) or f"{len(graph)} files: no breach, no circle")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
