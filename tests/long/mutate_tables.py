"""Every number of the tables is needed: python3 tests/long/mutate_tables.py [KIND ...]

Each numeric cell of the built-in tables is changed in memory by the larger of 3 % and one last digit, up
and down; a rule or a published row must notice. Survivors are printed by table; fewer than 95 % caught
fail the run. One build folder, out/mutate, no sanitizers.
"""

import os
import subprocess
import sys

BUILD = "out/mutate"

subprocess.run(["cmake", "-S", ".", "-B", BUILD, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Release",
                "-DGUDGEON_TESTS=ON"], check=True, stdout=subprocess.DEVNULL)
subprocess.run(["ninja", "-C", BUILD, "mutate_tables"], check=True, stdout=subprocess.DEVNULL)
environment = dict(os.environ, KINDS=" ".join(sys.argv[1:])) if sys.argv[1:] else None
run = subprocess.run([BUILD + "/tests/mutate_tables", "-j1"], env=environment)
print("ok" if run.returncode == 0 else "not ok", "changes of the tables' cells are noticed")
sys.exit(run.returncode)
