"""The words of `tractionlab class` and `class overview`."""


def add(commands):
    """Serving: a folder, a port, the class password, files for TLS; counting: a folder."""
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
    words = serves.add_subparsers(dest="word", metavar="word")
    counts = words.add_parser("overview", help="count what a class did, from the learners' records")
    counts.add_argument("overview", metavar="FOLDER", help="folder with records, at any depth")
    counts.add_argument("--names", action="store_true", help="list each learner as well")
