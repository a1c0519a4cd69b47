/**
 * Does a channel scatter several times what it did? Judged by the median of second differences in windows of half a
 * second or more: neither a filling vessel nor the few hundredths of a second of a firing move a median.
 */
export interface NoisyState {
  /** Second differences of the open window, at most 64. */
  readonly open: readonly number[];
  readonly skipped: number;
  readonly before: readonly [older: number, newer: number];
  readonly quantum: number;
  /** Median of quiet windows; 0 before the first. */
  readonly usual: number;
  readonly windows: number;
  /** Windows in a row that speak for a change. */
  readonly votes: number;
  readonly isNoisy: boolean;
}

export const NOT_NOISY: NoisyState = {
  open: [],
  skipped: 0,
  before: [Number.NaN, Number.NaN],
  quantum: 0,
  usual: 0,
  windows: 0,
  votes: 0,
  isNoisy: false,
};

const IN_WINDOW = 64;
const WINDOW_S = 0.5;
const NOISY_FACTOR = 4;
const QUIET_FACTOR = 2;
const VOTES = 2;
/** Windows that teach what is usual before any is judged. */
const LEARN = 4;
/** Weight of a new window in what is usual. */
const FORGET = 0.02;

export function takeNoisy(state: NoisyState, values: readonly number[], periodS: number): NoisyState {
  const every = Math.max(1, Math.ceil(WINDOW_S / periodS / IN_WINDOW));
  let [older, newer] = state.before;
  let { skipped, quantum } = state;
  let next = state;
  const open = [...state.open];
  for (const value of values) {
    skipped++;
    if (skipped >= every) {
      const bend = Math.abs(value - 2 * newer + older);
      if (!Number.isNaN(bend)) open.push(bend);
      const step = Math.abs(value - newer);
      if (step > 1e-9 * Math.abs(value) && (quantum === 0 || step < quantum)) quantum = step;
      skipped = 0;
      if (open.length >= IN_WINDOW) {
        next = judge(next, Math.max(medianOf(open), quantum), quantum);
        open.length = 0;
      }
    }
    older = newer;
    newer = value;
  }
  return { ...next, open, skipped, quantum, before: [older, newer] };
}

/** @param quantum  a gauge that stood still to the last digit so far may yet flicker by as much */
function judge(state: NoisyState, median: number, quantum: number): NoisyState {
  const { windows, votes, isNoisy } = state;
  if (windows < LEARN) {
    return { ...state, usual: state.usual === 0 ? median : Math.min(state.usual, median), windows: windows + 1 };
  }
  const usual = Math.max(state.usual, quantum);
  const speaks = isNoisy ? median < QUIET_FACTOR * usual : median > NOISY_FACTOR * usual;
  if (speaks) return votes + 1 >= VOTES ? { ...state, isNoisy: !isNoisy, votes: 0 } : { ...state, votes: votes + 1 };
  return { ...state, votes: 0, usual: isNoisy ? usual : usual + FORGET * (Math.min(median, 2 * usual) - usual) };
}

const medianOf = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;
