#!/usr/bin/env python3
"""browser.py FILE.html [FOLDER]: opens a note in headless Chromium at phone and desk width and for print.

Prints complaints, one a line, then a line of facts. Complaints: console messages, violations of the page's
policy, exceptions, requests that would leave the file, clips that do not decode and play, content wider than
the window, text of figures that leaves its figure. With FOLDER: screenshots and the printed PDF go there.
Exit 77: no Chromium on this machine (a line says so)."""
import base64
import fcntl
import json
import os
import pathlib
import select
import shutil
import subprocess
import sys
import tempfile
import time

SIZES = {"phone": (375, 812), "desk": (1280, 900)}
LONGEST = 60.0  # seconds for any one answer; a loaded two-core machine takes some ten to start a browser


class Browser:
    """The DevTools protocol over a pipe: messages are JSON, ended by a NUL."""

    def __init__(self, program, profile):
        to_read, self.to = os.pipe()
        self.of, to_write = os.pipe()

        def hand_over():  # the browser reads from 3 and writes to 4, which may be in use by the pipes
            for fd, wanted in [(fcntl.fcntl(to_read, fcntl.F_DUPFD, 10), 3),
                               (fcntl.fcntl(to_write, fcntl.F_DUPFD, 10), 4)]:
                os.dup2(fd, wanted)

        self.process = subprocess.Popen(
            [program, "--headless", "--no-sandbox", "--disable-gpu", "--mute-audio", "--hide-scrollbars",
             "--autoplay-policy=no-user-gesture-required", "--remote-debugging-pipe", "--no-first-run",
             "--disable-background-networking", "--disable-dev-shm-usage", f"--user-data-dir={profile}",
             "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, preexec_fn=hand_over, close_fds=False)
        os.close(to_read)
        os.close(to_write)
        self.buffer, self.number, self.events, self.session = b"", 0, [], None

    def next_message(self, until):
        while b"\0" not in self.buffer:
            ready, _, _ = select.select([self.of], [], [], max(0.0, until - time.monotonic()))
            if not ready:
                return None
            piece = os.read(self.of, 1 << 20)
            if not piece:
                raise SystemExit("the browser ended by itself")
            self.buffer += piece
        message, self.buffer = self.buffer.split(b"\0", 1)
        return json.loads(message)

    def ask(self, method, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        os.write(self.to, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + LONGEST
        while True:
            answer = self.next_message(until)
            if answer is None:
                raise SystemExit(f"no answer to {method} in {LONGEST:.0f} s")
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise SystemExit(f"{method}: {answer['error']['message']}")
                return answer["result"]
            self.events.append(answer)

    def wait_for(self, method):
        until = time.monotonic() + LONGEST
        while not any(e.get("method") == method for e in self.events):
            message = self.next_message(until)
            if message is None:
                raise SystemExit(f"{method} did not come in {LONGEST:.0f} s")
            self.events.append(message)

    def evaluate(self, expression):
        result = self.ask("Runtime.evaluate", expression=expression, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in result:
            raise SystemExit("evaluate: " + json.dumps(result["exceptionDetails"])[:400])
        return result["result"].get("value")

    def end(self):
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()


PLAY = """(async () => {
  const troubles = [];
  for (const a of document.querySelectorAll('audio')) {
    a.muted = true;
    try { await a.play(); } catch (e) { troubles.push('does not play: ' + e); continue; }
    const until = Date.now() + 10000;
    while (a.currentTime <= 0 && Date.now() < until) await new Promise(r => setTimeout(r, 20));
    if (!(a.currentTime > 0)) troubles.push('stands still');
    if (!(a.duration > 0.5 && a.duration < 7)) troubles.push('lasts ' + a.duration);
    if (a.error) troubles.push('error ' + a.error.message);
    a.pause();
  }
  return troubles;
})()"""

# Laid out for a font that the reader may lack: each text must still lie inside its figure.
OUTSIDE = """(() => {
  const out = [];
  for (const svg of document.querySelectorAll('figure > svg')) {
    const f = svg.getBoundingClientRect();
    if (f.width === 0) continue;
    for (const t of svg.querySelectorAll('text')) {
      const b = t.getBoundingClientRect();
      if (b.left < f.left - 2 || b.right > f.right + 2 || b.top < f.top - 2 || b.bottom > f.bottom + 2)
        out.push(t.textContent.slice(0, 60));
    }
  }
  return out;
})()"""


def complaints_of(events):
    for event in events:
        method, p = event.get("method"), event.get("params", {})
        if method == "Log.entryAdded":
            yield "console: " + p["entry"]["text"]
        elif method == "Runtime.consoleAPICalled":
            yield "console: " + json.dumps(p["args"])[:200]
        elif method == "Runtime.exceptionThrown":
            yield "exception: " + json.dumps(p)[:200]
        elif method == "Network.requestWillBeSent":
            url = p["request"]["url"]
            if not url.startswith(("data:", "file:")) or (url.startswith("file:") and not url.endswith(NAME)):
                yield "leaves: " + url[:200]


program = shutil.which("chromium") or shutil.which("chromium-browser")
if not program:
    print("no chromium on this machine: the page was not opened in a browser")
    sys.exit(77)
page = pathlib.Path(sys.argv[1]).resolve()
NAME = page.name
folder = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else None
with tempfile.TemporaryDirectory() as profile:
    browser = Browser(program, profile)
    try:
        target = browser.ask("Target.createTarget", url="about:blank")["targetId"]
        browser.session = browser.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            browser.ask(domain + ".enable")
        browser.events.clear()
        browser.ask("Page.navigate", url=page.as_uri())
        browser.wait_for("Page.loadEventFired")
        facts = {}
        for name, (width, height) in SIZES.items():
            browser.ask("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1,
                        mobile=name == "phone")
            wide = browser.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                print(f"{name}: {wide} px of content in {width} px")
            for text in browser.evaluate(OUTSIDE):
                print(f"{name}: outside of its figure: {text}")
            facts[name] = browser.evaluate("[...document.querySelectorAll('figure > svg')]"
                                           ".filter(s => s.getBoundingClientRect().width > 0).length")
            if folder:
                tall = browser.evaluate("document.documentElement.scrollHeight")
                shot = browser.ask("Page.captureScreenshot", captureBeyondViewport=True,
                                   clip={"x": 0, "y": 0, "width": width, "height": tall, "scale": 1})
                (folder / f"{name}.png").write_bytes(base64.b64decode(shot["data"]))
        for trouble in browser.evaluate(PLAY):
            print("clip " + trouble)
        facts["clips"] = browser.evaluate("document.querySelectorAll('audio').length")
        facts["scripts ran"] = browser.evaluate("window.ran === undefined ? 0 : 1")
        pdf = base64.b64decode(browser.ask("Page.printToPDF", preferCSSPageSize=True)["data"])
        facts["printed pages"] = pdf.count(b"/Type /Page\n") or pdf.count(b"/Type /Page ")
        if folder:
            (folder / "print.pdf").write_bytes(pdf)
        for line in complaints_of(browser.events):
            print(line)
        print("facts " + json.dumps(facts))
    finally:
        browser.end()
