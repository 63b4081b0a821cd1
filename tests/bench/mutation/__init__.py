"""Change the program in small ways, one at a time, and see whether a test notices.

    python -m tests.bench.mutation run [COUNT] [SEED]   COUNT changes (300), spread over the files
    python -m tests.bench.mutation again            those of `survivors.txt`

A change that no test notices is a survivor. Each must stand, with its reason, in `survivors.txt`;
one that does not ends the run with exit status 1. Rooms: review, derive, witness, say.

The tests that are asked are those of the files that reach the changed one by their imports, the
nearest first, and not all of them. So a change that another test would notice may be called a
survivor; nothing is called killed that no test notices.
"""
