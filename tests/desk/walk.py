#!/usr/bin/env python3
"""Walks the real window through the five moments of the sample job, once by mouse and once by keyboard: under a
virtual display with software OpenGL, pointed at by xdotool, heard on a sound card that exists only in memory.
Everything is asserted on the job's folder or on what was heard, not on the window alone; pictures stay in SHOTS.

    walk.py PROGRAM COMMAND_LINE DROP_FILE SOURCE SHOTS mouse|keyboard
"""
import array
import contextlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time

PATIENCE = 60  # s: a loaded machine is slow, and nothing here is a measurement of speed


def run(*words, **more):
    return subprocess.run(words, check=True, capture_output=True, text=True, **more).stdout


def until(what, holds, patience=PATIENCE):
    """Waits until holds() gives something true and returns it."""
    end = time.monotonic() + patience
    while time.monotonic() < end:
        if found := holds():
            return found
        time.sleep(0.05)
    raise AssertionError(f"waited {patience} s in vain: {what}")


class Window:
    """The window as a hand meets it: places by name, a pointer, keys, pictures. The program says at every frame what
    of mouse and keyboard has come to it and whether anything is still under way, so nothing here waits for a time."""

    def __init__(self, words, places, shots):
        self.places_file, self.shots, self.count = places, shots, 0
        self.process = subprocess.Popen(words)
        self.id = until("a window", self._find)
        run("xdotool", "windowfocus", "--sync", self.id)
        self.still()

    def _find(self):
        assert self.process.poll() is None, "the window has closed by itself"
        found = subprocess.run(["xdotool", "search", "--onlyvisible", "--class", "cranknote-desk"], capture_output=True, text=True)
        return found.stdout.split()[-1] if found.stdout.split() else None

    def lines(self):
        assert self.process.poll() is None, "the window has closed by itself"
        with contextlib.suppress(FileNotFoundError), open(self.places_file, encoding="utf-8") as file:
            return file.read().splitlines()
        return []

    def told(self, word):
        """What stands behind a word, as in "said TEXT" or "keys 3"."""
        return next((line[len(word) + 1:] for line in self.lines() if line.startswith(word + " ")), "")

    def said(self):
        return self.told("said")

    def seen(self, what):
        return int(self.told(what) or 0)

    def places(self):
        found = {}
        for line in self.lines():
            parts = line.split(" ", 4)
            with contextlib.suppress(ValueError):
                if len(parts) == 5:
                    found.setdefault(parts[4], [float(v) for v in parts[:4]])
        return found

    def still(self):
        """Until nothing works behind and no further frame is due."""
        until("the window to rest", lambda: "idle" in self.lines()[:3])

    def after(self, what, times, *words):
        """Does something with mouse or keyboard and waits until frames have seen it so many times and rest."""
        before = self.seen(what)
        run("xdotool", *words)
        until(f"{times} more {what} seen", lambda: self.seen(what) >= before + times)
        self.still()

    def middle(self, name):
        box = until(f'"{name}" in the window', lambda: self.places().get(name))
        return round((box[0] + box[2]) / 2), round((box[1] + box[3]) / 2)

    def point(self, x, y):
        run("xdotool", "mousemove", str(x), str(y))
        until("the pointer to arrive", lambda: self.told("pointer") == f"{x} {y}")
        self.still()

    def reach(self, name, over):
        """Scrolls the panel that `over` names until a thing is within the window, and presses it."""
        x, _ = self.middle(over)
        for _ in range(60):
            y = self.middle(name)[1]
            if 100 < y < 940:
                break
            self.point(x, 500)
            self.after("wheel", 1, "click", "5" if y > 500 else "4")
        self.click(name)

    def click(self, name):
        self.still()
        self.point(*self.middle(name))
        self.point(*self.middle(name))  # what lights up below the pointer may have moved it
        self.after("buttons", 1, "click", "1")

    def key(self, *keys):
        self.after("keys", sum(len(key.split("+")) for key in keys), "key", "--delay", "15", *keys)

    def type(self, text):
        self.after("characters", len(text), "type", "--delay", "8", text)

    def shot(self, name):
        self.count += 1
        run("import", "-window", self.id, f"{self.shots}/{self.count:02} {name}.png")

    def close(self):
        run("xdotool", "key", "ctrl+q")
        assert self.process.wait(PATIENCE) == 0, "the window did not close well"


