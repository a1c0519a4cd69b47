import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ChannelTrace, presentAfter } from '../../dashboards/src/state/channel-trace.ts';
import { ageText } from '../../dashboards/src/text/age-text.ts';
import { alarmsOf } from '../../dashboards/src/text/alarms.ts';
import { blockedIntervals, stripRangeS } from '../../host/charts/edge-intervals.ts';
import { BIN_NS, EnvelopeHistory } from '../../host/serve/envelope-history.ts';
import type { Envelope } from '../../protocol/index.ts';
import { fakeShot } from '../support/fake-shot.ts';

function extremes(trace: ChannelTrace, nowNs: number, windowS: number): readonly number[] {
  const { min, max } = trace.read(nowNs, windowS);
  const seen = [...min, ...max].filter((value) => value !== null);
  return [Math.min(...seen), Math.max(...seen)];
}

describe('a trace on the page', () => {
  it('shows what the host measured, however it was told', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1, maxLength: 1000 }),
        fc.array(fc.nat(1000), { maxLength: 5 }),
        (valuesSi, cuts) => {
          const host = new EnvelopeHistory('reservoirPressure');
          const told = new ChannelTrace();
          const edges = [...new Set([0, ...cuts.filter((cut) => cut < valuesSi.length), valuesSi.length])].sort((a, b) => a - b);
          edges.slice(1).forEach((end, index) => {
            const start = edges[index] ?? 0;
            host.add({ fromNs: start * 17e6, periodNs: 17e6, valuesSi: valuesSi.slice(start, end) });
            const changed = host.takeChanged();
            if (changed) told.add(changed);
          });
          const atOnce = new ChannelTrace();
          for (const envelope of [...host.history(), ...host.history()]) atOnce.add(envelope);
          const nowNs = valuesSi.length * 17e6;
          expect(told.read(nowNs, 60)).toEqual(atOnce.read(nowNs, 60));
          expect(told.read(nowNs, 600)).toEqual(atOnce.read(nowNs, 600));
          expect(extremes(told, nowNs, 60)).toEqual([Math.min(...valuesSi), Math.max(...valuesSi)]);
          expect(extremes(told, nowNs, 600)).toEqual([Math.min(...valuesSi), Math.max(...valuesSi)]);
        },
      ),
    );
  });

  it('bridges the pauses of a slow channel and shows a long silence as a gap', () => {
    const trace = new ChannelTrace();
    const one = (bin: number): Envelope => ({
      channel: 'barrelPressure',
      fromNs: bin * BIN_NS,
      binNs: BIN_NS,
      min: [1],
      max: [1],
      lastSi: 1,
    });
    for (const bin of [0, 10, 20, 200, 210]) trace.add(one(bin));
    expect(trace.read(211 * BIN_NS, 60).max).toEqual([1, 1, 1, null, 1, 1]);
  });

  it('keeps the age of the present number when an older stretch comes late', () => {
    const newest = presentAfter(undefined, { channel: 'barrelPressure', fromNs: 5e9, binNs: BIN_NS, min: [4], max: [6], lastSi: 5 });
    expect(newest).toEqual({ si: 5, atNs: 5e9 + BIN_NS });
    expect(presentAfter(newest, { channel: 'barrelPressure', fromNs: 1e9, binNs: BIN_NS, min: [1], max: [1], lastSi: 5 })).toEqual(newest);
    expect(presentAfter(newest, { channel: 'barrelPressure', fromNs: 6e9, binNs: BIN_NS, min: [null], max: [null], lastSi: 5 })).toEqual(
      newest,
    );
  });
});

describe('what is drawn of a shot', () => {
  it('pairs the used edges of a gate and leaves out the rejected', () => {
    const shot = fakeShot({ number: 1, fragment: true });
    const passage = shot.passages[0];
    const [interval, ...others] = blockedIntervals(shot, 'A1');
    expect(others).toEqual([]);
    expect((interval?.endS ?? 0) - (interval?.startS ?? 0)).toBeCloseTo(passage?.occlusionS ?? 0, 12);
  });

  it('draws a lone leading edge as an instant', () => {
    const shot = fakeShot({ number: 1 });
    const alone = { ...shot, edges: shot.edges.filter((edge) => edge.active) };
    const [interval] = blockedIntervals(alone, 'B1');
    expect(interval?.endS).toBe(interval?.startS);
  });

  it('spans the gates without the trigger', () => {
    const shot = fakeShot({ number: 1 });
    const trigger = { gate: 'trigger', active: true, ticks: 1, timeS: 0, verdict: 'used', reason: '' } as const;
    const [from = 0, to = 0] = stripRangeS({ ...shot, edges: [trigger, ...shot.edges] }, ['A1', 'A2', 'B1', 'B2']) ?? [];
    expect(from).toBeGreaterThan(0.02);
    expect(to).toBeGreaterThan(shot.passages.at(-1)?.timeS ?? 1);
    expect(stripRangeS({ ...shot, edges: [trigger] }, ['A1'])).toBeUndefined();
  });
});

describe('what is said', () => {
  it('is alarmed by a lost link, lost edges and a wrong board, and by nothing else', () => {
    const link = { type: 'link', atNs: 5, source: 'gate-board', change: 'opened', path: './wires/gate-board', detail: '' } as const;
    expect(alarmsOf({ 'gate-board': { link } })).toEqual([]);
    expect(alarmsOf({ 'gate-board': { link: { ...link, change: 'lost' } } })).toMatchObject([
      { title: 'Link to gate-board lost.', sinceNs: 5 },
    ]);
    const board = {
      type: 'board',
      atNs: 5,
      source: 'gate-board',
      boardId: 'CS-GB-02',
      bootId: 1,
      resetCause: 'power',
      tickRateHz: 16e6,
      restarted: false,
      problem: 'the rig file names CS-GB-01',
    } as const;
    expect(alarmsOf({ 'gate-board': { link, board } })).toMatchObject([{ text: 'the rig file names CS-GB-01' }]);
  });

  it.each([
    [-0.05, '0.0 s'],
    [0.44, '0.4 s'],
    [9.99, '10.0 s'],
    [12.9, '12 s'],
    [185, '3 min'],
    [8000, '2 h'],
  ])('gives an age of %d s as %s', (ageS, text) => {
    expect(ageText(ageS)).toBe(text);
  });
});
