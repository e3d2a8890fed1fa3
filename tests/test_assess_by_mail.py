"""Sent in by mail or stick: one file per candidate, from `paper sit` on an own machine to the
marks, by the commands as they are typed. What mail does to a file is undone or named, and nothing
is lost.
"""

import asyncio
import os
import re
import zipfile
from email.message import EmailMessage

import pytest
from room_client import Candidate, Sat
from sittings import file_of, ids_of, paper_of, right_answers, sitting_of

from tractionlab.assess.answers import folder
from tractionlab.assess.answers.check_number import check_number
from tractionlab.assess.answers.sent import as_written
from tractionlab.assess.desk.desk import Desk
from tractionlab.assess.sitting.issue import issue
from tractionlab.assess.sitting.roll import Candidate as OnRoll
from tractionlab.cli.main import main

PAPER = paper_of(ids_of("choice", most=3))


@pytest.fixture(autouse=True)
def as_installed(monkeypatch):
    monkeypatch.setattr("tractionlab.start.environment.ensure", lambda *a, **k: None)
    monkeypatch.setattr(os, "cpu_count", lambda: 1)  # marks here, in no process of its own


def sit(folder, value="A"):
    """A candidate answers everything and hands in; the bytes of the file to send."""
    one = Desk(folder)
    one.start()
    for item in PAPER.items:
        one.save(item, one._items[item]["fields"][0]["name"], value)
    one.hand_in(True)
    return (folder / one.face["file"]).read_bytes()


def mail(content):
    """A whole mail with the file, as a mail program saves it."""
    one = EmailMessage()
    one["From"], one["Subject"] = "somebody@college.invalid", "My paper"
    one.set_content("Here it is.")
    one.add_attachment(content, maintype="application", subtype="octet-stream", filename="a.jsonl")
    return bytes(one)


def test_from_paper_sit_to_the_marks_by_mail(tmp_path, capsys):
    roll = [OnRoll(f"{n:03d}", f"Person {n}") for n in range(1, 10)]
    sitting = issue(PAPER, roll, tmp_path / "sitting")
    other = issue(PAPER, roll[:1], tmp_path / "other")
    inbox, places = tmp_path / "inbox", tmp_path / "sitting" / "candidates"
    inbox.mkdir()

    # Candidate 1 alone with a machine: the window names the one file.
    with Sat(places / "candidate_001") as room:
        one = Candidate(room.base)
        assert one.ask(room.address.removeprefix(room.base))[0] == 200

        async def work():
            await one.open()
            await one.start()
            said = await one.save(PAPER.items[0], "answer", "B")
            assert said["kind"] == "saved", said
            one.command(command="hand_in", own_work=True)
            face = await one.hear(
                lambda kind, content: '"number"' in str(content).replace("'", '"')
            )
            return face["data"]["state"]["face"]

        face = asyncio.run(work())
        named = re.search(r"Once it is handed in, (.*\.jsonl) is the one file to send", room.said())
    sent = open(named[1], "rb").read()
    assert check_number(sent) == face["number"] and named[1].endswith(face["file"])

    done = {n: sit(places / f"candidate_{n:03d}") for n in range(2, 9)}
    files = {
        "Re Fwd paper of mine.txt": sent,
        "hand_in_001 (1).jsonl": sent,
        "line ends.jsonl": done[2].replace(b"\n", b"\r\n"),
        "mark before.jsonl": b"\xef\xbb\xbf" + done[3],
        "both.jsonl": b"\xef\xbb\xbf" + done[4].replace(b"\n", b"\r\n"),
        "both again.jsonl": done[4],
        "torn.jsonl": done[5][:-200],
        "mail.eml": mail(done[6]),
        "candidate_001.jsonl": sit(tmp_path / "other" / "candidates" / "candidate_001"),
        "twice.jsonl": done[8],
        "twice, changed.jsonl": file_of(sitting, "008", right_answers(sitting, "008")),
    }
    for name, content in files.items():
        (inbox / name).write_bytes(content)
    with zipfile.ZipFile(inbox / "hand_in_007.zip", "w") as packed:
        packed.writestr("hand_in_007.jsonl", done[7])
    key, store = tmp_path / "sitting" / "assessor" / "sitting.json", str(tmp_path / "m.sqlite")
    mark = ["mark", str(inbox), "--sitting", str(key), "--store", store]
    capsys.readouterr()
    assert main(mark) == 0
    said = capsys.readouterr().out
    for words in (
        r"hand_in_001 \(1\).jsonl: It is the same file as Re Fwd paper of mine.txt and counts once",
        r"both.jsonl: It is the same file as both again.jsonl and counts once",
        "torn.jsonl: Candidate 005, counted. Line .* was not written to its end",
        "mail.eml: REFUSED, .* It is a whole mail: save its attachment here",
        "hand_in_007.zip: REFUSED, .* It is a packed file: unpack it",
        f"candidate_001.jsonl: REFUSED.* of candidate 001 in the sitting {other.id}: mark it there",
        "twice.jsonl: Candidate 008: HELD",
        "twice, changed.jsonl: Candidate 008: HELD",
        "No file that could be used: candidate 006, 007, 009$",
    ):
        assert re.search(words, said, re.MULTILINE), (words, said)
    assert "line ends" not in said and "mark before" not in said, "they count, as they were written"
    # What was packed, and what came for another sitting, counts where it is put.
    with zipfile.ZipFile(inbox / "hand_in_007.zip") as packed:
        packed.extractall(inbox)
    assert main(mark) == 0
    assert "No file that could be used: candidate 006, 009\n" in capsys.readouterr().out
    assert main(["markbook", "show", "002", "--store", store]) == 0
    assert check_number(done[2]) in capsys.readouterr().out, "the number that the candidate wrote"
    key = str(tmp_path / "other" / "assessor" / "sitting.json")
    store = str(tmp_path / "other.sqlite")
    assert main(["mark", str(inbox), "--sitting", key, "--store", store]) == 0
    assert "1 counted" in capsys.readouterr().out


def test_a_file_as_long_as_may_be_loses_no_line_when_mail_makes_it_longer(tmp_path, monkeypatch):
    sitting = sitting_of(PAPER.items, ["1"])
    written = file_of(sitting, "1", right_answers(sitting, "1"))
    monkeypatch.setattr(folder, "LONGEST_FILE", len(written))
    came = tmp_path / "came.jsonl"
    came.write_bytes(b"\xef\xbb\xbf" + written.replace(b"\n", b"\r\n"))
    assert folder.content_of(came) == (written, "")
    came.write_bytes(written + b" ")
    assert len(folder.content_of(came)[0]) > len(written), "a longer one is seen to be too long"


def test_only_what_a_program_on_the_way_adds_is_taken_away():
    sitting = sitting_of(PAPER.items, ["1"])
    written = file_of(sitting, "1", right_answers(sitting, "1"))
    assert as_written(written) == written
    assert as_written(b"\xef\xbb\xbf" + written.replace(b"\n", b"\r\n")) == written
    for strange in (b"", b"\r\n", b"{}\r\n{}\r\n", b"\x00" * 50, written[:40]):
        assert as_written(strange) == strange
