"""Many vehicles: cases by settings, each pair a task of its own, solved side by side, a row a result.

`tasks.py` says what is to be done, `solving.py` does one of it, `crews.py` has it done by several processes and
`cluster.py` by a cluster, `rows.py` keeps what came of it, `sweeping.py` leads them.
"""
