#!/usr/bin/env python3
"""Instructions that the program's answers take, counted by valgrind: a number that no other job on the machine changes.

  tests/bench/instructions.py PROGRAM [--write] [--tolerance PERCENT]

Compares with tests/bench/instructions.txt and fails if an answer takes more than the tolerance (5 %) above what stands
there, or as much below: then the counts are to be written anew with --write. PROGRAM: cmake --preset release. The counts
are those of the compiler and the libraries of Debian 12 on x86-64.
"""
import argparse
import os
import re
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
COUNTS = os.path.join(HERE, "instructions.txt")


def run(command, work):
    env = {"PATH": os.environ["PATH"], "HOME": work, "LC_ALL": "C", "STEELYARD_DATA": os.path.join(work, "s.db")}
    # On one processor nothing depends on how work was shared.
    done = subprocess.run(["taskset", "-c", "0", *command], env=env, cwd=work, stdout=subprocess.DEVNULL,
                          stderr=subprocess.PIPE)
    if done.returncode:
        sys.exit(f"{' '.join(command)}: exit {done.returncode}: {done.stderr.decode()[-500:]}")
    return done.stderr.decode()


def counted(command, work):
    said = run(["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null", *command], work)
    return int(re.search(r"Collected : (\d+)", said).group(1))


def write_sessions(path):
    with open(path, "w") as out:
        out.write("athlete,date,minutes,rpe,tonnage\n")
        for k in range(20_000):
            day = k // 50
            out.write(f"a{k % 50:03},{2024 + day // 336}-{day // 28 % 12 + 1:02}-{day % 28 + 1:02},"
                      f"{30 + k * 7 % 60},{4 + k % 9 / 2},{'' if k % 2 else 4000 + k % 700}\n")


def measure(program):
    with tempfile.TemporaryDirectory() as work:
        write_sessions(os.path.join(work, "sessions.csv"))
        ingest = [program, "ingest", os.path.join(ROOT, "sample-logs"), "--quiet"]
        counts = {"ingest": counted(ingest, work)}
        for name in ("today", "compare", "ahead"):
            command = [program, name, "--athlete", "hc05", "--date", "2026-11-23"]
            run(command, work)  # the first one of a day also learns and keeps what it learned
            counts[name] = counted(command, work)
        counts["loads"] = counted([program, "loads", "--logs", "sessions.csv", "--all", "--latest", "--gaps", "rest",
                                   "--out", "out"], work)
        counts["--version"] = counted([program, "--version"], work)
        return counts


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--tolerance", type=float, default=5)
    given = parser.parse_args()
    now = measure(os.path.abspath(given.program))
    if given.write:
        with open(COUNTS, "w") as out:
            out.writelines(f"{name} {count}\n" for name, count in now.items())
    kept = {name: int(count) for name, count in (line.split() for line in open(COUNTS))}
    if kept.keys() != now.keys():
        sys.exit(f"{COUNTS} does not hold the answers that are counted: write it anew with --write")
    wrong = []
    for name, count in now.items():
        change = 100 * (count / kept[name] - 1)
        print(f"{name:10} {count / 1e6:9.2f} million instructions, {change:+.1f} % of {kept[name] / 1e6:.2f}")
        if abs(change) > given.tolerance:
            wrong.append(f"{name} takes {change:+.1f} %")
    if wrong:
        sys.exit(f"instructions: {', '.join(wrong)}; allowed: {given.tolerance} % either way. If that is meant: "
                 f"tests/bench/instructions.py {given.program} --write, and commit instructions.txt")


if __name__ == "__main__":
    main()
