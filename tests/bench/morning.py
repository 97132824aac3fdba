#!/usr/bin/env python3
"""A morning over the globe at 1/1000: lifters check in between 6 and 9 o'clock of their own zone.

  tests/bench/morning.py PROGRAM [LIFTERS] [SECONDS] [DAYS]

PROGRAM should be an optimised build. LIFTERS (10000 stands for ten millions) get DAYS (60) days of history on a private
PostgreSQL server with fsync on; then a day of 24 hours is replayed in SECONDS (240): each lifter sends the morning check,
whose answer is the day's call, and looks at the call once more. Prints what DEVELOPERS.md reckons with: rows a second,
bytes a row, requests a second and how late their answers are. All data is invented.
"""
import collections
import datetime
import http.client
import json
import os
import pathlib
import queue
import random
import re
import signal
import subprocess
import sys
import tempfile
import threading
import time

program = str(pathlib.Path(sys.argv[1]).resolve())
lifters = int(sys.argv[2]) if len(sys.argv) > 2 else 10000
seconds = float(sys.argv[3]) if len(sys.argv) > 3 else 240
days = int(sys.argv[4]) if len(sys.argv) > 4 else 60
root = pathlib.Path(__file__).resolve().parents[2]
today = datetime.date(2026, 11, 23)
rng = random.Random(7)

# Shares of mankind by offset from UTC in hours, from memory, rounded: what counts is that two or three zones have most.
SHARES = {-8: 3, -6: 5, -5: 6, -3: 4, 0: 4, 1: 13, 2: 9, 3: 7, 4: 2, 5: 6, 5.5: 18, 7: 5, 8: 14, 9: 4}


def code(i):
    return f"m{i:06d}"


def write_logs(folder):
    """Three sessions a week with six set rows each, a check a day."""
    with open(folder / "athletes.csv", "w") as a, open(folder / "sessions.csv", "w") as s, open(
        folder / "sets.csv", "w"
    ) as r, open(folder / "checks.csv", "w") as c:
        a.write("athlete,units\n")
        s.write("athlete,date,kind,minutes,rpe\n")
        r.write("athlete,date,lift,sets,reps,weight,unit,rpe\n")
        c.write("athlete,date,sleep_hours,sleep_quality,soreness,fatigue,stress,mood\n")
        for i in range(lifters):
            a.write(f"{code(i)},kg\n")
            for d in range(days, 0, -1):
                date = today - datetime.timedelta(d)
                marks = ",".join(str(rng.randint(2, 5)) for _ in range(5))
                c.write(f"{code(i)},{date},{rng.randint(60, 85) / 10},{marks}\n")
                if date.weekday() not in (0, 2, 4):
                    continue
                s.write(f"{code(i)},{date},heavy,{rng.randint(50, 90)},{rng.randint(5, 8)}\n")
                for lift in ("squat", "bench"):
                    for step in range(3):
                        weight = 60 + 20 * step + rng.randint(0, 4) * 2.5
                        r.write(f"{code(i)},{date},{lift},1,5,{weight},kg,{5 + step}\n")


def psql(folder, sql):
    out = subprocess.run(
        ["psql", "-h", folder, "-U", "postgres", "-Atc", sql], capture_output=True, text=True, check=True
    )
    return out.stdout.strip()


def load(work, url):
    """Rows a second and bytes a row of each kind."""
    rows = 0
    spent = 0.0
    for name in ("athletes", "sessions", "sets", "checks"):
        begun = time.monotonic()
        out = subprocess.run(
            [program, "ingest", str(work / f"{name}.csv"), "--data", url, "--quiet"], capture_output=True, text=True
        )
        took = time.monotonic() - begun
        if out.returncode != 0:
            sys.exit(out.stdout + out.stderr)
        count = int(re.search(r": (\d+) rows", out.stdout).group(1))
        rows += count
        spent += took
        print(f"  {name}: {count} rows in {took:.1f} s, {count / took:.0f} rows/s", flush=True)
    return rows, spent


def sizes(folder, names):
    psql(folder, "vacuum analyze")
    for name in names:
        line = psql(
            folder,
            "select sum(pg_table_size(relid)), sum(pg_indexes_size(relid)), "
            f"(select count(*) from steelyard.{name}) from (select relid from pg_partition_tree('steelyard.{name}') where "
            f"isleaf union select 'steelyard.{name}'::regclass) as pieces",
        )
        table, index, count = (int(x) for x in line.split("|"))
        if count > 0:
            print(f"  {name}: {count} rows, {table / count:.0f} bytes a row, {index / count:.0f} in its index")
    whole = int(psql(folder, "select pg_database_size('postgres')"))
    print(f"  whole database: {whole / 1e6:.0f} MB, {whole / lifters:.0f} bytes a lifter", flush=True)


