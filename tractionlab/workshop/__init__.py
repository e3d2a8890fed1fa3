"""The workshop bench: a fault is changed part values and nothing else; readings, codes, lamps and
symptoms follow by computation.

* what a fault changes, and **what that changes for the person at the car**: data/workshop/
  faults.toml, one table a fault (such as `outlet-valve-leaks`), read by `faults`
* `part_values`: the healthy values; `service`: what a job restores; `codes`: their words
* `wiring`: the electrical network as a graph, and its solution
* `instruments`: meter, oscilloscope, probes; `reading`: one reading with its tolerance
* `tests`: the bench tests; `hydraulic_car`: the circuit with the fault's parts in it
* `drive`: a drive with the fault, seen by the self-diagnosis and felt by the driver
* `case`: a repair case, its score and its sheets
"""
