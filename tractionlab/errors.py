"""The one kind of error a user is meant to read."""


class UserError(ValueError):
    """A user's mistake or a machine that lacks something, told in one sentence.

    The message names the file, the field and the allowed range where there are such, and the way out.
    The command line prints it without a traceback and ends with exit code 2.
    """
