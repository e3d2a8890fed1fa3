"""The two hydraulic layouts as graphs, and as pictures.

* `parts`, `layout`, `paths`: what they are made of, and where fluid can go
* `places`: where each part stands in the kernels' arrays
* `values`, `circuit_values`: numbers of the circuit, and the same in SI; `faults`: what a stuck,
  blocked or **leaking valve** changes in them (`with_fault`), for runs with `faults` and for the
  bench
* `drawing`, `symbols`, `film`, `part_states`, `picture`: from pressures and flows of a run to
  symbols, pipes and words.
  The pressure in bar from which a pipe becomes a **thick line**: `PIPE_STEPS` in view/__init__.py
"""
