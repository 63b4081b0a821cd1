"""Change the program in small ways, one at a time, and see whether a test notices.

    python -m tests.bench.mutation map              which tests run which line (slow, once)
    python -m tests.bench.mutation run [COUNT] [SEED]   COUNT changes (300), spread over the files
    python -m tests.bench.mutation again            those of `survivors.txt`

A change that no test notices is a survivor. Each must stand, with its reason, in `survivors.txt`;
one that does not ends the run with exit status 1. Rooms: review, derive, witness, say.

The map asks the tests of these rooms and of `actions/`. It leaves out those marked `long`, watches
the rooms only, and draws five examples for each property. So it may lack a test, and a change that
this one would notice may be called a survivor; nothing is called killed that no test notices.
"""
