import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { EVENTS_KEPT } from '../../host/serve/event-ring.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import { SHOTS_KEPT } from '../../host/serve/recent-shots.ts';
import type { EventMessage, LiveMessage, NoteEvent, PipelineEvent } from '../../protocol/index.ts';
import { eventsBetween, FAKE_SESSION_ID, openingEvents } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';

const note = (number: number): NoteEvent => ({ type: 'note', atNs: number, text: `note ${number}` });
const eventsOf = (messages: readonly LiveMessage[]) => messages.filter((message): message is EventMessage => message.type === 'event');

function openedFeed(): LiveFeed {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of openingEvents('2026-03-14T09:30:00.000000Z')) feed.accept(event);
  return feed;
}

function shotEvent(number: number): PipelineEvent {
  return { type: 'shot', phase: 'closed', atNs: number * 40e9, shot: fakeShot({ number }) };
}

describe('the live feed', () => {
  it('has no snapshot before a session, and a whole one after', () => {
    const feed = new LiveFeed({ mode: 'live' });
    expect(feed.snapshot(0)).toBeUndefined();
    const opened = openedFeed();
    for (const event of eventsBetween(0, 20e9)) opened.accept(event);
    opened.flush(20e9);
    const snapshot = opened.snapshot(20e9);
    expect(snapshot).toMatchObject({ mode: 'live', sessionId: FAKE_SESSION_ID, nowNs: 20e9, rig: { name: 'Heron' } });
    expect(snapshot?.originUtcMs).toBe(Date.UTC(2026, 2, 14, 9, 30));
    expect(Object.keys(snapshot?.boards['gate-board'] ?? {}).sort()).toEqual(['board', 'clock', 'inputs', 'link', 'wire']);
    expect(new Set(snapshot?.history.map((envelope) => envelope.channel)).size).toBe(5);
    expect(snapshot?.shots.map((shot) => shot.number)).toEqual([1]);
  });

  it('tells a page that comes later whether the newest shot is still being measured', () => {
    const feed = openedFeed();
    expect(feed.snapshot(0)).not.toHaveProperty('newestShotPhase');
    feed.accept(shotEvent(1));
    feed.accept({ ...shotEvent(2), phase: 'opened' } as PipelineEvent);
    // An earlier one, fetched late from its board.
    feed.accept(shotEvent(1));
    expect(feed.snapshot(0)).toMatchObject({ newestShotPhase: 'opened', shots: [{ number: 2 }, { number: 1 }] });
    feed.accept({ ...shotEvent(2), phase: 'measured' } as PipelineEvent);
    expect(feed.snapshot(0)?.newestShotPhase).toBe('measured');
  });

  it('gives on resuming exactly what was missed, or says that a snapshot is needed', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 700 }), { minLength: 1, maxLength: 5 }),
        fc.integer({ min: 0, max: 3000 }),
        (batches, since) => {
          const feed = openedFeed();
          const sent: EventMessage[] = [];
          let number = 0;
          for (const batch of batches) {
            for (let one = 0; one < batch; one += 1) feed.accept(note(number++));
            sent.push(...eventsOf(feed.flush(number)));
          }
          const newest = sent.at(-1)?.seq ?? 0;
          const resumed = feed.resume(FAKE_SESSION_ID, since, number);
          if (since > newest || newest - since > EVENTS_KEPT) expect(resumed).toBeUndefined();
          else
            expect(eventsOf(resumed ?? []).map(({ seq, event }) => ({ seq, event }))).toEqual(
              sent.filter((message) => message.seq > since).map(({ seq, event }) => ({ seq, event })),
            );
        },
      ),
      { numRuns: 40 },
    );
  });

  it('numbers events without a gap, whatever is in between', () => {
    const feed = openedFeed();
    const sent: EventMessage[] = [];
    for (let second = 0; second < 60; second += 1) {
      for (const event of eventsBetween(second * 1e9, (second + 1) * 1e9)) feed.accept(event);
      sent.push(...eventsOf(feed.flush((second + 1) * 1e9)));
    }
    expect(sent.map((message) => message.seq)).toEqual(sent.map((_, index) => index + 1));
  });

  it('resumes nothing of another session', () => {
    const feed = openedFeed();
    feed.flush(1);
    expect(feed.resume('cs-2026-03-13-a', 1, 1)).toBeUndefined();
  });

  it('sends a snapshot instead of events when there were more than it keeps between two flushes', () => {
    const feed = openedFeed();
    feed.flush(0);
    for (let number = 0; number <= EVENTS_KEPT; number += 1) feed.accept(note(number));
    expect(feed.flush(1).map((message) => message.type)).toEqual(['snapshot']);
    expect(feed.resume(FAKE_SESSION_ID, 3, 1)).toBeUndefined();
    feed.accept(note(1));
    expect(feed.flush(2).map((message) => message.type)).toEqual(['event', 'envelope']);
  });

  it('calls for what cannot wait, hands it on in its order with what came before, and does not repeat it', () => {
    const feed = openedFeed();
    feed.flush(0);
    let calls = 0;
    feed.onUrgent = () => {
      calls += 1;
    };
    for (const event of eventsBetween(0, 1e9)) if (event.type === 'samples' || event.type === 'wire') feed.accept(event);
    expect(calls).toBe(0);
    feed.accept(shotEvent(1));
    expect(calls).toBe(1);
    const sent = eventsOf(feed.flushEvents(1e9));
    expect(sent.at(-1)?.event).toMatchObject({ type: 'shot' });
    feed.accept(note(2e9));
    const later = feed.flush(2e9);
    expect(eventsOf(later).map(({ event }) => event.type)).toEqual(['note']);
    expect(eventsOf(later)[0]?.seq).toBe((sent.at(-1)?.seq ?? 0) + 1);
    expect(later.at(-1)?.type).toBe('envelope');
  });

  it('tells at once of a journal that is not written, and every page that comes later, until it is over', () => {
    const feed = openedFeed();
    feed.flush(0);
    let calls = 0;
    feed.onUrgent = () => {
      calls += 1;
    };
    const recording = { problem: 'ENOSPC', sinceNs: 5, waitingBytes: 100, waitingBytesMax: 1000 };
    feed.tellRecording(recording);
    expect(calls).toBe(1);
    expect(feed.flushEvents(6)).toEqual([{ type: 'recording', nowNs: 6, recording }]);
    expect(feed.flushEvents(7)).toEqual([]);
    const more = { ...recording, waitingBytes: 500 };
    feed.tellRecording(more);
    expect(calls).toBe(1);
    expect(feed.flush(8)[0]).toEqual({ type: 'recording', nowNs: 8, recording: more });
    expect(feed.snapshot(9)?.recording).toEqual(more);
    expect(feed.resume(FAKE_SESSION_ID, 0, 9)?.[0]).toEqual({ type: 'recording', nowNs: 9, recording: more });
    feed.tellRecording({ problem: '', waitingBytes: 0, waitingBytesMax: 1000 });
    expect(calls).toBe(2);
  });

  it('makes one message of a storm of counters', () => {
    const feed = openedFeed();
    feed.flush(0);
    const wire = eventsBetween(0, 1e9).find((event) => event.type === 'wire');
    if (wire?.type !== 'wire') throw new Error('the stream has counters each second');
    const storm = Array.from({ length: 4000 }, (_, number) => ({ ...wire, atNs: number * 1e6 }));
    for (const event of storm) feed.accept(event);
    expect(eventsOf(feed.flush(4e9)).map((message) => message.event)).toEqual([storm.at(-1)]);
  });

  it('keeps the last shots, each in its newest state, with traces only in the newest of a snapshot', () => {
    const feed = openedFeed();
    for (let number = 1; number <= 25; number += 1) feed.accept(shotEvent(number));
    feed.accept({ type: 'shot', phase: 'closed', atNs: 26 * 40e9, shot: { ...fakeShot({ number: 24 }), flags: ['gate-doubtful'] } });
    feed.flush(0);
    const shots = feed.snapshot(0)?.shots ?? [];
    expect(shots.length).toBe(SHOTS_KEPT);
    expect(shots.map((shot) => shot.number).slice(0, 3)).toEqual([25, 24, 23]);
    expect(shots[1]?.flags).toEqual(['gate-doubtful']);
    expect(shots.map((shot) => shot.traces.length > 0)).toEqual([true, ...Array(SHOTS_KEPT - 1).fill(false)]);
    expect(feed.shots[1]?.traces.length).toBeGreaterThan(0);
  });

  it('starts afresh with a new session', () => {
    const feed = openedFeed();
    feed.accept(shotEvent(1));
    feed.flush(0);
    const [session] = openingEvents('2026-03-15T08:00:00.000000Z');
    if (session?.type !== 'session') throw new Error('the first opening event is the session');
    feed.accept({ ...session, sessionId: 'cs-2026-03-15-a' });
    const [message] = feed.flush(0);
    expect(message).toMatchObject({ type: 'snapshot', sessionId: 'cs-2026-03-15-a', shots: [], boards: {} });
  });

  it('keeps burst samples out of the scrolling traces', () => {
    const feed = openedFeed();
    feed.accept({
      type: 'samples',
      atNs: 1e9,
      channel: 'reservoirPressure',
      stream: 'burst',
      fromNs: 0,
      periodNs: 1e5,
      valuesSi: [1, 2, 3],
    });
    expect(feed.flush(1e9).at(-1)).toEqual({ type: 'envelope', nowNs: 1e9, envelopes: [] });
  });
});
