"""Run a program on a pseudo-terminal of 80 columns and 24 rows, step by step, and print as JSON how it ended.

    terminal.py 'STEPS' PROGRAM ARGUMENT ...

STEPS is a JSON list of [word, value]: `see` waits until the screen shows a text, `keys` types, `size` changes the window to
[columns, rows], `within` fails if anything was drawn beyond so many columns since, `signal` sends one by name, `wait` waits so
many seconds, `through` types a key
until the screen shows a text, keeps every screen in between, and fails if it shows another text first, `end` waits for the
end. Nothing but what Python brings along.
"""

import codecs
import fcntl
import json
import os
import pty
import re
import select
import signal
import struct
import sys
import termios
import time

PATIENCE_S = 60
ESCAPES = re.compile(r"\x1b\[(\?*[0-9;]*)([A-Za-z])|\x1b\][^\x07]*\x07|\x1b[()][A-Z0-9]|\x1b[=>78]")


class Screen:
    """What the program has drawn: as much of a terminal as it uses."""

    def __init__(self):
        self.decode = codecs.getincrementaldecoder("utf-8")("replace").decode
        self.lines, self.row, self.column = {}, 0, 0
        self.private = {}
        self.bells = 0
        self.pending = ""
        self.widest = 0

    def put(self, letter):
        if letter == "\a":
            self.bells += 1
        elif letter == "\r":
            self.column = 0
        elif letter == "\n":
            self.row += 1
        elif letter >= " ":
            line = self.lines.setdefault(self.row, {})
            line[self.column] = letter
            self.column += 1
            self.widest = max(self.widest, self.column)

    def feed(self, data):
        text, self.pending = self.pending + self.decode(data), ""
        at = 0
        while at < len(text):
            if text[at] != "\x1b":
                self.put(text[at])
                at += 1
                continue
            shape = ESCAPES.match(text, at)
            if not shape:
                if len(text) - at > 40:
                    sys.exit(f"an escape this terminal does not know: {text[at:at + 40]!r}")
                self.pending = text[at:]
                return
            at = shape.end()
            numbers, word = shape[1] or "", shape[2]
            if word == "H":
                row, _, column = numbers.partition(";")
                self.row, self.column = int(row or 1) - 1, int(column or 1) - 1
            elif word == "J" and numbers == "2":
                self.lines, self.widest = {}, 0
            elif word == "K":
                line = self.lines.get(self.row, {})
                self.lines[self.row] = {place: letter for place, letter in line.items() if place < self.column}
            elif word in "hl" and numbers.startswith("?"):
                self.private[numbers[1:]] = word

    def text(self):
        def line(cells):
            return "".join(cells.get(place, " ") for place in range(max(cells, default=-1) + 1))

        return "\n".join(line(self.lines[row]) for row in sorted(self.lines))


def main():
    steps, command = json.loads(sys.argv[1]), sys.argv[2:]
    mine, theirs = pty.openpty()

    def resize(columns, rows):
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    resize(80, 24)
    before = termios.tcgetattr(theirs)
    child = os.fork()
    if child == 0:
        os.setsid()
        fcntl.ioctl(theirs, termios.TIOCSCTTY, 0)
        for stream in range(3):
            os.dup2(theirs, stream)
        os.closerange(3, 20)
        os.execv(command[0], command)
    screen, code, seen_raw, read_through = Screen(), None, False, []

    def read(seconds):
        if select.select([mine], [], [], seconds)[0]:
            screen.feed(os.read(mine, 65536))
            return True
        return False

    def ended():
        nonlocal code
        if code is None:
            process, status = os.waitpid(child, os.WNOHANG)
            if process:
                code = os.waitstatus_to_exitcode(status)
        return code is not None

    try:
        for word, value in steps:
            until = time.monotonic() + PATIENCE_S
            if word == "see":
                while " ".join(value.split()) not in " ".join(screen.text().split()):
                    if ended() and not read(0.2) or time.monotonic() > until:
                        sys.exit(f"never seen: {value!r}; ended with {code}; on the screen:\n{screen.text()}")
                    read(0.05)
                seen_raw = seen_raw or termios.tcgetattr(theirs) != before
            elif word == "keys":
                os.write(mine, value.encode())
            elif word == "through":
                key, wanted, never = value
                while True:
                    while read(0.4):
                        pass
                    shown = " ".join(screen.text().split())
                    read_through.append(screen.text())
                    if never in shown:
                        sys.exit(f"{never!r} came too soon:\n{screen.text()}")
                    if wanted in shown:
                        break
                    if ended() or time.monotonic() > until:
                        sys.exit(f"never seen: {wanted!r}; on the screen:\n{screen.text()}")
                    os.write(mine, key.encode())
            elif word == "size":
                screen.lines, screen.widest = {}, 0
                resize(*value)
            elif word == "within":
                if screen.widest > value:
                    sys.exit(f"{screen.widest} columns are drawn, not {value}:\n{screen.text()}")
            elif word == "wait":
                time.sleep(value)
            elif word == "signal":
                os.kill(child, getattr(signal, value))
            elif word == "end":
                while not ended():
                    read(0.05)
                    if time.monotonic() > until:
                        sys.exit(f"does not end; on the screen:\n{screen.text()}")
                while read(0.1):
                    pass
            else:
                sys.exit(f"no step is called {word}")
        print(json.dumps({
            "code": code,
            "raw": seen_raw,
            "restored": termios.tcgetattr(theirs) == before,
            "cursor_shown": screen.private.get("25") == "h",
            "other_screen_left": screen.private.get("1049") == "l",
            "bells": screen.bells,
            "read": read_through,
            "screen": screen.text(),
        }))
    finally:
        if not ended():
            os.kill(child, signal.SIGKILL)


main()
