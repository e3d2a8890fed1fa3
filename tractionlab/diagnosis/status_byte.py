"""Status byte of a trouble code after ISO 14229-1: eight bits, and how test results, ignition
cycles, ageing and clearing move them.

Bit order and the values after clearing and after a failure: ISO 14229-1 Annex D, second-hand. That
bit 0 starts each cycle afresh and what holds the lamp are choices that the standard leaves to the
maker; here they are the course's own."""

FAILED = 0x01  #: the last result of the test is "failed"
FAILED_THIS_CYCLE = 0x02  #: failed at least once since the ignition was switched on
PENDING = 0x04  #: failed in this cycle or in the last one that was tested
CONFIRMED = 0x08  #: failed often enough to be stored
NOT_TESTED_SINCE_CLEAR = 0x10  #: no result at all since the memory was cleared
FAILED_SINCE_CLEAR = 0x20  #: failed at least once since the memory was cleared
NOT_TESTED_THIS_CYCLE = 0x40  #: no result since the ignition was switched on
LAMP = 0x80  #: asks for the warning lamp

#: After clearing: nothing tested yet. So "no fault present" says nothing here.
CLEARED = NOT_TESTED_SINCE_CLEAR | NOT_TESTED_THIS_CYCLE

#: (bit, words for a screen), bit 0 first.
BITS = (
    (FAILED, "fault is present now"),
    (FAILED_THIS_CYCLE, "was present since ignition on"),
    (PENDING, "pending: was present in this or the last drive"),
    (CONFIRMED, "confirmed and stored"),
    (NOT_TESTED_SINCE_CLEAR, "not tested since the memory was cleared"),
    (FAILED_SINCE_CLEAR, "was present since the memory was cleared"),
    (NOT_TESTED_THIS_CYCLE, "not tested since ignition on"),
    (LAMP, "asks for the warning lamp"),
)


def failed(status, confirm=True, lamp=True):
    """Status after a test result "failed".

    `confirm`: it has now failed in enough cycles; `lamp`: a confirmed fault asks for the lamp.
    """
    status = (status | FAILED | FAILED_THIS_CYCLE | PENDING | FAILED_SINCE_CLEAR) & ~CLEARED
    if confirm or status & CONFIRMED:
        status |= CONFIRMED | (LAMP if lamp else 0)
    return status


def passed(status, hold_lamp=False):
    """Status after a test result "passed".

    `hold_lamp`: the lamp stays on until the next cycle once the fault was there.
    """
    status &= ~(FAILED | CLEARED)
    return status if hold_lamp and status & FAILED_THIS_CYCLE else status & ~LAMP


def next_cycle(status, hold_lamp=False):
    """Status at ignition on. A cycle that was tested without a failure ends "pending".

    `hold_lamp`: the lamp went with the cycle before; else it stays until the test passes.
    """
    if not status & (FAILED_THIS_CYCLE | NOT_TESTED_THIS_CYCLE):
        status &= ~PENDING
    status = status & ~(FAILED | FAILED_THIS_CYCLE) | NOT_TESTED_THIS_CYCLE
    return status & ~LAMP if hold_lamp else status


def aged(status):
    """Status after enough clean cycles: the code is forgotten, that it was tested is not."""
    return status & ~(PENDING | CONFIRMED | FAILED_SINCE_CLEAR | LAMP)


def clean(status):
    """True if the cycle so far has a result and none of them was "failed"."""
    return not status & (FAILED_THIS_CYCLE | NOT_TESTED_THIS_CYCLE)


def words(status):
    """What the bits that are set say, bit 0 first; a byte without any says so."""
    return tuple(text for bit, text in BITS if status & bit) or ("tested, never present",)
