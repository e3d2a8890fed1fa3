"""The parser of the command line: what cannot be read is answered with one sentence, the word that
may have been meant, and the command that shows the help.
"""

import argparse
import re
from difflib import get_close_matches

#: What argparse says of a word -> how a person would say it.
_SAID = (
    (r"argument (\S+): invalid int value: (.*)", r"\1 must be a whole number, got \2"),
    (r"argument (\S+): invalid float value: (.*)", r"\1 must be a number, got \2"),
    (r"the following arguments are required: (.*)", r"something is missing: \1"),
)


class Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence, and where the help is."""

    def parse_known_args(self, args=None, namespace=None):
        """As argparse does it, but a word left over is answered here, where the help is at hand."""
        found, rest = super().parse_known_args(args, namespace)
        if rest:
            self.error(f"unrecognized arguments: {' '.join(rest)}{self._meant(rest[0])}")
        return found, rest

    def error(self, message):
        """End with the sentence for a mistake and exit code 2."""
        for pattern, words in _SAID:
            message = re.sub(pattern, words, message)
        wrong = re.search(r"invalid choice: '([^']*)' \(choose from (.*)\)", message)
        if wrong:
            message += _near(wrong[1], re.findall(r"[\w-]+", wrong[2]))
        end = "" if message.endswith("?") else "."
        self.exit(2, f"{message[0].upper()}{message[1:]}{end} See: {self.prog} --help\n")

    def _meant(self, word):
        """The option that a misspelt one may stand for, as a question with a semicolon before."""
        known = re.findall(r"--[a-z][a-z-]*", self.format_help())
        return _near(word.split("=")[0], known)


def _near(word, known):
    near = get_close_matches(word, known, 1)
    return f"; did you mean {near[0]}?" if near else ""
