"""Planned anew: the invented body of 22 areas at several hours, with a coat late and its pot spilt.

For each hour: seconds of the clock and of the processor until the new days are there, told in
sentences; how much of it is the search; whether the search came to its end. The days are arranged
first, in ten seconds, and each hour is measured so many times.

    python benchmarks/bench_anew.py          three times each
    python benchmarks/bench_anew.py 10       ten times each
"""

import os
import statistics
import sys
import time

from coatwright.actions.live.following import SECONDS
from coatwright.actions.workshop import open_bench
from coatwright.planning.build import built
from coatwright.planning.day.anew.keeping import as_text, brought_back, put_away
from coatwright.planning.day.days import Happening, Stirred, plan_days, replan
from coatwright.planning.day.plan import DayPlan

HOURS = (8.5, 10.5, 14.25, 34.0, 60.0, 86.0, 130.0)
WANTED = 2.0


def news(day: DayPlan, now: float) -> list[Happening | Stirred]:
    """The coat sprayed last took eight minutes more, and its pot is spilt."""
    coats = [one for one in day.entries if one.act == "coat" and one.start.value < now]
    if not coats:
        return [Happening(one.key, None) for one in day.entries if one.people][:1]
    late = max(coats, key=lambda one: one.start.value)
    found: list[Happening | Stirred] = [Happening(late.key, late.start.value, now - 60.0)]
    found += [
        Stirred(mix.product, mix.start.value, mix.end.value, mix.key, gone=now - 60.0)
        for mix in day.mixes
        if late.key in mix.serves
    ]
    return found


def main() -> None:
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 3
    bench = open_bench("demo")
    made = built(bench.job, bench.shop)
    day = plan_days(made.asked, 10.0, made.plan.cautions)
    print(f"22 areas, {len(day.entries)} entries; the search is given {SECONDS} s")
    print(f"load of the machine: {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    worst = 0.0
    for hour in HOURS:
        now, clocks, processor = hour * 3600.0, [], []
        for _ in range(times):
            clock, spent = time.monotonic(), time.process_time()
            anew = replan(day, now, news(day, now), SECONDS)
            clocks.append(time.monotonic() - clock)
            processor.append(time.process_time() - spent)
        worst = max(worst, *clocks)
        found = "no way on" if anew.clash else f"{len(anew.changes)} changes"
        print(
            f"  {hour:6.2f} h  clock {statistics.median(clocks):.2f} s (most {max(clocks):.2f})  "
            f"processor {statistics.median(processor):.2f} s  {found}"
        )
    print(f"  most {worst:.2f} s, wanted {WANTED:.1f} s")
    kept = put_away(anew)
    assert kept is not None
    clock = time.monotonic()
    back = brought_back(made.asked, kept, day.cautions)
    print(
        f"  kept in {len(as_text(kept)) / 1000:.0f} kB, brought back in "
        f"{time.monotonic() - clock:.2f} s, the same: {back == anew}"
    )


if __name__ == "__main__":
    main()
