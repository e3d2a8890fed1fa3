"""One line in the terminal that says which step runs and for how long. Standard library only."""

import os
import shutil
import subprocess
import sys
import threading
import time

_TICK = 0.25
_QUIET = 10.0


class Progress:
    """Shows `title: what happens now (m:ss)` while the `with` block runs.

    A terminal gets one line that is rewritten; a log file gets a new line when the text changes, at
    most every 10 s."""

    def __init__(self, title, stream=None):
        self.title = title
        self.stream = stream or sys.stderr
        self.text = ""
        self._live = self.stream.isatty()
        self._end = threading.Event()
        self._ticker = threading.Thread(target=self._tick, daemon=True)

    def say(self, text):
        """Change what is said to happen now."""
        self.text = text

    def __enter__(self):
        self._start = self._printed_at = time.monotonic()
        self._printed = ""
        if not self._live:
            self._write(f"{self.title} ...\n")
        self._ticker.start()
        return self

    def __exit__(self, kind, error, trace):
        self._end.set()
        self._ticker.join()
        outcome = "done" if kind is None else "stopped"
        self._write(self._fitted(f"{self.title}: {outcome}{self._clock()}") + "\n")

    def _clock(self):
        minutes, seconds = divmod(int(time.monotonic() - self._start), 60)
        return f" ({minutes}:{seconds:02d})"

    def _fitted(self, line):
        if not self._live:
            return line
        width = max(shutil.get_terminal_size().columns - 1, 20)
        return "\r" + line[:width].ljust(width)

    def _write(self, text):
        self.stream.write(text)
        self.stream.flush()

    def _tick(self):
        while not self._end.wait(_TICK):
            line = f"{self.title}: {self.text or 'please wait'}{self._clock()}"
            if self._live:
                self._write(self._fitted(line))
            elif self.text != self._printed and time.monotonic() - self._printed_at > _QUIET:
                self._write(f"{line}\n")
                self._printed, self._printed_at = self.text, time.monotonic()


def run_step(title, command, log, *, read_line=None, environment=None):
    """Run a program behind a progress line; its output goes to the end of the file `log`.

    `read_line(line)` gives the words to show for a line of output, or None to leave them as they
    are. `environment` holds variables to add to our own. Raises CalledProcessError if the program
    fails."""
    variables = {**os.environ, "PYTHONUNBUFFERED": "1", **(environment or {})}
    with Progress(title) as progress, open(log, "a", encoding="utf-8") as out:
        child = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
            env=variables,
        )
        try:
            for line in child.stdout:
                out.write(line)
                words = read_line(line) if read_line else None
                if words:
                    progress.say(words)
        except BaseException:
            child.terminate()
            raise
        finally:
            code = child.wait()
        if code:
            raise subprocess.CalledProcessError(code, command)


def last_lines(log, count=8):
    """The last lines of a log file, indented, for showing after a failure."""
    try:
        with open(log, encoding="utf-8", errors="replace") as text:
            lines = [line.rstrip()[:200] for line in text if line.strip()]
    except OSError:
        return ""
    return "\n".join("    " + line for line in lines[-count:])
