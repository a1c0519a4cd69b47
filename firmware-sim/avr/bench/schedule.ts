/** What is to happen at which cycle: everything that is due happens, in cycle order, and in the order of asking within a cycle. */
export interface Schedule {
  /** Cycle of the next event; infinity where there is none. */
  readonly nextAt: number;
  at(cycle: number, act: (cycle: number) => void): void;
  runDue(cycle: number): void;
}

export function createSchedule(): Schedule {
  // Latest first, so that the next one is taken from the end.
  const waiting: { readonly cycle: number; readonly act: (cycle: number) => void }[] = [];
  const schedule = {
    nextAt: Number.POSITIVE_INFINITY,
    at: (cycle: number, act: (cycle: number) => void): void => {
      let from = 0;
      let to = waiting.length;
      while (from < to) {
        const middle = (from + to) >> 1;
        if ((waiting[middle]?.cycle ?? 0) > cycle) from = middle + 1;
        else to = middle;
      }
      waiting.splice(from, 0, { cycle, act });
      schedule.nextAt = waiting.at(-1)?.cycle ?? Number.POSITIVE_INFINITY;
    },
    runDue: (cycle: number): void => {
      while (schedule.nextAt <= cycle) {
        const due = waiting.pop();
        schedule.nextAt = waiting.at(-1)?.cycle ?? Number.POSITIVE_INFINITY;
        due?.act(due.cycle);
      }
    },
  };
  return schedule;
}
