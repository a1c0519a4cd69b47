/** A rig file: sound ones changed by bytes and by words of YAML, and piles of one thing. */
import fc from 'fast-check';
import { problemLine, rigLines } from '../../../host/cli/rig/rig-lines.ts';
import { loadRig, summarise } from '../../../host/rig/index.ts';
import { type Edit, edited, editsArbitrary } from '../damage.ts';
import { HERON, INSTRUMENTS } from '../folding.ts';
import type { FuzzTarget } from '../target.ts';

interface Input {
  readonly base: 'heron' | 'instruments' | 'nothing';
  readonly edits: readonly Edit[];
  /** So many of one piece behind it. */
  readonly pile: { readonly piece: string; readonly times: number };
}

const WORDS = [
  ...[
    '- ',
    '? ',
    ': ',
    '[',
    ']',
    '{',
    '}',
    '&a ',
    '*a',
    '!!js/function ',
    '!<tag:x> ',
    '|\n',
    '>\n',
    '"',
    "'",
    '---\n',
    '...\n',
    '%YAML 1.1\n',
    '<<: *a\n',
    '# ',
    '\t',
    '\ufeff',
    '\0',
  ],
  ...[
    'null',
    '~',
    '.nan',
    '.inf',
    '0x7fffffff',
    '1e999',
    '-0',
    '9'.repeat(400),
    'true',
    '__proto__: 1\n',
    'constructor: 1\n',
    'toString: {}\n',
  ],
  ...['± 200 %', '1 MPa ± ', '°', 'kPa gauge', 'e', '.', '\u2212', ' ', '\n  ', '\n    ', '\n'],
  ...[
    'gates:\n',
    'channels:\n',
    'boards:\n',
    'kind: text\n',
    "pattern: '(?<a>(x+)+)$'\n",
    "pattern: '((((((a{9}){9}){9}){9}){9}){9}'\n",
    'points: [[0, 1 kPa], [0, 2 kPa]]\n',
    'polynomial: [1, 2, 3]\n',
  ],
];

const inputs = fc.record<Input>({
  base: fc.constantFrom('heron', 'heron', 'instruments', 'instruments', 'nothing'),
  edits: editsArbitrary(WORDS, 10),
  pile: fc.record({
    piece: fc.oneof(
      fc.constant(''),
      fc.array(fc.constantFrom(...WORDS), { maxLength: 4 }).map((words) => words.join('')),
    ),
    times: fc.oneof(fc.constant(0), fc.nat(20), fc.nat(30_000)),
  }),
});

const BASES = { heron: HERON, instruments: INSTRUMENTS, nothing: '' };

export const rigFile: FuzzTarget = {
  name: 'rig-file',
  inputs,
  feed({ base, edits, pile }: Input) {
    const text = edited(Buffer.from(BASES[base], 'utf8'), edits).toString('utf8') + pile.piece.repeat(pile.times);
    const load = loadRig(text, 'rig.yaml');
    if (load.ok) {
      rigLines(load.rig);
      const summary = summarise(load.rig);
      if (/null|Infinity/.test(JSON.stringify(summary.gates))) throw new Error('a number of the rig is none');
      return;
    }
    if (load.problems.length === 0 || load.problems.length > 100) throw new Error(`${load.problems.length} problems`);
    for (const problem of load.problems) {
      const line = problemLine('rig.yaml', problem);
      if (line.length > 1_300) throw new Error(`a sentence of ${line.length} characters`);
    }
  },
};
