"""What the end-to-end tests share: services they start, and the program they run.

Services run as children and end by their own process id. Nothing here knows the program's code:
it is run as its users run it.
"""

import contextlib
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import time

SKIPPED = 77  # CTest's SKIP_RETURN_CODE of these tests


def skip(why):
    print(f"SKIPPED: {why}")
    sys.exit(SKIPPED)


def need(*programs):
    for program in programs:
        if shutil.which(program) is None:
            skip(f"{program} is not installed")


class Checks:
    """Counts what was checked; a test that checked nothing fails."""

    def __init__(self):
        self.done = 0
        self.failed = []

    def that(self, truth, what):
        self.done += 1
        if not truth:
            self.failed.append(what)
            print(f"FAILED: {what}", flush=True)

    def equal(self, got, expected, what):
        self.that(got == expected, f"{what}: got {got!r}, expected {expected!r}")

    def end(self):
        print(f"{self.done} checks, {len(self.failed)} failed")
        sys.exit(1 if self.failed or self.done == 0 else 0)


class Bench:
    """The program, with a data folder of its own."""

    def __init__(self, program):
        self.program = program
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="strumwright-e2e-"))
        self.env = dict(os.environ)
        for name, below in (("XDG_DATA_HOME", "data"), ("XDG_CONFIG_HOME", "settings")):
            self.env[name] = str(self.folder / below)
        self.env["JACK_NO_START_SERVER"] = "1"

    def path(self, name):
        return str(self.folder / name)

    def write(self, name, content):
        path = self.folder / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return str(path)

    def run(self, *arguments, stdin=b"", timeout=60):
        """Returns (exit code, stdout, stderr) as text."""
        done = subprocess.run([self.program, *arguments], input=stdin, env=self.env,
                              capture_output=True, timeout=timeout, check=False)
        return done.returncode, done.stdout.decode(errors="replace"), \
            done.stderr.decode(errors="replace")

    def start(self, *arguments, **more):
        return subprocess.Popen([self.program, *arguments], env=self.env,
                                stdout=subprocess.PIPE, stderr=subprocess.PIPE, **more)

    def close(self):
        shutil.rmtree(self.folder, ignore_errors=True)


def ended(process, timeout=20):
    """Waits for a process; its (exit code, stdout, stderr) as text."""
    try:
        out, err = process.communicate(timeout=timeout)
    except subprocess.TimeoutExpired:
        process.kill()
        out, err = process.communicate()
        print("the process did not end in time and was killed")
    return process.returncode, out.decode(errors="replace"), err.decode(errors="replace")


def wait_until(truth, what, timeout=15.0):
    """Polls; fails the whole test when it never becomes true."""
    end = time.monotonic() + timeout
    while time.monotonic() < end:
        value = truth()
        if value:
            return value
        time.sleep(0.02)
    raise TimeoutError(f"waited {timeout} s in vain: {what}")


@contextlib.contextmanager
def child(*command, **more):
    process = subprocess.Popen(command, **more)
    try:
        yield process
    finally:
        process.terminate()
        try:
            process.wait(timeout=5)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


@contextlib.contextmanager
def jack_server(bench, period=64):
    """A JACK server on the dummy driver, under a name of its own; no sound card is needed.

    Real-time (-R) where it may, or else a busy machine makes it miss periods: events come late.
    """
    need("jackd", "jack_lsp")
    bench.env["JACK_DEFAULT_SERVER"] = f"strumwright-{os.getpid()}"
    command = ["jackd", "-R", "-m", "-p", "64", "-d", "dummy", "-r", "48000", "-p", str(period)]
    with child(*command, env=bench.env, stdout=subprocess.DEVNULL,
               stderr=subprocess.DEVNULL) as process:
        def up():
            if process.poll() is not None:
                raise RuntimeError("the JACK server ended")
            return jack_ports(bench) is not None
        wait_until(up, "the JACK server")
        yield process


def jack_ports(bench):
    done = subprocess.run(["jack_lsp"], env=bench.env, capture_output=True, check=False)
    return done.stdout.decode().split("\n") if done.returncode == 0 else None


@contextlib.contextmanager
def screen(bench, size="1280x800"):
    """An X server without a monitor."""
    need("Xvfb", "xdotool")
    read_end, write_end = os.pipe()
    command = ["Xvfb", "-displayfd", str(write_end), "-screen", "0", f"{size}x24", "-nolisten",
               "tcp"]
    with child(*command, pass_fds=[write_end], stdout=subprocess.DEVNULL,
               stderr=subprocess.DEVNULL):
        os.close(write_end)
        with os.fdopen(read_end) as pipe:
            bench.env["DISPLAY"] = ":" + pipe.readline().strip()
        bench.env["LIBGL_ALWAYS_SOFTWARE"] = "1"
        yield bench.env["DISPLAY"]


@contextlib.contextmanager
def serial_pair(bench):
    """Two pseudo-terminals joined back to back; yields (ours, the program's)."""
    need("socat")
    ours, theirs = bench.path("line-a"), bench.path("line-b")
    command = ["socat", f"pty,raw,echo=0,link={ours}", f"pty,raw,echo=0,link={theirs}"]
    with child(*command, stderr=subprocess.DEVNULL):
        wait_until(lambda: os.path.exists(ours) and os.path.exists(theirs), "the serial pair")
        yield ours, theirs


def documents(text):
    """The JSON Lines of `listen --json`."""
    return [json.loads(line) for line in text.splitlines() if line.strip()]


def capture(*entries, raw=True, timing="byte", end=None):
    """A capture file's text: entries are (t_ns, hex) or dicts."""
    lines = [{"strumwright": "capture", "version": 1, "source": "test line", "raw": raw,
              "timing": timing, "started": "2026-01-31T18:00:00Z"}]
    for entry in entries:
        lines.append(entry if isinstance(entry, dict) else {"t": entry[0], "hex": entry[1]})
    if end is not None:
        lines.append({"t": end, "end": True})
    return "".join(json.dumps(line, separators=(",", ":")) + "\n" for line in lines)
