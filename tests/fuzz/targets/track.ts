/** A camera's track: text of any kind to the reader, and what it lets through to the evaluation, with a shot and without its gates. */
import fc from 'fast-check';
import { crossCheck } from '../../../host/analysis/camera/index.ts';
import { summarise } from '../../../host/rig/index.ts';
import { readTrack } from '../../../protocol/index.ts';
import { drawnShot } from '../../support/drawn-camera.ts';
import { HERON_RIG } from '../../support/heron.ts';
import { known } from '../../support/known.ts';
import { type Edit, edited, editsArbitrary } from '../damage.ts';
import type { FuzzTarget } from '../target.ts';

interface Input {
  readonly base: 'honest' | 'nothing';
  readonly edits: readonly Edit[];
  readonly isMissed: boolean;
}

const WORDS = [
  'M1',
  'M2',
  'M9',
  'frame,x,y\n',
  ',',
  ';',
  '\t',
  '\n',
  '\r',
  '"',
  '#',
  '-',
  '.',
  'e9',
  '1e-9',
  '99999',
  '0',
  'NaN',
  'Infinity',
  '\0',
  '\u001b[2J',
  '\ufeff',
];

const CAMERA = known(HERON_RIG.cameras[0]);
const RIG = summarise(HERON_RIG);
const { shot: SHOT, track: TRACK } = drawnShot(HERON_RIG, CAMERA, 21);
const { muzzleVelocityMps: _, ...REST } = SHOT;
const MISSED = { ...REST, pairs: [], passages: [] };
const HONEST = [
  ...TRACK.marks.map(({ name, xPx, yPx }) => `${name},${xPx.toFixed(1)},${yPx.toFixed(1)}`),
  ...TRACK.frames.map(({ frame, xPx, yPx }) => `${frame},${xPx.toFixed(1)},${yPx.toFixed(1)}`),
].join('\n');

export const track: FuzzTarget = {
  name: 'track',
  inputs: fc.record<Input>({
    base: fc.constantFrom('honest', 'honest', 'honest', 'nothing'),
    edits: editsArbitrary(WORDS, 6),
    isMissed: fc.boolean(),
  }),
  feed({ base, edits, isMissed }: Input) {
    const text = edited(Buffer.from(base === 'honest' ? HONEST : '', 'utf8'), edits).toString('utf8');
    const read = readTrack(
      text,
      CAMERA.marks.map(({ name }) => name),
    );
    if (!read.ok) {
      if (read.problems.length === 0 || read.problems.length > 20) throw new Error(`${read.problems.length} problems`);
      for (const { message } of read.problems)
        if (message.length > 300 || /\p{Cc}/u.test(message)) throw new Error(`a sentence: ${message}`);
      return;
    }
    const check = crossCheck(CAMERA.name, read.track, isMissed ? MISSED : SHOT, RIG);
    if (/NaN|Infinity|undefined/.test(check.words)) throw new Error(`words: ${check.words}`);
    if (JSON.stringify(check).includes('null')) throw new Error('a number of the check is none');
  },
};
