"""Kill -9 at random moments, while answering and while marking: nothing that was acknowledged is
lost, nothing is doubled.
"""

import os
import random
import shutil
import signal
import time

import pytest
import sqlalchemy as sa
from sittings import file_of, ids_of, right_answers, sitting_of

from tractionlab.assess.answers import file as answer_file
from tractionlab.assess.answers.file import AnswerFile
from tractionlab.assess.answers.reading import read_answers
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.marking import mark_folder
from tractionlab.assess.markbook.store import Store
from tractionlab.assess.markbook.workers import Here

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
WHILE_ANSWERING, WHILE_MARKING = 100, 100


def killed(work, seconds):
    """Run `work(acknowledge)` in a forked child, kill it after so many seconds; returns what it
    acknowledged, one byte string a line.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            work(lambda words: os.write(writing, words.encode() + b"\n"))
        finally:
            os._exit(0)
    os.close(writing)
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(reading, "rb") as pipe:
        return pipe.read().decode().splitlines()


def slow_append(path, data, sure=False):
    """Adds the bytes as `line_file.append` does, but in small pieces, so that a kill can tear a
    line.
    """
    with open(path, "a+b", buffering=0) as file:
        if file.seek(0, os.SEEK_END):
            file.seek(-1, os.SEEK_END)
            data = data if file.read(1) == b"\n" else b"\n" + data
        for first in range(0, len(data), 40):
            file.write(data[first : first + 40])
            time.sleep(0.0001)
        os.fsync(file.fileno())


def test_no_acknowledged_answer_is_lost(tmp_path, monkeypatch):
    monkeypatch.setattr(answer_file, "append", slow_append)
    sheet = sitting_of(ids_of("choice", most=2), ["1"]).sheet("1")
    item = next(iter(sheet.fields))
    (field,) = list(sheet.fields[item])[:1]
    path, chance, expected, torn = tmp_path / "answers.jsonl", random.Random(5), None, 0
    AnswerFile(path, sheet).start()
    for moment in range(WHILE_ANSWERING):
        if moment % 15 == 0:
            path.unlink()
            AnswerFile(path, sheet).start()
            expected = None

        def work(acknowledge):
            file = AnswerFile(path, sheet)
            for number in range(1000):
                file.add("answer", item=item, field=field, value=f"{moment}.{number}")
                acknowledge(f"{moment}.{number}")

        said = killed(work, chance.uniform(0.0, 0.02))
        expected = said[-1] if said else expected
        reading = read_answers(path.read_bytes(), sheet)
        assert not reading.grave, reading.findings
        torn += any(finding.code == "torn_tail" for finding in reading.findings)
        got = reading.answers().get(item, {}).get(field)
        assert got == expected or (got is not None and _after(got, expected)), (got, expected)
        expected = got
    assert torn > WHILE_ANSWERING / 20, "some kills tore a line"
    assert AnswerFile(path, sheet).add("answer", item=item, field=field, value="on")


def _after(got, expected):
    """True if the answer on disk is the one that was being written when the kill came."""
    before = tuple(map(int, expected.split("."))) if expected else (-1, -1)
    return tuple(map(int, got.split("."))) > before


def table_dump(store):
    """All that marking wrote, in a fixed order."""
    return {
        table.name: sorted(map(tuple, store.rows(sa.select(table))), key=repr)
        for table in (t.sittings, t.candidates, t.files, t.names, t.records, t.marks)
    }


def test_marking_goes_on_after_a_kill_and_doubles_nothing(tmp_path, monkeypatch):
    monkeypatch.setattr("tractionlab.assess.markbook.marking.BATCH", 2)
    numbers = [str(n) for n in range(5)]
    sitting = sitting_of(ids_of("choice", most=3), numbers)
    folder = tmp_path / "answers"
    folder.mkdir()
    for number in numbers:
        (folder / f"{number}.jsonl").write_bytes(
            file_of(sitting, number, right_answers(sitting, number)[: int(number)])
        )
    (folder / "copy.jsonl").write_bytes((folder / "3.jsonl").read_bytes())
    (folder / "zz_longer.jsonl").write_bytes(file_of(sitting, "1", right_answers(sitting, "1")))
    undisturbed = Store(str(tmp_path / "whole.sqlite"))
    begun = time.perf_counter()
    told = mark_folder(folder, sitting, undisturbed, Here())
    whole = time.perf_counter() - begun
    wanted, chance, stopped = table_dump(undisturbed), random.Random(6), 0
    Store(str(tmp_path / "empty.sqlite")).close()
    for moment in range(WHILE_MARKING):
        address = str(tmp_path / f"m{moment}.sqlite")
        shutil.copy(tmp_path / "empty.sqlite", address)
        said = killed(
            lambda acknowledge: acknowledge(
                str(mark_folder(folder, sitting, Store(address), Here()).counts["counted"])
            ),
            chance.uniform(0.0, 1.3 * whole),
        )
        stopped += not said
        store = Store(address)
        halfway = table_dump(store)
        assert {row[1] for row in halfway["tl_marks"]} == {
            row[1] for row in halfway["tl_records"]
        }, "a record and its marks come together"
        again = mark_folder(folder, sitting, store, Here())
        assert table_dump(store) == wanted and again.named == told.named
        store.close()
    assert stopped > WHILE_MARKING / 3, "most kills came before the end"
