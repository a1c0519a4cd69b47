/** A board that hangs says the same up to its end, half a message more, and nothing again. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fallsSilent } from '../../firmware-sim/boards/falls-silent.ts';
import { createTextInstrument } from '../../firmware-sim/boards/text-instrument.ts';

const board = () =>
  createTextInstrument({
    seed: 5,
    name: 'x',
    baudRate: 9600,
    print: (timeS) => `t=${timeS.toFixed(3)}`,
    when: { poll: 'READ?', answersAfterS: 0.05 },
  });
const QUESTION = Buffer.from('READ?\r\n', 'latin1');
const END_S = 12;

const times = fc
  .array(fc.integer({ min: 0, max: 1000 * END_S }), { maxLength: 40 })
  .map((ms) => ms.sort((a, b) => a - b).map((t) => t / 1000));

/** Asked once a second, and looked at then and at other times. */
function heard(end: ReturnType<typeof fallsSilent>, looks: readonly number[]): string {
  const asked = Array.from({ length: END_S }, (_, second) => ({ timeS: second + 0.5, isQuestion: true }));
  const acts = [...asked, ...[...looks, END_S].map((timeS) => ({ timeS, isQuestion: false }))].sort((a, b) => a.timeS - b.timeS);
  return acts
    .flatMap(({ timeS, isQuestion }) => {
      if (isQuestion) end.receive(QUESTION, timeS);
      return end.advanceTo(timeS);
    })
    .map(({ bytes }) => Buffer.from(bytes).toString('latin1'))
    .join('');
}

test('whenever it hangs and however it is looked at', () => {
  const whole = heard(board(), []);
  fc.assert(
    fc.property(fc.double({ min: 0, max: END_S, noNaN: true }), times, (fromS, looks) => {
      const said = heard(fallsSilent(board(), fromS), looks);
      expect(said).toBe(heard(fallsSilent(board(), fromS), []));
      expect(whole.startsWith(said)).toBe(true);
      // Of the answers to the questions before it, none is missing but the second half of the last.
      const questions = Math.max(Math.ceil(fromS - 0.5), 0);
      const answers = said.split('\r\n').length - 1;
      expect(answers === questions || (answers === questions - 1 && !said.endsWith('\r\n'))).toBe(true);
    }),
  );
});
