"""Painters: they take a View and make pixels of it, live in the browser (`live` and js/) or on
paper (`printed`, `printed_car`, `printed_circuit`, `printed_wiring`).

What both must agree on stands in `view/__init__.py` beside the View: colours, dashes, and
`PIPE_STEPS`, the pressure in bar from which a pipe is drawn as a **thick line**. `document` and
`card` make sheets and forms.
"""
