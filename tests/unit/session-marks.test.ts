/** The marks of a recorded session's time line: in the order told, with the terminal's own words, and never more than are kept. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { MARK_CHARACTERS_MAX, MARKS_MAX, SessionMarks } from '../../host/cli/replay/session-marks.ts';
import { EventLines } from '../../host/cli/text/event-lines.ts';
import type { PipelineEvent } from '../../protocol/index.ts';

const note = (text: string, atNs: number): PipelineEvent => ({ type: 'note', text, atNs, who: 'Ane' });
const link = (change: 'searching' | 'opening' | 'running' | 'lost', atNs: number): PipelineEvent => {
  return { type: 'link', source: 'gates', change, path: '/dev/gates', detail: '', atNs };
};
const EVENT = fc.oneof(
  fc.record({ text: fc.string({ maxLength: 60 }), atNs: fc.nat() }).map(({ text, atNs }) => note(text, atNs)),
  fc
    .record({ change: fc.constantFrom('searching', 'opening', 'running', 'lost' as const), atNs: fc.nat() })
    .map(({ change, atNs }) => link(change as 'running', atNs)),
);

test('say what the terminal said, of everything but what a link only tries', () => {
  fc.assert(
    fc.property(fc.array(EVENT, { maxLength: 40 }), (events) => {
      const marks = new SessionMarks();
      for (const event of events) marks.take(event);
      const lines = new EventLines();
      const told = events.flatMap((event) => {
        const said = lines.of(event);
        const isTried = event.type === 'link' && (event.change === 'searching' || event.change === 'opening');
        return isTried ? [] : said.map(({ text, isTrouble }) => ({ atNs: event.atNs, kind: event.type, text, isTrouble }));
      });
      expect(marks.slice(0, MARKS_MAX)).toEqual(told);
      expect(marks.slice(3, 5)).toEqual(told.slice(3, 8));
    }),
  );
});

test('are bounded in number and in length, and count what they leave out', () => {
  const marks = new SessionMarks();
  for (let n = 0; n < MARKS_MAX + 7; n += 1) marks.take(note(n === 0 ? 'x'.repeat(9_000) : `note ${n}`, n));
  expect(marks.count).toBe(MARKS_MAX);
  expect(marks.leftOut).toBe(7);
  expect(marks.slice(0, 1)[0]?.text).toHaveLength(MARK_CHARACTERS_MAX);
  expect(marks.slice(MARKS_MAX - 1, 10)).toMatchObject([{ text: `Note by Ane: note ${MARKS_MAX - 1}` }]);
});
