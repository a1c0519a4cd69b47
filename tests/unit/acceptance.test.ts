/** What is asked of a shot in the rig file, and what each shot comes to, from the file to the terminal. */
import { beforeAll, describe, expect, test } from 'vitest';
import { oneShotLines } from '../../host/cli/shots/one-shot-lines.ts';
import { shotCsv, shotTable } from '../../host/cli/shots/shot-lines.ts';
import { INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { loadRig } from '../../host/rig/index.ts';
import type { PipelineEvent, Shot, ShotEvent } from '../../protocol/index.ts';
import { known } from '../support/known.ts';
import { HERON_YAML, runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

let range: VirtualRun;
let bare: Shot;
beforeAll(() => {
  range = runVirtualRange({ seed: 31, shots: 1, sessionId: 'cs-a' });
  bare = known(range.shots[0]);
});

/** The same records under a rig file that asks for more. */
function shotUnder(more: string): Shot {
  let state: PipelineState = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  for (const record of range.records) {
    const asked = record.kind === 'rig' ? { ...record, value: { ...record.value, text: `${record.value.text}\n${more}` } } : record;
    const [next, told] = step(state, asked);
    state = next;
    events.push(...told);
  }
  return known(events.findLast((event): event is ShotEvent => event.type === 'shot' && event.phase === 'closed')).shot;
}

const asked = (from: number, to: number, more = ''): string =>
  `acceptance:\n  - { name: panel, of: target-velocity, from: ${from.toFixed(4)} m/s, to: ${to.toFixed(4)} m/s${more} }\n`;

test('a rig file that asks for nothing leaves the shot as it was', () => {
  expect(bare.acceptance).toBeUndefined();
  expect(shotTable([bare])[0]).not.toContain('Asked');
});

describe('a band of target velocity', () => {
  test.each([
    ['in its middle', -5, 5, ', rule: guarded', 'accepted'],
    ['just within it, by the plain rule', -0.01, 5, ', rule: plain', 'accepted'],
    ['just within it, guarded', -0.01, 5, '', 'undecided'],
    ['just outside it, guarded', 0.01, 5, '', 'undecided'],
    ['just outside it, by the plain rule', 0.01, 5, ', rule: plain', 'rejected'],
    ['far outside it', 5, 9, '', 'rejected'],
    ['within it by half a U, with half a guard', -0.6, 0.6, ', rule: guarded, guard: 0.5', 'accepted'],
  ])('%s', (_, below, above, more, verdict) => {
    const { value, expandedUncertainty } = known(bare.targetVelocityMps);
    const shot = shotUnder(asked(value + below * expandedUncertainty, value + above * expandedUncertainty, more));
    expect(shot.acceptance?.verdict).toBe(verdict);
    expect(shot.acceptance?.criteria[0]).toMatchObject({ name: 'panel', value, verdict });
    expect({ ...shot, acceptance: undefined }).toEqual({ ...bare, acceptance: undefined });
  });

  test('is told by the table, the CSV and the whole of a shot', () => {
    const { value } = known(bare.targetVelocityMps);
    const shot = shotUnder(asked(value - 10, value + 10));
    expect(shotTable([shot]).join('\n')).toMatch(/Asked[\s\S]*accepted/);
    expect(shotCsv([shot])[1]).toContain('accepted');
    expect(oneShotLines(shot, undefined).join('\n')).toMatch(/ACCEPTED[\s\S]*panel: target velocity .* guarded by 1 U: accepted/);
  });
});

describe('two pairs', () => {
  test('that were simulated without a fault agree, each with the other’s place reached by flight', () => {
    const { agreement, verdict } = known(shotUnder('agreement: { pairs: [A, B], within: 6 m/s }').acceptance);
    expect(agreement).toMatchObject({ verdict: 'agree', positionM: 9.5 });
    expect(verdict).toBe('accepted');
    // The pairs themselves lie much further apart: the ball is slower at the second.
    const [a, b] = bare.pairs;
    expect(known(a).velocityMps.value - known(b).velocityMps.value).toBeGreaterThan(5 * Math.abs(known(agreement?.differenceMps)));
    expect(Math.abs(known(agreement?.differenceMps))).toBeLessThan(1.5 * known(agreement?.expandedUncertaintyMps));
  });

  test('asked for more than the published drag allows to tell are left open by the guarded rule', () => {
    const { agreement, verdict } = known(shotUnder('agreement: { pairs: [A, B], within: 0.05 m/s, rule: guarded }').acceptance);
    expect([agreement?.verdict, verdict]).toEqual(['undecided', 'undecided']);
  });

  test('that disagree accept no velocity', () => {
    const { value } = known(bare.targetVelocityMps);
    const shot = shotUnder(`${asked(value - 10, value + 10)}agreement: { pairs: [A, B], within: 0.0001 m/s }`);
    expect(shot.acceptance).toMatchObject({
      verdict: 'undecided',
      criteria: [{ verdict: 'accepted' }],
      agreement: { verdict: 'disagree' },
    });
  });
});

test('a camera that shall agree leaves a shot undecided until its track is told', () => {
  const { value } = known(bare.targetVelocityMps);
  const shot = shotUnder(`${asked(value - 10, value + 10)}cameraAgreement:\n  - { camera: side, within: 3 m/s, rule: guarded }`);
  expect(shot.acceptance).toMatchObject({
    verdict: 'undecided',
    criteria: [{ verdict: 'accepted' }],
    cameraAgreement: [{ camera: 'side', withinMps: 3, guardFactor: 1, verdict: 'undecided', why: 'no track of the camera was told yet' }],
  });
});

test.each([
  ['acceptance:\n  - { name: a, of: target-velocity }', /asks for nothing; give from, to or both/],
  ['acceptance:\n  - { name: a, of: target-velocity, from: 350 m/s, to: 340 m/s }', /is not above/],
  ['acceptance:\n  - { name: a, of: target-velocity, from: 3 J }', /speed/],
  ['acceptance:\n  - { name: a, of: mach, from: 1 m/s }', /is no Mach number/],
  ['acceptance:\n  - { name: a, of: mach, from: 1, rule: plain, guard: 1 }', /a guard belongs to the rule guarded/],
  ['acceptance:\n  - { name: a, of: weight, from: 1 }', /is not known here; write muzzle-velocity/],
  ['agreement: { pairs: [A, A], within: 3 m/s }', /cannot be held against itself/],
  ['agreement: { pairs: [A, C], within: 3 m/s }', /no pair "C" among the gates; there are A, B/],
  ['agreement: { pairs: [A], within: 3 m/s }', /must be two pairs of gates/],
  ['cameraAgreement:\n  - { camera: above, within: 3 m/s }', /no camera "above"; there are side/],
  ['cameraAgreement:\n  - { camera: side, within: 3 m/s }\n  - { camera: side, within: 2 m/s }', /camera side is asked twice/],
  ['cameraAgreement:\n  - { camera: side, within: 3 m }', /speed/],
  ['cameraAgreement: { camera: side, within: 3 m/s }', /is not a list/],
])('%s is one problem with its line', (more, message) => {
  const loaded = loadRig(`${HERON_YAML}\n${more}\n`, 'rig.yaml');
  const problems = loaded.ok ? [] : loaded.problems;
  expect(problems).toHaveLength(1);
  expect(problems[0]?.message).toMatch(message);
  expect(problems[0]?.line).toBeGreaterThan(HERON_YAML.split('\n').length);
});
