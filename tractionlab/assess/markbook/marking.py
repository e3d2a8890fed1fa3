"""A folder of answer files marked into a markbook, batch by batch.

After a kill the same call goes on where it stopped and doubles nothing.
"""

import hashlib
import json
from collections import Counter
from dataclasses import dataclass, field, replace
from itertools import islice

import sqlalchemy as sa

from tractionlab.assess.answers.folder import answer_files, content_of
from tractionlab.assess.answers.reading import GRACE, Finding, claimed
from tractionlab.assess.markbook import store as t
from tractionlab.assess.markbook.mark_file import check_number, judge_runs, mark_file
from tractionlab.assess.markbook.record import settle
from tractionlab.assess.markbook.workers import Here
from tractionlab.catalogue.entries import shipped_only
from tractionlab.errors import UserError

BATCH = 32  #: files that go to a worker at once


@dataclass
class Told:
    """What marking has to say: counts by status, a line for every file that a person should know
    of, candidates without a file.
    """

    counts: Counter = field(default_factory=Counter)
    named: list = field(default_factory=list)
    absent: list = field(default_factory=list)

    def name(self, name, words):
        self.named.append((name, words))


def mark_folder(folder, sitting, store, workers, progress=None):
    """Mark all files under `folder` for a Sitting into a Store.

    Parameters
    ----------
    workers : see tractionlab.assess.markbook.workers
    progress : callable(files done, files in all), optional

    Returns
    -------
    Told
    """
    told, figures, done = Told(), {}, 0
    total = sum(1 for _ in answer_files(folder))
    open_sitting(store, sitting)
    with store.begin() as db:  # what could not be read then may be readable or gone now
        db.execute(t.names.delete().where(t.names.c.sitting == sitting.id, t.names.c.problem != ""))
    sitting = sitting.with_lost(store.lost(sitting.id))
    for batch in _marked(sitting, workers, _new_batches(folder, sitting, store, told)):
        _run_and_judge(sitting, batch, workers, figures)
        with store.begin() as db:
            _name(db, sitting, [(marked.name, marked.digest, "") for marked in batch])
            _keep(db, sitting, batch)
            settle(db, sitting, sorted({marked.candidate for marked in batch if marked.candidate}))
        done += len(batch)
        if progress:
            progress(min(done + told.counts["seen before"], total), total)
    _tell(store, sitting, told)
    return told


def open_sitting(store, sitting):
    """Enter the sitting and its roll, unless they are there; UserError if its marks are not open or
    it is another one under the same name.
    """
    with store.begin() as db:
        row = db.execute(sa.select(t.sittings).where(t.sittings.c.id == sitting.id)).first()
        if row is None:
            db.execute(
                t.sittings.insert().values(
                    id=sitting.id,
                    paper=sitting.paper["id"],
                    title=sitting.paper["title"],
                    date=sitting.date,
                    sealed=sitting.to_json(),
                    state="open",
                    package=sitting.package,
                )
            )
            for first in range(0, len(sitting.candidates), 500):
                db.execute(
                    t.candidates.insert(),
                    [
                        {
                            "sitting": sitting.id,
                            "candidate": number,
                            "name": one["name"],
                            "conditions": t.as_text(
                                {
                                    "extra_percent": one["extra_percent"],
                                    "larger_print": one["larger_print"],
                                }
                            ),
                        }
                        for number, one in list(sitting.candidates.items())[first : first + 500]
                    ],
                )
        elif json.loads(row.sealed)["key"] != sitting.key:
            raise UserError(
                f"The markbook knows the sitting {sitting.id} with another key. Use the key file it"
                " was marked with before."
            )
        elif row.state != "open":
            raise UserError(
                f"The marks of {sitting.id} are {row.state}. Open them first: python3 -m"
                " tractionlab markbook reopen --by NAME --reason ..."
            )


def _new_batches(folder, sitting, store, told):
    """Batches [(name, content), ...] of the files that were not marked before."""
    files = answer_files(folder)
    while group := list(islice(files, BATCH)):
        seen, batch, unread = _seen(store, sitting, [name for name, _ in group]), [], []
        for name, path in group:
            content, problem = content_of(path)
            digest = hashlib.sha256(content).hexdigest()
            if seen.get(name) == digest:
                told.counts["seen before"] += 1
            elif problem:
                unread.append((name, digest, problem))
            else:
                batch.append((name, content))
        if unread:
            with store.begin() as db:
                _name(db, sitting, unread)
        if batch:
            yield batch


def _seen(store, sitting, names):
    """{name: digest} of the files among `names` that were marked before."""
    same = (t.files.c.sitting == t.names.c.sitting) & (t.files.c.digest == t.names.c.digest)
    query = (
        sa.select(t.names.c.name, t.names.c.digest, t.files.c.grace, t.files.c.candidate)
        .select_from(t.names.join(t.files, same))
        .where(t.names.c.sitting == sitting.id, t.names.c.name.in_(names))
    )
    return {
        row.name: row.digest
        for row in store.rows(query)
        if row.grace == _grace(sitting, row.candidate)
    }


def _grace(sitting, number):
    """Seconds after the issued end in which answers of a candidate count."""
    return GRACE + 60.0 * sitting.candidates.get(number, {}).get("lost", 0)


def _marked(sitting, workers, batches):
    tasks = ((_only(sitting, batch), batch) for batch in batches)
    return workers.map(mark_batch, tasks)


