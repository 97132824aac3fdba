#!/usr/bin/env python3
"""How long the program takes, beside general tools that do the same in the same rounds.

  tests/bench/program.py PROGRAM [--rounds N] [--rows N] [--only answers,ingest,history] [--peers FOLDER [--size M]]

PROGRAM should be an optimised build (cmake --preset release). Needs the sqlite3 shell. --peers names a folder with the
harness run.sh SIZE --add 'NAME: COMMAND', which runs daily load figures on general engines; the program joins its rounds.
Every figure is a median over rounds in which the compared commands take turns, so that a ratio is from one run on one
machine. CPU is user and system time of the process; wall is from its start to its end.
"""
import argparse
import datetime as dt
import os
import platform
import random
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))


def measured(command, **options):
    """One process: its CPU and wall time in ms."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = dt.datetime.now()
    done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, **options)
    wall = (dt.datetime.now() - start).total_seconds()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode:
        sys.exit(f"{command}: exit {done.returncode}: {done.stderr.decode()[-500:]}")
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return 1e3 * cpu, 1e3 * wall


def interleaved(commands, rounds, before=None, **options):
    """name -> (median CPU, median wall, least, most CPU) over rounds in which all take turns."""
    seen = {name: [] for name in commands}
    for _ in range(rounds):
        for name, command in commands.items():
            if before:
                before(name)
            seen[name].append(measured(command, **options))
    result = {}
    for name, runs in seen.items():
        cpu = [c for c, _ in runs]
        result[name] = (statistics.median(cpu), statistics.median(w for _, w in runs), min(cpu), max(cpu))
    return result


def show(title, result, base, unit="ms"):
    print(f"\n{title}")
    for name, (cpu, wall, least, most) in result.items():
        print(f"  {name:34} CPU {cpu:9.2f} {unit} ({least:.2f} to {most:.2f})   wall {wall:9.2f} {unit}   "
              f"{cpu / result[base][0]:6.2f} x {base}")


def store_env(path):
    return {**os.environ, "STEELYARD_DATA": path}


def rows_of_a_day(athlete, day, back=200, ahead=21):
    """What an answer reads of the store, as one script of SQL: the lower bound of every program that reads its inputs."""
    number = (dt.date.fromisoformat(day) - dt.date(1970, 1, 1)).days
    own, span = f"where athlete = '{athlete}'", f"and date between {number - back} and {number + ahead}"
    dated = {"plan": "date, position", "sessions": "date, part", "sets": "date, part, position", "checks": "date",
             "bar": "date, lift, percent", "decisions": "date, lift"}
    whole = {"athletes": "athlete", "maxes": '"from", lift', "periods": '"from"', "days_off": '"from"',
             "clearances": "date"}
    return ";".join(["begin"] + [f"select * from {t} {own} {span} order by {by}" for t, by in dated.items()] +
                    [f"select * from {t} {own} order by {by}" for t, by in whole.items()] +
                    [f"select * from questions {own} and state is null",
                     f"select min(date) from sessions {own}", f"select min(date) from checks {own}",
                     f"select entry from touches {own} order by case when done > entry then done else entry end desc "
                     "limit 1", "commit",
                     f"select length(bytes) from states {own} and date <= {number} order by date desc limit 1",
                     f"select json from calls {own} and date = {number} order by id desc limit 1"])


def answers(program, work, rounds):
    path = os.path.join(work, "club.db")
    measured([program, "ingest", os.path.join(ROOT, "sample-logs"), "--quiet"], env=store_env(path))
    who = ["--athlete", "hc02", "--date", "2026-11-23"]
    commands = {"sqlite3 'select 1'": ["sqlite3", path, "select 1"],
                "sqlite3, rows of a day": ["sqlite3", path, rows_of_a_day(who[1], who[3])],
                "steelyard --version": [program, "--version"]}
    for name in ("today", "compare", "ahead"):
        commands[f"steelyard {name}"] = [program, name, *who]
    for command in commands.values():
        measured(command, env=store_env(path))
    show(f"One answer on the sample logs, {rounds} rounds", interleaved(commands, rounds, env=store_env(path)),
         "sqlite3 'select 1'")


def write_sessions(work, rows, athletes=400):
    """Invented sessions in date order, as CSV and JSON lines, with the athletes they belong to."""
    draw = random.Random(1)
    names = [f"a{i:04}" for i in range(athletes)]
    with open(os.path.join(work, "athletes.csv"), "w") as out:
        out.write("athlete\n" + "".join(f"{n}\n" for n in names))
    day = dt.date(2020, 1, 1)
    with open(os.path.join(work, "sessions.csv"), "w") as csv, open(os.path.join(work, "sessions.jsonl"), "w") as lines:
        csv.write("athlete,date,part,minutes,rpe\n")
        for k in range(rows):
            if k and k % athletes == 0:
                day += dt.timedelta(days=1)
            name, minutes, rpe = names[k % athletes], 30 + draw.randrange(60), 4 + draw.randrange(11) / 2
            csv.write(f"{name},{day},1,{minutes},{rpe}\n")
            lines.write(f'{{"entry":"session","athlete":"{name}","date":"{day}","part":1,"minutes":{minutes},"rpe":{rpe}}}\n')


def ingest(program, work, rounds, rows):
    write_sessions(work, rows)
    path = os.path.join(work, "store.db")
    script = ("create table sessions(athlete text not null, date text not null, part int not null, minutes real, rpe real,"
              " primary key(athlete, date, part)) without rowid;\n"
              f".import --csv --skip 1 {work}/sessions.csv sessions\n")
    commands = {"sqlite3 .import, same key": ["sqlite3", path],
                "steelyard ingest, CSV": [program, "ingest", f"{work}/sessions.csv", "--quiet"],
                "steelyard ingest, JSON lines": [program, "ingest", f"{work}/sessions.jsonl", "--quiet"]}

    def fresh(name):
        for end in ("", "-wal", "-shm"):
            if os.path.exists(path + end):
                os.remove(path + end)
        if not name.startswith("sqlite3"):
            measured([program, "ingest", f"{work}/athletes.csv", "--quiet"], env=store_env(path))

    seen = {name: [] for name in commands}
    for _ in range(rounds):
        for name, command in commands.items():
            fresh(name)
            text = script.encode() if name.startswith("sqlite3") else None
            seen[name].append(measured(command, env=store_env(path), input=text))
    base = statistics.median(w for _, w in seen["sqlite3 .import, same key"])
    print(f"\n{rows} new sessions of 400 athletes into an empty store, {rounds} rounds, wall time")
    for name, runs in seen.items():
        wall = [w for _, w in runs]
        mid = statistics.median(wall)
        print(f"  {name:34} {1e3 * rows / mid:9.0f} rows/s   {mid:9.0f} ms ({min(wall):.0f} to {max(wall):.0f})   "
              f"{base / mid:5.2f} x the rows a second of .import")


def history(program, work, rounds):
    print(f"\nOne new day at the end of a history, {rounds} rounds: entry and call together, CPU")
    first = None
    for years in (1, 3, 10, 30):
        path = os.path.join(work, f"long{years}.db")
        last = dt.date(2026, 11, 22)
        draw = random.Random(years)
        with open(os.path.join(work, "long.csv"), "w") as out, open(os.path.join(work, "longsets.csv"), "w") as sets:
            out.write("athlete,date,minutes,rpe\n")
            sets.write("athlete,date,lift,reps,sets,weight,rpe\n")
            for back in range(365 * years, -1, -1):
                day = last - dt.timedelta(days=back)
                if day.weekday() not in (0, 2, 4):
                    continue
                out.write(f"a0000,{day},{50 + draw.randrange(30)},{5 + draw.randrange(4)}\n")
                sets.write(f"a0000,{day},squat,5,4,{120 + 2.5 * draw.randrange(8)},{7 + draw.randrange(3) / 2}\n")
        with open(os.path.join(work, "one.csv"), "w") as out:
            out.write("athlete\na0000\n")
        with open(os.path.join(work, "max.csv"), "w") as out:
            out.write("athlete,lift,from,training_max\na0000,squat,1990-01-01,160\n")
        for name in ("one.csv", "max.csv", "long.csv", "longsets.csv"):
            measured([program, "ingest", os.path.join(work, name), "--quiet"], env=store_env(path))
        measured([program, "today", "--athlete", "a0000", "--date", "2026-11-23"], env=store_env(path))
        costs = []
        for k in range(rounds):
            with open(os.path.join(work, "new.csv"), "w") as out:
                out.write(f"athlete,date,minutes,rpe\na0000,2026-11-23,{60 + k},7\n")
            cost = measured([program, "ingest", os.path.join(work, "new.csv"), "--quiet"], env=store_env(path))[0]
            cost += measured([program, "today", "--athlete", "a0000", "--date", "2026-11-24"], env=store_env(path))[0]
            costs.append(cost)
        mid = statistics.median(costs)
        first = first or mid
        print(f"  {years:2} years   {mid:8.2f} ms ({min(costs):.2f} to {max(costs):.2f})   {mid / first:5.2f} x one year")


def peers(program, folder, size, work):
    models = os.path.join(work, "first-load")
    os.makedirs(models)
    with open(os.path.join(models, "load.toml"), "w") as out:
        out.write('[ewma]\nstart = "first-load"\nsource = "recursion from the first load, as the compared tools do"\n')
    command = f"steelyard: {program} loads --logs {{csv}} --all --latest --gaps rest --models {models} --out {{out}}"
    subprocess.run([os.path.join(folder, "run.sh"), size, "--only", "w", "--add", command], check=True)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("program")
    parser.add_argument("--rounds", type=int, default=30)
    parser.add_argument("--rows", type=int, default=200_000)
    parser.add_argument("--only", default="answers,ingest,history")
    parser.add_argument("--peers")
    parser.add_argument("--size", default="M")
    given = parser.parse_args()
    program = os.path.abspath(given.program)
    load = os.getloadavg()[0]
    print(f"{dt.date.today()}, {os.cpu_count()} processors ({platform.machine()}), load average at start {load:.2f}")
    work = tempfile.mkdtemp()
    try:
        wanted = given.only.split(",")
        if "answers" in wanted:
            answers(program, work, given.rounds)
        if "ingest" in wanted:
            ingest(program, work, max(3, given.rounds // 6), given.rows)
        if "history" in wanted:
            history(program, work, max(5, given.rounds // 3))
        if given.peers:
            peers(program, os.path.abspath(given.peers), given.size, work)
    finally:
        shutil.rmtree(work)
    print(f"\nload average at the end {os.getloadavg()[0]:.2f}")


if __name__ == "__main__":
    main()
