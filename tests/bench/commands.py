#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the command takes: a water of batch, its memory, and what is asked most.

    commands.py PROGRAM EXAMPLES [THOUSANDS of waters whose memory is seen: 2]

Instructions by callgrind, which do not hang on what else the machine does:
the slope from 40 to 60 waters; from 300 on, when the sets of products that
serve are known, it is less.  Then the time of a processor, which does not wait
for others', and the most memory of 1,000 and of 2,000 waters, and of single
commands, the best of three.  The waters are invented.
"""
import random
import re
import resource
import shutil
import subprocess
import sys
import tempfile

ASKED = [[], ["--why"], ["--how-sure"], ["--measured-ec", "2.0"],
         ["--trade-off", "products"], ["--trade-off", "cost"]]


def waters(count, path):
    """Cations drawn, their charge shared out among the anions."""
    draw = random.Random(3).uniform
    with open(path, "w", encoding="utf-8") as out:
        out.write("sample,NO3-N [mg/L],K [mg/L],Ca [mg/L],Mg [mg/L],"
                  "SO4 [mg/L],Cl [mg/L],Na [mg/L],"
                  "alkalinity [mg/L CaCO3],pH\n")
        for i in range(count):
            ca, mg, na, k = draw(5, 110), draw(1, 35), draw(2, 60), draw(.5, 6)
            charge = ca / 20.04 + mg / 12.15 + na / 22.99 + k / 39.1
            alkalinity = charge * draw(.3, .75)
            rest = charge - alkalinity
            nitrate = draw(0, min(10, rest * 5.6))
            rest -= nitrate / 14
            chloride = rest * draw(.3, .7)
            sulfate = rest - chloride
            out.write(f"w{i},{nitrate:.2f},{k:.2f},{ca:.2f},{mg:.2f},"
                      f"{sulfate * 48.03:.2f},{chloride * 35.45:.2f},{na:.2f},"
                      f"{alkalinity * 50.04:.1f},{draw(6.5, 8.2):.2f}\n")


def batch(program, examples, path):
    return [program, "batch", "--water", path,
            "--target", f"{examples}/basil.csv",
            "--shelf", f"{examples}/straights.csv", "--format", "csv"]


def instructions(command, folder):
    found = subprocess.run(
        ["valgrind", "--tool=callgrind",
         f"--callgrind-out-file={folder}/out", *command], check=False,
        text=True, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    return int(re.search(r"Collected : (\d+)", found.stderr).group(1))


def children():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def run(command):
    """A processor's seconds, and the most memory of any child so far, MB."""
    before, _ = children()
    done = subprocess.run(command, check=False, stdout=subprocess.DEVNULL,
                          stderr=subprocess.DEVNULL)
    assert done.returncode in (0, 1), command
    after, most = children()
    return after - before, most


def show_batch(program, examples, folder):
    def command(count):
        path = f"{folder}/{count}.csv"
        waters(count, path)
        return batch(program, examples, path)

    for count in (1000, 1000 * (int(sys.argv[3]) if sys.argv[3:] else 2)):
        spent, most = run(command(count))
        print(f"  {count:6d} waters {spent:7.1f} s {count / spent:7.0f} a "
              f"second of one processor, {most:6.0f} MB at most")
    if shutil.which("valgrind"):
        few, many = (instructions(command(n) + ["--jobs", "1"], folder)
                     for n in (40, 60))
        print(f"  instructions a water {(many - few) / 2e7:.1f} M")


def main():
    program, examples = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as folder:
        print("batch, basil by straight salts")
        show_batch(program, examples, folder)
    print("single commands")
    for asked in ASKED:
        command = [program, "formulate", "--water", f"{examples}/well.csv",
                   "--target", f"{examples}/basil.csv",
                   "--shelf", f"{examples}/straights.csv", *asked]
        spent = min(run(command)[0] for _ in range(3))
        print(f"  formulate {' '.join(asked):22} {1e3 * spent:7.0f} ms")
    command = [program, "renew", "--solution", f"{examples}/return.csv:late",
               "--holds", "900L", "--volume", "1000L",
               "--water", f"{examples}/town.csv",
               "--target", f"{examples}/basil.csv",
               "--shelf", f"{examples}/straights.csv"]
    spent = min(run(command)[0] for _ in range(3))
    print(f"  renew {1e3 * spent:30.0f} ms")


if __name__ == "__main__":
    main()
