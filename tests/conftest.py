"""Makes the helpers beside the tests importable, and keeps files that share costly results in one
process.
"""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

#: Files that read the same hand-outs, lesson runs and stops, or the same readings of the bench: the
#: second of them finds what the first one computed.
TOGETHER = (
    (
        "tests/test_checks.py",
        "tests/test_demonstrations.py",
        "tests/test_handouts.py",
        "tests/test_lesson_questions.py",
        "tests/test_observations.py",
        "tests/test_shown_commands.py",
    ),
    ("tests/test_workshop_faults.py", "tests/test_workshop_stories.py"),
    (
        "tests/test_assess_case_gate.py",
        "tests/test_assess_class.py",
        "tests/test_assess_fair_keys.py",
        "tests/test_assess_hostile_cases.py",
        "tests/test_assess_judge.py",
        "tests/test_assess_second_person.py",
        "tests/test_workshop_case.py",
        "tests/test_workshop_score.py",
        "tests/test_workshop_separable.py",
        "tests/test_workshop_technicians.py",
    ),
)


@pytest.fixture
def own_folder(tmp_path, monkeypatch):
    """A learner's folder as the present one, with no record in it yet."""
    from tractionlab.written import record

    monkeypatch.chdir(tmp_path)
    record._record_of.cache_clear()
    return tmp_path


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Give each worker whole files, as `loadfile` does, and those that belong together to one."""
    if config.getvalue("dist") != "loadfile":
        return None
    from xdist.scheduler import LoadFileScheduling

    class WholeFiles(LoadFileScheduling):
        def _split_scope(self, nodeid):
            file = super()._split_scope(nodeid)
            return next((group[0] for group in TOGETHER if file in group), file)

    return WholeFiles(config, log)