class Walk:
    def __init__(self, program, command_line, drop_file, source, shots, way, place):
        self.program, self.command_line, self.drop_file = program, command_line, drop_file
        self.sample, self.by_mouse = f"{source}/samples/minibus", way == "mouse"
        self.job, self.place = f"{place}/minibus", place
        self.shots = f"{shots}/{way}"
        shutil.rmtree(self.shots, ignore_errors=True)
        os.makedirs(self.shots)

    def recording(self, name):
        return f"{self.sample}/recordings/{name}"

    def kept(self):
        with open(f"{self.job}/job.json", encoding="utf-8") as file:
            return json.load(file)

    def states(self):
        return [state["name"] for state in self.kept()["states"]]

    def make_job(self):
        run(self.command_line, "new", self.job, "--layout", f"{self.sample}/layout.toml", "--title",
            "Chirps and scrapes (simulated)", "--worked-on", "alternator")
        run(self.command_line, "add", self.job, self.recording("as found, cold.m4a"), "--state", "as found",
            "--coolant", "cold", "--since-start", "3")

    def open(self):
        places = f"{self.place}/places"
        self.window = Window([self.program, self.job, "--light", "--size", "1600x1000", "--places", places], places,
                             self.shots)
        assert "state as found" in self.window.places()
        self.window.shot("as found")

    def add_by_name(self, name):
        """By command: the file's name is typed."""
        w, before = self.window, len(self.kept()["recordings"])
        w.reach("add file", "state as found") if self.by_mouse else w.key("o")
        w.type(self.recording(name))
        w.shot("a file is named")
        w.click("yes") if self.by_mouse else w.key("Return")
        until(f"{name} in the job", lambda: len(self.kept()["recordings"]) == before + 1)
        w.still()

    def add_by_drop(self, name, on):
        """From a file manager, dropped on a thing of the window."""
        w, before = self.window, len(self.kept()["recordings"])
        x, y = w.middle(on)
        w.point(x, y)
        run(self.drop_file, str(x), str(y), self.recording(name))
        until(f"{name} in the job", lambda: len(self.kept()["recordings"]) == before + 1)
        w.still()

    def take_off(self, part):
        w = self.window
        if self.by_mouse:
            w.click("part " + part)
            return
        for _ in range(40):  # the pointer's keyboard twin goes from thing to thing
            w.key("Tab")
            if w.told("lit") == part:
                break
        else:
            raise AssertionError(f"Tab never came to the {part}")
        w.key("Return")

    def mark(self):
        w = self.window
        found = [p[8:] for p in w.places() if p.startswith("finding ")]
        assert found, "nothing stands out"
        if self.by_mouse:
            w.reach("finding " + found[0], "finding " + found[0])
            w.reach("mark " + found[0], "finding " + found[0])
        else:
            w.key("period")
            w.key("m")
        until("a complaint in the job", lambda: len(self.kept()["complaints"]) == 1)
        w.still()
        w.shot("the noise is marked")
        # What was marked goes with one key and comes back with another.
        w.key("ctrl+z")
        assert not self.kept()["complaints"], "Ctrl+Z took nothing back"
        w.key("ctrl+shift+z")
        assert len(self.kept()["complaints"]) == 1, "Ctrl+Shift+Z did not bring it back"

    def compare(self):
        w = self.window
        if self.by_mouse:
            w.reach("state as found", "state as found")
            w.reach("state accessory belt off", "state as found")
        else:
            w.key("Up", "Up", "Up", "Up")
            w.key("Down")
        w.still()
        w.shot("compared")
        assert any(p.startswith("finding ") for p in w.places()), "the comparison found nothing"

    def heard(self):
        """The loudest sample of half a second of what comes out of the sound card."""
        raw = subprocess.run(["timeout", "0.8", "parec", "-d", "shop.monitor", "--format=s16le"], capture_output=True,
                             check=False).stdout
        samples = array.array("h", raw[: len(raw) // 2 * 2])
        return max((abs(v) for v in samples), default=0)

    def play(self):
        w = self.window
        assert self.heard() == 0, "something plays before anything was asked to"
        for side in ("a", "b"):
            if self.by_mouse:
                w.click("play " + side)
            else:
                w.key(side)
            until(f"side {side} on the sound card", lambda: self.heard() > 100)
        w.shot("playing")
        w.key("b")
        until("silence", lambda: self.heard() == 0)

    def suspects(self):
        w = self.window
        w.reach("suspect 1", "suspect 1") if self.by_mouse else w.key("1")
        w.shot("what speaks for and against")
        assert any(p.startswith("saw ") for p in w.places()), "for and against did not open"
        told = json.loads(run(self.command_line, "suspects", self.job, "--json"))
        assert told["guilty"], "the command line has no suspects for this job"

    def through_time(self):
        w = self.window
        w.click("tab In time") if self.by_mouse else w.key("t")
        x, y = w.middle("figure")
        w.point(x, y)
        w.shot("a recording through time")
        assert "\u00d7" in w.told("reading"), "no ratio is read off the picture through time"

    def write_note(self):
        w = self.window
        w.click("note") if self.by_mouse else w.key("n")
        w.shot("the note is asked for")
        w.click("yes") if self.by_mouse else w.key("Return")
        until("word of the note", lambda: w.said().startswith("Written: "))
        written = os.listdir(f"{self.job}/notes")
        ends = {os.path.splitext(name)[1] for name in written}
        assert ends == {".html", ".pdf", ".txt"}, ends
        assert all(os.path.getsize(f"{self.job}/notes/{name}") > 500 for name in written)
        w.shot("the note is written")

    def all_of_it(self):
        self.make_job()
        self.open()
        self.add_by_drop("as found, cold again.m4a", "state as found")
        assert self.states() == ["as found"], "dropped on a state, it goes to that state"
        self.mark()
        self.take_off("accessory belt")
        self.window.shot("the belt is off")
        self.add_by_name("accessory belt off, cold.mp4")
        state = self.kept()["states"][-1]
        assert state["name"] == "accessory belt off" and state["off"] == ["accessory belt"], state
        self.compare()
        self.play()
        self.suspects()
        self.through_time()
        self.write_note()
        self.window.close()
        whole = subprocess.run([self.command_line, "verify", self.job], capture_output=True, text=True, check=False)
        assert whole.returncode == 0, whole.stdout + whole.stderr


@contextlib.contextmanager
def display():
    """A virtual display with a number of its own."""
    read, write = os.pipe()
    server = subprocess.Popen(["Xvfb", "-displayfd", str(write), "-screen", "0", "1600x1000x24", "-nolisten", "tcp"],
                              pass_fds=[write], stderr=subprocess.DEVNULL)
    os.close(write)
    try:
        with os.fdopen(read) as number:
            os.environ["DISPLAY"] = ":" + number.readline().strip()
        yield
    finally:
        server.terminate()
        server.wait()


def main():
    for tool in ("Xvfb", "xdotool", "import", "parec"):
        if not shutil.which(tool):
            print(f"{tool} is not installed")
            return 77
    os.environ["LIBGL_ALWAYS_SOFTWARE"] = "1"
    with display(), tempfile.TemporaryDirectory() as place:
        walk = Walk(*sys.argv[1:], place)
        try:
            walk.all_of_it()
        except BaseException:
            window = getattr(walk, "window", None)
            if window and window.process.poll() is None:
                window.shot("where it failed")
                print("the window said:", window.said(), file=sys.stderr)
                window.process.kill()
            raise
    return 0


if __name__ == "__main__":
    sys.exit(main())
