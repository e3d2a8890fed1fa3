"""The warm process of an exam room: it has loaded the forms and the models behind them, and
neither lessons nor item bank, keys or judge.
"""

from tractionlab.start.warm_process import main


def load():
    """Load what a candidate's forms need."""
    import ipykernel.zmqshell  # noqa: F401  (loaded for the kernels to come)

    import tractionlab.assess.desk.case
    import tractionlab.assess.desk.desk
    import tractionlab.assess.desk.picture
    import tractionlab.assess.desk.trial
    import tractionlab.paint.printed  # noqa: F401
    from tractionlab.start.warm import warm

    warm(lambda words: None)


if __name__ == "__main__":
    main(load, lambda: ())
