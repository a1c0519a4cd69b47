/** A camera's track as text: what is taken, and what each mistake is told as. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readTrack, TRACK_FILE_BYTES_MAX, TRACK_LIMITS } from '../../protocol/index.ts';

const MARKS = ['M1', 'M2'];
const read = (text: string) => readTrack(text, MARKS);
const problems = (text: string): readonly string[] => {
  const answer = read(text);
  return answer.ok ? [] : answer.problems.map(({ line, column, message }) => `${line}:${column} ${message}`);
};
const SOUND = 'M1,1,2\nM2,3.5,4\n7,10,20\n5,8,20\n9,12.25,20\n';

test('marks and frames, in any order of lines, with the separators that programs write', () => {
  const wanted = {
    marks: [
      { name: 'M1', xPx: 1, yPx: 2 },
      { name: 'M2', xPx: 3.5, yPx: 4 },
    ],
    frames: [
      { frame: 5, xPx: 8, yPx: 20 },
      { frame: 7, xPx: 10, yPx: 20 },
      { frame: 9, xPx: 12.25, yPx: 20 },
    ],
  };
  const variants = [
    SOUND,
    SOUND.replaceAll(',', ';'),
    SOUND.replaceAll(',', '\t'),
    SOUND.replaceAll('\n', '\r\n'),
    `\ufeffFrame, X, Y\n# by hand\n\n${SOUND}`,
    `quality,y,frame,x\n${SOUND.trim()
      .split('\n')
      .map((line) => {
        const [a, x, y] = line.split(',');
        return `0.9,${y},"${a}",${x}`;
      })
      .join('\n')}`,
  ];
  for (const text of variants) expect(read(text)).toEqual({ ok: true, track: wanted });
});

describe('a mistake is told with its line and column', () => {
  test.each([
    ['1,2,3\n2,x,3\n3,4,5\n', '2:3 "x" is no number; write it with a point, as 512.5'],
    ['1,2,3\n2,0x10,3\n3,4,5\n', '2:3 "0x10" is no number; write it with a point, as 512.5'],
    ['1,2,3\n2,3, 1e9\n3,4,5\n', '2:6 "1e9" lies outside every picture (65536 px)'],
    ['1,2,3\n1,3,4\n3,4,5\n', '2:1 frame 1 stands here a second time; keep one of the two'],
    ['M1,2,3\nM1,3,4\n3,4,5\n', '2:1 mark M1 stands here a second time; keep one of the two'],
    ['M7,2,3\n', '1:1 the camera has no mark M7; those of the rig file are M1, M2'],
    ['-4,2,3\n', '1:1 "-4" is neither a frame\'s number nor a mark\'s name; frames are whole numbers from 0'],
    ['1,2\n', '1:4 2 columns stand here, and frame, x and y are needed; add what is missing'],
    ['9999999999,2,3\n', "1:1 a frame's number is at most 1000000000; correct it"],
    ['1,2,3\n', '0:0 the track has 1 frames, and 3 are the least; mark more'],
    ['', '0:0 the track has 0 frames, and 3 are the least; mark more'],
  ])('%j', (text, wanted) => {
    expect(problems(text)).toContain(wanted);
  });

  test('and there is a bound to everything', () => {
    expect(problems('x'.repeat(TRACK_FILE_BYTES_MAX + 1))).toEqual([expect.stringContaining('is it a track?')]);
    const long = Array.from({ length: TRACK_LIMITS.framesMax + 1 }, (_, i) => `${i},1,2`).join('\n');
    expect(problems(long)).toEqual([
      `${TRACK_LIMITS.framesMax + 1}:1 this is more than 500 frames; leave some out, evenly over the flight`,
    ]);
    expect(problems('?,?,?\n'.repeat(5000))).toHaveLength(20);
  });
});

test('whatever stands in a file, it is a track or some sentences that a terminal can show', () => {
  const piece = fc.oneof(
    fc.constantFrom('M1', '1', ',', ';', '\t', '\n', '\r', '"', '#', 'frame,x,y', '1e99', '\u001b[2J', '\u202e'),
    fc.string({ unit: 'binary', maxLength: 6 }),
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 60 }), (pieces) => {
      const answer = read(pieces.join(''));
      if (answer.ok) {
        for (const { frame, xPx, yPx } of answer.track.frames)
          expect(Number.isInteger(frame) && Math.abs(xPx) <= TRACK_LIMITS.pxMax && Math.abs(yPx) <= TRACK_LIMITS.pxMax).toBe(true);
      } else {
        expect(answer.problems.length).toBeGreaterThan(0);
        for (const { message } of answer.problems) expect(message).not.toMatch(/\p{Cc}|\u202e/u);
      }
    }),
    { seed: 3, numRuns: 500 },
  );
});
