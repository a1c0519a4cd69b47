import { expect, test } from 'vitest';
import { INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import type { PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import { runVirtualRange } from '../support/virtual-range.ts';

function fold(records: readonly PosternRecord[]): string {
  let state = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  for (const record of records) {
    const [next, out] = step(state, record);
    state = next;
    events.push(...out);
  }
  return JSON.stringify(events);
}

test('the same records give the same events to the byte, and an old state is untouched by what came after', () => {
  const run = runVirtualRange({ seed: 11, shots: 2, faults: ['corrupt', 'drop', 'double-edge'] });
  expect(fold(run.records)).toBe(JSON.stringify(run.events));
  const half = Math.floor(run.records.length / 2);
  let state = INITIAL_STATE;
  for (const record of run.records.slice(0, half)) [state] = step(state, record);
  const kept = JSON.stringify(state);
  const continued = (): string => {
    let later = state;
    const events: PipelineEvent[] = [];
    for (const record of run.records.slice(half)) {
      const [next, out] = step(later, record);
      later = next;
      events.push(...out);
    }
    return JSON.stringify(events);
  };
  expect(continued()).toBe(continued());
  expect(JSON.stringify(state)).toBe(kept);
});
