/** Shots under conditions that a range day brings: instruments missing, a trigger that was never wired, a hand in a beam. */
import { describe, expect, test } from 'vitest';
import { finish, INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import { type BoardMessage, encodeMessage, type PipelineEvent, type PosternRecord, type Shot } from '../../protocol/index.ts';
import { HERON_YAML, runVirtualRange } from '../support/virtual-range.ts';

const SEED = 21;

function onlyShot(rigText: string): { readonly shot: Shot; readonly truthMps: number } {
  const run = runVirtualRange({ seed: SEED, shots: 1, rigText });
  const [shot] = run.shots;
  if (!shot || run.shots.length !== 1) throw new Error(`${run.shots.length} shots`);
  return { shot, truthMps: run.truth[0]?.muzzleVelocityMps ?? Number.NaN };
}

const without = (pattern: RegExp): string => {
  const text = HERON_YAML.replace(pattern, '');
  if (text === HERON_YAML) throw new Error(`${pattern} is not in the rig file`);
  return text;
};

describe('with something missing, the shot is flagged and stands', () => {
  const whole = onlyShot(HERON_YAML);

  test('nothing missing: no flag', () => {
    expect(whole.shot.flags).toEqual([]);
    expect(whole.shot.firedBy).toBe('trigger');
  });

  test('no trigger in the rig: timed by what the gates or the reservoir saw', () => {
    const { shot, truthMps } = onlyShot(without(/^ *trigger: .*$/gm)); // the rig's own, and that which starts its camera
    expect(shot.firedBy).not.toBe('trigger');
    expect(shot.flags).toEqual([]);
    const u = shot.muzzleVelocityMps?.standardUncertainty ?? 0;
    expect(Math.abs((shot.muzzleVelocityMps?.value ?? 0) - truthMps)).toBeLessThan(4 * u);
  });

  test('the trigger is in the rig and silent: first edge, and flagged', () => {
    const { shot } = onlyShot(HERON_YAML.replace('trigger: { board: gate-board, input: 0 }', 'trigger: { board: gate-board, input: 8 }'));
    expect(shot.firedBy).not.toBe('trigger');
    expect(shot.flags).toContain('no-trigger');
    expect(shot.muzzleVelocityMps?.value).toBeCloseTo(whole.shot.muzzleVelocityMps?.value ?? 0, 1);
  });

  test('no weather: the assumed air is named, and Mach is many times less sure', () => {
    const { shot } = onlyShot(without(/^ {2}airTemperature:[\s\S]*?(?=^# What)/m));
    expect(shot.flags).toContain('air-assumed');
    expect(shot.air.temperatureK.origin).toBe('assumed');
    expect(shot.mach?.standardUncertainty ?? 0).toBeGreaterThan(5 * (whole.shot.mach?.standardUncertainty ?? 1));
  });

  test('one pair only: drag from the curve, a wider target velocity, and flagged', () => {
    const { shot, truthMps } = onlyShot(without(/^ {2}- \{ name: B[12].*\n {2}- \{ name: B2.*$/m));
    expect(shot.flags).toContain('single-pair');
    const muzzle = shot.muzzleVelocityMps;
    expect(Math.abs((muzzle?.value ?? 0) - truthMps)).toBeLessThan(4 * (muzzle?.standardUncertainty ?? 0));
    expect(shot.targetVelocityMps?.standardUncertainty ?? 0).toBeGreaterThan(5 * (whole.shot.targetVelocityMps?.standardUncertainty ?? 1));
  });

  test('every result carries its budget, whose squares add up to its variance', () => {
    const { muzzleVelocityMps, targetVelocityMps, mach, dragCoefficient, pairs } = whole.shot;
    for (const result of [muzzleVelocityMps, targetVelocityMps, mach, dragCoefficient, ...pairs.map((pair) => pair.velocityMps)]) {
      if (!result) throw new Error('a result is missing');
      const sum = Math.hypot(...result.budget.map((line) => line.contribution));
      expect(sum / result.standardUncertainty).toBeCloseTo(1, 9);
      // JCGM 100:2008, table G.2: 1.960 for 95 % and infinite degrees of freedom, 1.984 for 100; only the clock's rate has few.
      expect(result.coverageFactor).toBeGreaterThan(1.95996);
      expect(result.coverageFactor).toBeLessThan(1.984);
      expect(result.expandedUncertainty).toBeCloseTo(result.coverageFactor * result.standardUncertainty, 12);
      const contributions = result.budget.map((line) => line.contribution);
      expect(contributions).toEqual([...contributions].sort((a, b) => b - a));
    }
  });
});

/** A board spoken for by hand. */
class Hand {
  readonly events: PipelineEvent[] = [];
  #state = INITIAL_STATE;
  #seq = 0;
  #nowNs = 0;

  constructor() {
    const value = { sessionId: 'hand', softwareVersion: 't', protocolVersion: 1, fileName: 'heron.yaml', text: HERON_YAML };
    this.#take({ kind: 'clock', atNs: 0, source: 'host', value: { utcUs: 0 } });
    this.#take({ kind: 'rig', atNs: 0, source: 'host', value });
    this.say(hello(1));
  }
  say(message: BoardMessage): void {
    if (message.kind === 'HELLO') this.#seq = 0;
    this.#nowNs += 1e6;
    const bytes = Buffer.from(encodeMessage(message, this.#seq++), 'latin1');
    this.#take({ kind: 'line', atNs: this.#nowNs, source: 'gate-board', bytes });
  }
  edge(input: number, active: boolean, ticks: number): void {
    this.say({ kind: 'EDGE', input, active, ticks, hardwareTimed: true });
  }
  pass(seconds: number): void {
    for (let i = 0; i < seconds * 10; i++) {
      this.#nowNs += 100e6;
      // As any board does once a second, and here oftener.
      if (i % 5 === 0) this.say({ kind: 'BEAT', ticks: 0, edgesCaptured: 0, edgesLost: 0, edgesHeld: 0, inputsActive: 0, hostLinesBad: 0 });
      this.#take({ kind: 'clock', atNs: this.#nowNs, source: 'host', value: { utcUs: Math.round(this.#nowNs / 1000) } });
    }
  }
  get closed(): readonly Shot[] {
    return this.events.flatMap((event) => (event.type === 'shot' && event.phase === 'closed' ? [event.shot] : []));
  }
  #take(record: PosternRecord): void {
    const [state, events] = step(this.#state, record);
    this.#state = state;
    this.events.push(...events);
  }
}

const TICKS_PER_S = 16e6;
const hello = (bootId: number): BoardMessage => ({
  kind: 'HELLO',
  protocolVersion: 1,
  boardId: 'CS-GB-01',
  bootId,
  resetCause: bootId === 1 ? 'power' : 'watchdog',
  tickRateHz: TICKS_PER_S,
  ticks: 0,
  gateInputCount: 8,
  channelCount: 5,
  oldestHeldSeq: 0,
});

/** A ball of 59.8 mm at constant speed through all four gates. */
function ball(hand: Hand, firedTicks: number, velocityMps: number): void {
  for (const [i, positionM] of [1.5, 2.5, 9, 10].entries()) {
    const at = (offsetM: number) => Math.round(firedTicks + (0.02 + (positionM + offsetM) / velocityMps) * TICKS_PER_S);
    hand.edge(i + 1, true, at(-0.0299));
    hand.edge(i + 1, false, at(0.0299));
  }
}

test('a hand through a beam during set-up is no shot, and is told', () => {
  const hand = new Hand();
  hand.edge(1, true, 1e6);
  hand.edge(1, false, 9e6);
  hand.pass(2);
  expect(hand.closed).toEqual([]);
  const note = hand.events.find((event) => event.type === 'note');
  expect(note?.type === 'note' ? note.text : '').toMatch(/A1/);
});

test('two shots a second and a half apart are two', () => {
  const hand = new Hand();
  hand.edge(0, true, 1e6);
  ball(hand, 1e6, 300);
  hand.pass(1.5);
  hand.edge(0, true, 1e6 + 1.5 * TICKS_PER_S);
  ball(hand, 1e6 + 1.5 * TICKS_PER_S, 320);
  hand.pass(2);
  expect(hand.closed.map((shot) => shot.number)).toEqual([1, 2]);
});

test('a board that starts anew in the middle of a shot: what came is kept, and the next shot is timed by the new clock', () => {
  const hand = new Hand();
  hand.edge(0, true, 500e6);
  ball(hand, 500e6, 300);
  hand.say(hello(2));
  expect(hand.closed).toHaveLength(1);
  hand.edge(0, true, 2e6);
  ball(hand, 2e6, 280);
  hand.pass(2);
  expect(hand.closed).toHaveLength(2);
  expect(hand.closed[1]?.pairs[0]?.velocityMps.value).toBeCloseTo(280, 1);
  expect(hand.events.some((event) => event.type === 'board' && event.restarted)).toBe(true);
});

test('the trigger comes last, fetched again: the shot is timed by it all the same', () => {
  const hand = new Hand();
  ball(hand, 5e6, 300);
  hand.edge(0, true, 5e6);
  hand.pass(2);
  const [shot] = hand.closed;
  expect(hand.closed).toHaveLength(1);
  expect(shot?.firedBy).toBe('trigger');
  expect(shot?.passages[0]?.timeS).toBeCloseTo(0.02 + 1.5 / 300, 6);
});

test('another board on the cable than the rig file names is told', () => {
  const hand = new Hand();
  hand.say({ ...hello(3), boardId: 'SOME-OTHER' } as BoardMessage);
  const board = hand.events.findLast((event) => event.type === 'board');
  expect(board?.type === 'board' ? board.problem : '').toMatch(/SOME-OTHER.*CS-GB-01/);
});

test('a session that ends in the middle of a shot closes it with what there is', () => {
  const run = runVirtualRange({ seed: SEED, shots: 1 });
  const measured = run.events.find((event) => event.type === 'shot' && event.phase === 'measured');
  let state = INITIAL_STATE;
  for (const record of run.records.filter((candidate) => candidate.atNs <= (measured?.atNs ?? 0))) [state] = step(state, record);
  const [, events] = finish(state, measured?.atNs ?? 0);
  const closed = events.flatMap((event) => (event.type === 'shot' && event.phase === 'closed' ? [event.shot] : []));
  expect(closed).toHaveLength(1);
  expect(closed[0]?.muzzleVelocityMps?.value).toBeCloseTo(run.shots[0]?.muzzleVelocityMps?.value ?? 0, 1);
});

test('the wire goes out in the middle of a flight: the shot is whole once its edges are fetched, under its own number', () => {
  const undisturbed = runVirtualRange({ seed: SEED, shots: 1 });
  const firedS = undisturbed.truth[0]?.firedAtS ?? 0;
  const run = runVirtualRange({ seed: SEED, shots: 1, unplugged: { fromS: firedS + 0.01, toS: firedS + 2.5 } });
  const last = run.shots.at(-1);
  expect(new Set(run.shots.map((shot) => shot.id)).size).toBe(1);
  expect(last?.passages).toHaveLength(4);
  expect(last?.flags).toContain('fetched-late');
  expect(last?.muzzleVelocityMps?.value).toBeCloseTo(undisturbed.shots[0]?.muzzleVelocityMps?.value ?? 0, 1);
});

test('an air sensor with its wire off is not believed, and does not end the session', () => {
  // What it should read stands at a pin that has something else on it.
  const broken = without(/^ {2}reservoirTemperature:.*\n(?: {4}.*\n)*/m)
    .replace(/^ {2}- \{.*channel: reservoirTemperature.*\n/m, '')
    .replace('reads: temperature,', 'reads: A1, reference: 5 V, calibration: [[0 V, 150 °C], [5 V, 250 °C]],');
  const { shot } = onlyShot(broken);
  expect(shot.flags).toContain('air-assumed');
  expect(shot.muzzleVelocityMps).toBeDefined();
});
