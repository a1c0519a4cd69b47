/**
 * A host killed between any two records of a shot, and started again: the second session gets the whole shot from the
 * board, the first one's half is flagged, and no firing is told twice as if each were the only one.
 */
import { expect, test } from 'vitest';
import { BOARDS, createRange } from '../../firmware-sim/range.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import { finish, INITIAL_STATE, type PipelineState, step } from '../../host/pipeline/index.ts';
import { encodeMessage, type HostMessage, type PosternRecord, type Shot } from '../../protocol/index.ts';
import { SEED } from '../support/seed.ts';
import { lineLink } from '../support/virtual-links.ts';
import { HERON_YAML } from '../support/virtual-range.ts';
import { randomFrom } from './journal-samples.ts';

const STEP_S = 0.001;
const SYNC_S = 0.004;
const GATES = 4;

interface Session {
  readonly lines: Set<string>;
  readonly shots: readonly Shot[];
}

/** One board, and one host after the other on its line; each host's session time begins at 0. */
class Bench {
  nowS = 0;
  readonly #range;
  readonly #line;
  #hostSeq = 0;

  constructor(seed: number) {
    this.#range = createRange({ seed, pace: 'fast', shots: 3, faults: [], setPoints: 'spread' });
    this.#line = createMemoryLine({ seed, end: this.#range.ends['gate-board'] });
  }

  get fired(): number {
    return this.#range.truth.length;
  }

  /** @param isOver  asked after each record: the host is killed there, with what it had synced acknowledged */
  session(isOver: (edgesHeard: number, nowS: number) => boolean): Session {
    const openedAtS = this.nowS;
    const lines = new Set<string>();
    const shots = new Map<string, Shot>();
    const due: { readonly atS: number; readonly message: HostMessage }[] = [];
    let state: PipelineState = INITIAL_STATE;
    let edges = 0;
    let over = false;
    const atNs = (): number => Math.round((this.nowS - openedAtS) * 1e9);
    const take = (record: PosternRecord): void => {
      if (over) return;
      if (record.kind === 'line') {
        const line = Buffer.from(record.bytes).toString('latin1');
        lines.add(line);
        if (line.startsWith('EDGE')) edges += 1;
      }
      const [next, events] = step(state, record);
      state = next;
      for (const event of events) {
        if (event.type === 'request') due.push({ atS: this.nowS + (event.afterSync ? SYNC_S : 0), message: event.message });
        if (event.type === 'shot' && event.phase === 'closed') shots.set(event.shot.id, event.shot);
      }
      over = isOver(edges, this.nowS);
    };
    take({ kind: 'clock', atNs: 0, source: 'host', value: { utcUs: 1.7e15 + Math.round(openedAtS * 1e6) } });
    const value = { sessionId: `from ${openedAtS}`, softwareVersion: 'test', protocolVersion: 1, fileName: 'heron.yaml', text: HERON_YAML };
    take({ kind: 'rig', atNs: 0, source: 'host', value });
    take({ kind: 'link', atNs: 0, source: 'gate-board', value: { change: 'opened', path: 'memory', detail: '' } });
    const link = lineLink('gate-board', /\n/);
    this.#send({ kind: 'WHO' });
    for (let tick = 1; !over; tick += 1) {
      this.nowS += STEP_S;
      for (const other of BOARDS) if (other !== 'gate-board') this.#range.ends[other].advanceTo(this.nowS);
      for (const chunk of this.#line.advanceTo(this.nowS)) for (const record of link.take(chunk)) take({ ...record, atNs: atNs() });
      for (const { atS, message } of due.splice(0)) {
        if (atS > this.nowS) due.push({ atS, message });
        else if (!over) this.#send(message);
      }
      if (tick % 250 === 0) this.#send({ kind: 'PING', token: atNs().toString(16).toUpperCase().padStart(16, '0') });
      if (tick % 500 === 0) take({ kind: 'clock', atNs: atNs(), source: 'host', value: { utcUs: 1.7e15 + Math.round(this.nowS * 1e6) } });
    }
    const [, last] = finish(state, atNs());
    for (const event of last) if (event.type === 'shot' && event.phase === 'closed') shots.set(event.shot.id, event.shot);
    return { lines, shots: [...shots.values()] };
  }

  #send(message: HostMessage): void {
    this.#line.send(Buffer.from(`${encodeMessage(message, this.#hostSeq++)}\n`, 'latin1'), this.nowS);
  }
}

const firingOf = ({ edges }: Shot): number | undefined => edges.find(({ gate, active }) => gate === 'trigger' && active)?.ticks;
const isMarked = ({ flags }: Shot): boolean => flags.includes('cut-short') || flags.includes('before-session');
const isWhole = ({ edges }: Shot): boolean => edges.filter(({ gate }) => gate !== 'trigger').length >= 2 * GATES;

test('killed at any of a shot’s edges, or up to two seconds after the last, the restarted host tells it whole', () => {
  const seed = SEED;
  const random = randomFrom(seed);
  const perShot = 2 * GATES + 1;
  const moments = [
    ...Array.from({ length: perShot }, (_, i) => ({ edges: i + 1, thenS: 0 })),
    ...Array.from({ length: 6 }, () => ({ edges: perShot, thenS: 2 * random() })),
  ];
  for (const { edges, thenS } of moments) {
    const bench = new Bench(7);
    let reachedAtS = Number.POSITIVE_INFINITY;
    const killed = bench.session((heard, nowS) => {
      if (heard >= edges) reachedAtS = Math.min(reachedAtS, nowS);
      return nowS >= reachedAtS + thenS;
    });
    const untilS = bench.nowS + 4;
    const restarted = bench.session((_, nowS) => nowS >= untilS);
    const context = `seed ${seed}, killed ${thenS} s after edge ${edges}`;
    const tellers = [killed, restarted].flatMap(({ shots }) => shots);
    const [firing] = tellers.map(firingOf);
    const ofFirst = tellers.filter((shot) => firingOf(shot) === firing);
    expect(ofFirst.filter(isWhole).length, context).toBeGreaterThanOrEqual(1);
    expect(ofFirst.filter((shot) => !isMarked(shot)).length, context).toBeLessThanOrEqual(1);
    // The half of it, where it was cut, says so.
    for (const shot of killed.shots) if (!isWhole(shot)) expect(shot.flags, context).toContain('cut-short');
    for (const shot of restarted.shots) if (firingOf(shot) === firing) expect(shot.flags, context).toContain('before-session');
  }
});