def _only(sitting, batch):
    """The sitting with just the candidates that the files of a batch claim, so that little travels
    to a worker.
    """
    claims = (claimed(content) for _, content in batch)
    numbers = {claim[1] for claim in claims if claim is not None and claim[1] in sitting.candidates}
    return replace(sitting, candidates={number: sitting.candidates[number] for number in numbers})


def mark_batch(sitting, batch):
    """[Marked] for [(name, content), ...]."""
    return [mark_file(sitting, name, content) for name, content in batch]


def _run_and_judge(sitting, batch, workers, figures):
    """Run what the batch needs and no batch before it has run, each scenario once; then judge the
    items that waited for it.
    """
    waiting = [marked for marked in batch if marked.wanted]
    needed = {
        scenario.key: scenario
        for marked in waiting
        for wanted in marked.wanted.values()
        for scenario in wanted
    }
    new = [scenario for key, scenario in needed.items() if _short(key) not in figures]
    for merits, part in zip(
        workers.map(run_batch, [(part,) for part in _parts(new, workers.count)]),
        _parts(new, workers.count),
    ):
        figures.update((_short(scenario.key), merit) for scenario, merit in zip(part, merits))
    runs = {key: figures[_short(key)] for key in needed}
    for marked in waiting:
        judge_runs(sitting, marked, runs)


def _short(key):
    return hashlib.sha256(key.encode()).digest()


def _parts(scenarios, count):
    size = max(1, -(-len(scenarios) // count))
    return [scenarios[first : first + size] for first in range(0, len(scenarios), size)]


@shipped_only()
def run_batch(scenarios):
    """Figures of merit of scenarios, side by side in one process."""
    from tractionlab.run.merit import merit
    from tractionlab.run.simulation import simulate_many

    return [merit(trace) for trace in simulate_many(scenarios)]


def mark_kept(store, sitting, number):
    """Mark the kept files of one candidate again, by the time that the sitting now gives."""
    kept = store.rows(
        sa.select(t.files.c.evidence).where(
            t.files.c.sitting == sitting.id, t.files.c.candidate == number
        )
    )
    batch = [
        mark_file(sitting, "kept", content)
        for content in (t.unpacked(row.evidence) for row in kept)
        if content
    ]
    _run_and_judge(sitting, batch, Here(), {})
    with store.begin() as db:
        _keep(db, sitting, batch)
        settle(db, sitting, [number])


def _keep(db, sitting, batch):
    different = {marked.digest: marked for marked in batch}
    there = set(
        db.execute(
            sa.select(t.files.c.digest).where(
                t.files.c.sitting == sitting.id, t.files.c.digest.in_(list(different))
            )
        ).scalars()
    )
    new = []
    for digest, marked in different.items():
        found = {
            "candidate": marked.candidate,
            "status": marked.status,
            "lines": marked.lines,
            "grace": _grace(sitting, marked.candidate),
            "result": t.as_text(marked.result),
            "findings": t.as_text([[one.code, one.line, one.words] for one in marked.findings]),
        }
        if digest in there:
            db.execute(
                t.files.update()
                .where(t.files.c.sitting == sitting.id, t.files.c.digest == digest)
                .values(found)
            )
        else:
            new.append(
                found
                | {
                    "sitting": sitting.id,
                    "digest": digest,
                    "evidence": t.packed(marked.evidence),
                    "check_number": check_number(marked.evidence) if marked.evidence else "",
                }
            )
    if new:
        db.execute(t.files.insert(), new)


def _name(db, sitting, named):
    """Enter [(name, digest, problem), ...]."""
    db.execute(
        t.names.delete().where(
            t.names.c.sitting == sitting.id, t.names.c.name.in_([name for name, _, _ in named])
        )
    )
    db.execute(
        t.names.insert(),
        [
            {"sitting": sitting.id, "name": name, "digest": digest, "problem": problem}
            for name, digest, problem in named
        ],
    )


def _tell(store, sitting, told):
    """Count the files by status and name every one that a person should know of."""
    query = (
        sa.select(
            t.names.c.name,
            t.names.c.digest,
            t.names.c.problem,
            t.files.c.status,
            t.files.c.candidate,
            t.files.c.findings,
        )
        .select_from(
            t.names.outerjoin(
                t.files,
                (t.files.c.sitting == t.names.c.sitting) & (t.files.c.digest == t.names.c.digest),
            )
        )
        .where(t.names.c.sitting == sitting.id)
        .order_by(t.names.c.name)
    )
    first_name = {}
    for name, digest, problem, status, candidate, findings in store.rows(query):
        if problem:
            told.counts["not read"] += 1
            told.name(name, problem)
            continue
        if digest in first_name:
            told.counts["duplicates"] += 1
            told.name(name, f"It is the same file as {first_name[digest]} and counts once.")
            continue
        first_name[digest] = name
        told.counts[status] += 1
        found = [Finding(*one) for one in json.loads(findings)]
        words = " ".join(one.words for one in found)
        if status != "counted" or found:
            told.name(name, f"{_STATUS[status].format(candidate=candidate)} {words}".strip())
    there = {
        number
        for (number,) in store.rows(
            sa.select(t.records.c.candidate).where(t.records.c.sitting == sitting.id)
        )
    }
    told.absent = [number for number in sitting.candidates if number not in there]


_STATUS = {
    "counted": "Candidate {candidate}, counted.",
    "older": "Candidate {candidate}: an older copy of a file that counted.",
    "held": "Candidate {candidate}: HELD, gives no mark until you have looked at it.",
    "rejected": "Candidate {candidate}: rejected by a person, gives no mark.",
    "refused": "REFUSED, gives no mark.",
}
