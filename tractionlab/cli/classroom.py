"""The words of `tractionlab class`."""


def add(commands):
    """A folder, a port, the class password, and files for TLS."""
    serves = commands.add_parser("class", help="serve a class over the network from this machine")
    serves.add_argument(
        "--folder", help="folder of the class (default: tractionlab-class in your home folder)"
    )
    serves.add_argument("--port", type=int, default=8000, help="port for browsers (default: 8000)")
    serves.add_argument(
        "--password",
        metavar="WORDS",
        help="class password, 8 characters or more; kept for the next time (default: drawn once)",
    )
    serves.add_argument("--certificate", metavar="FILE", help="certificate for TLS (PEM)")
    serves.add_argument("--key", metavar="FILE", help="its private key (PEM, without a password)")
