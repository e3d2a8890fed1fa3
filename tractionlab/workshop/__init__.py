"""The workshop bench: parts and faults, the electrical network, instruments, codes, cases."""
