"""Curves against the axle's travel: joint angles, uneven running, slip and gap, with the lines that judge them.

`curves` says what is shown, `panels` draws it. Every value is a `Solution`'s, every line that of a finding.
"""
