"""A folder of answer files marked into a markbook, batch by batch.

After a kill the same call goes on where it stopped and doubles nothing.
"""

import hashlib
from dataclasses import replace
from itertools import islice

import sqlalchemy as sa

from tractionlab.assess.answers.folder import answer_files, content_of
from tractionlab.assess.answers.reading import claimed
from tractionlab.assess.markbook import tables as t
from tractionlab.assess.markbook.filing import enter_names, grace, keep, open_sitting
from tractionlab.assess.markbook.mark_file import mark_file
from tractionlab.assess.markbook.record import settle
from tractionlab.assess.markbook.told import Told, tell
from tractionlab.assess.markbook.worked_once import work_out_and_judge
from tractionlab.assess.markbook.workers import Here

BATCH = 32  #: files that go to a worker at once


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
    told, known, done = Told(), {}, 0
    total = sum(1 for _ in answer_files(folder))
    open_sitting(store, sitting)
    with store.begin() as db:  # what could not be read then may be readable or gone now
        db.execute(t.names.delete().where(t.names.c.sitting == sitting.id, t.names.c.problem != ""))
    sitting = sitting.with_given(store.given(sitting.id))
    for batch in _marked(sitting, workers, _new_batches(folder, sitting, store, told)):
        work_out_and_judge(sitting, batch, workers, known)
        with store.begin() as db:
            enter_names(db, sitting, [(marked.name, marked.digest, "") for marked in batch])
            keep(db, sitting, batch)
            settle(db, sitting, sorted({marked.candidate for marked in batch if marked.candidate}))
        done += len(batch)
        if progress:
            progress(min(done + told.counts["seen before"], total), total)
    tell(store, sitting, told)
    return told


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
                enter_names(db, sitting, unread)
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
        if row.grace == grace(sitting, row.candidate)
    }


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


def mark_kept(store, sitting, numbers):
    """Mark the kept files of candidates again, by the time that the sitting now gives."""
    kept = store.rows(
        sa.select(t.files.c.evidence).where(
            t.files.c.sitting == sitting.id, t.files.c.candidate.in_(numbers)
        )
    )
    batch = [
        mark_file(sitting, "kept", content)
        for content in (t.unpacked(row.evidence) for row in kept)
        if content
    ]
    work_out_and_judge(sitting, batch, Here(), {})
    with store.begin() as db:
        keep(db, sitting, batch)
        settle(db, sitting, numbers)