def moments():
    """When each lifter wakes, in seconds of the replay, ascending."""
    zones = rng.choices(list(SHARES), weights=list(SHARES.values()), k=lifters)
    all_at = []
    for i, zone in enumerate(zones):
        hour = (rng.triangular(6, 9, 7) - zone) % 24
        all_at.append((hour / 24 * seconds, i))
    return sorted(all_at)


def replay(port, schedule):
    work = queue.Queue()
    late = collections.defaultdict(list)
    wrong = collections.Counter()
    again = [0]
    lock = threading.Lock()

    def ask(link, method, path, body=None):
        head = {"Content-Type": "application/json"} if body else {}
        link.request(method, path, body=json.dumps(body) if body else None, headers=head)
        answer = link.getresponse()
        answer.read()
        return answer.status

    def serve():
        link = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        while True:
            item = work.get()
            if item is None:
                return
            due, i = item
            check = {"date": str(today), "sleep_hours": 7.5, "soreness": 3, "fatigue": 3, "stress": 2, "mood": 4}
            for name, method, path, body in (
                ("check", "POST", f"/v1/athletes/{code(i)}/checks", check),
                ("today", "GET", f"/v1/athletes/{code(i)}/today?date={today}", None),
            ):
                status = 503
                while status == 503:  # the service says so when a change waited for its turn for 5 s
                    try:
                        status = ask(link, method, path, body)
                    except OSError as error:
                        status = type(error).__name__
                        link.close()
                    if status == 503:
                        with lock:
                            again[0] += 1
                        time.sleep(2)
                with lock:
                    late[name].append(time.monotonic() - begun - due)
                    if status not in (200, 201):
                        wrong[f"{name} {status}"] += 1

    threads = [threading.Thread(target=serve) for _ in range(32)]
    begun = time.monotonic()
    for t in threads:
        t.start()
    for due, i in schedule:
        time.sleep(max(0, due - (time.monotonic() - begun)))
        work.put((due, i))
    for _ in threads:
        work.put(None)
    for t in threads:
        t.join()
    took = time.monotonic() - begun
    busiest = max(collections.Counter(int(due) for due, _ in schedule).values())
    print(f"  {2 * len(schedule)} requests in {took:.0f} s; asked for in the busiest second: {2 * busiest}")
    for name, all_late in late.items():
        ordered = sorted(all_late)
        at = lambda q: ordered[min(len(ordered) - 1, int(q * len(ordered)))] * 1000
        print(f"  {name}: answered after {at(0.5):.0f} ms (median), {at(0.99):.0f} ms (99 %), {at(1):.0f} ms (last)")
    print(f"  sent again after 'try again in a moment': {again[0]}; no success: {dict(wrong)}", flush=True)
    return wrong


def main():
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    work = pathlib.Path(tempfile.mkdtemp())
    note = work / "server"
    server = str(root / "tests" / "postgres.sh")
    subprocess.run([server, "start", str(note)], check=True, env=os.environ | {"STEELYARD_TEST_FSYNC": "on"})
    folder = note.read_text()
    url = f"postgresql:///postgres?host={folder}&user=postgres"
    service = None
    try:
        write_logs(work)
        print(f"{lifters} lifters with {days} days of history:")
        rows, spent = load(work, url)
        print(f"  together {rows} rows in {spent:.1f} s, {rows / spent:.0f} rows/s")
        sizes(folder, ("sessions", "sets", "checks"))
        with open(work / "log", "w") as log:
            service = subprocess.Popen([program, "serve", "--listen", "127.0.0.1:0", "--data", url], stderr=log)
        while not (found := re.search(r"event=listening.* port=(\d+)", (work / "log").read_text())):
            if service.poll() is not None:
                sys.exit((work / "log").read_text())
            time.sleep(0.05)
        print(f"a day of 24 hours in {seconds:.0f} s:")
        wrong = replay(int(found.group(1)), moments())
        stored = int(psql(folder, f"select count(*) from steelyard.checks where date = {(today - datetime.date(1970, 1, 1)).days}"))
        sizes(folder, ("calls", "states", "accesses"))
        print(f"  checks stored: {stored} of {lifters}")
        return 0 if stored == lifters and not wrong else 1
    finally:
        if service is not None:
            service.terminate()
            service.wait()
        subprocess.run([server, "stop", str(note)])
        subprocess.run(["rm", "-rf", str(work)])


sys.exit(main())
