/** A board that kept many shots while no host was there hands them all over at once, before any can be closed: each is told. */
import { expect, test } from 'vitest';
import { finish, INITIAL_STATE, step } from '../../host/pipeline/index.ts';
import { type BoardMessage, encodeMessage, type PipelineEvent } from '../../protocol/index.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const SHOTS = 40;
const TICKS_PER_S = 16e6;

test('forty shots that were all open at once are closed, each once, with all their edges', () => {
  let state = INITIAL_STATE;
  const events: PipelineEvent[] = [];
  const take = (record: Parameters<typeof step>[1]): void => {
    const [next, told] = step(state, record);
    state = next;
    events.push(...told);
  };
  const value = { sessionId: 's', softwareVersion: 't', protocolVersion: 1, fileName: 'heron.yaml', text: HERON_YAML };
  take({ kind: 'rig', source: 'host', atNs: 0, value });
  const line = (message: BoardMessage, seq: number): void =>
    take({ kind: 'line', source: 'gate-board', atNs: 1e6, bytes: Uint8Array.from(Buffer.from(encodeMessage(message, seq), 'latin1')) });
  line(
    {
      kind: 'HELLO',
      protocolVersion: 1,
      boardId: 'CS-GB-01',
      bootId: 7,
      resetCause: 'power',
      tickRateHz: TICKS_PER_S,
      ticks: 1e12,
      gateInputCount: 4,
      channelCount: 2,
      oldestHeldSeq: 0,
    },
    10_000,
  );
  // Number 0 never comes: as long as a frame is awaited no shot is complete.
  let seq = 1;
  for (let shot = 0; shot < SHOTS; shot += 1) {
    const fired = (1 + 10 * shot) * TICKS_PER_S;
    const edge = (input: number, active: boolean, afterS: number): void =>
      line({ kind: 'EDGE', input, active, ticks: fired + Math.round(afterS * TICKS_PER_S), hardwareTimed: true }, seq++);
    edge(0, true, 0);
    for (const [index, positionM] of [1.5, 2.5, 9, 10].entries()) {
      edge(index + 1, true, 0.03 + (positionM - 0.03) / 300);
      edge(index + 1, false, 0.03 + (positionM + 0.03) / 300);
    }
  }
  events.push(...finish(state, 2e6)[1]);
  const closed = events.flatMap((event) => (event.type === 'shot' && event.phase === 'closed' ? [event.shot] : []));
  expect(closed.map(({ number }) => number)).toEqual(Array.from({ length: SHOTS }, (_, i) => i + 1));
  for (const shot of closed) expect(shot.edges).toHaveLength(9);
});
