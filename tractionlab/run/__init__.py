"""From a scenario to a trace: the only place where time advances.

`scenario` (what a run needs; `scenario_fields` what may stand there), `make_run` (from it a `run`:
its parameters in SI, one of the `records`), `loop` (time), `record_layout` and `noting` (what is
written down), `trace` (what happened, by name), `merit` (its figures), `simulation` (all of it in
one call). `assembly` and `circuit_assembly` fill the parameters, `kernels` compiles, `driver` and
`sensing` are in the loop.
"""
