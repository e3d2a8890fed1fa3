"""What a lesson shows: one panel, one file, named for what it shows. A panel has controls and a
function from their values to a `View`; `base` is what all have in common, `runs` what those share
that show a run, `page` puts a panel into a notebook. It computes no physics.
"""
