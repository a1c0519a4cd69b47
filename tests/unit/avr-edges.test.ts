/**
 * The flashable board's time stamps, held against edges placed at exact cycles. The capture unit is a model of ours: what is
 * proven is the program (extension to 48 bits, re-arming, which gate it was, what it says when it cannot know), not silicon.
 */
import { describe, expect, test } from 'vitest';
import { buildFirmware, type Firmware, type Replacement } from '../../firmware-sim/avr/bench/index.ts';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { errorsOf, FIRST_CYCLE, type PlacedEdge, runEdges } from '../support/avr-edges.ts';

const SEED = 20_261;
const firmware = buildFirmware();
const TURN = 65_536;

/** Blocks and clears the gates in turn, edges apart by chance. */
function apart(count: number, meanCycles: number): readonly PlacedEdge[] {
  const random = randomStream(SEED, 'apart');
  let cycle = FIRST_CYCLE;
  return Array.from({ length: count }, (_, i) => {
    cycle += 400 + random.integer(2 * (meanCycles - 400));
    return { cycle, input: 1 + ((i >> 1) % 4), active: i % 2 === 0 };
  });
}

/** One edge a turn, at these places relative to the wrap of the counter. */
const atWraps =
  (places: readonly number[]) =>
  (zeroAt: number): readonly PlacedEdge[] => {
    const first = Math.ceil((FIRST_CYCLE - zeroAt) / TURN) + 1;
    return places.map((place, i) => ({
      cycle: zeroAt + (first + i) * TURN + place,
      input: 1 + ((i >> 1) % 4),
      active: i % 2 === 0,
    }));
  };

const WITHOUT_OVERFLOW = {
  file: 'edges.c',
  from: '  if ((TIFR5 & _BV(TOV5)) && !(now & 0x8000)) high++;\n',
  to: '',
};

test('an edge apart from others is stamped to the tick, whatever the line is doing', () => {
  const edges = apart(120, 30_000);
  const run = runEdges({ firmware, edges });
  expect(run.told.map(({ input, active }) => [input, active])).toEqual(edges.map(({ input, active }) => [input, active]));
  expect(run.told.map(({ cycle }, i) => cycle - (edges[i]?.cycle ?? 0)).filter((error) => Math.abs(error) > 1)).toEqual([]);
  expect([run.captured, run.lost]).toEqual([edges.length, 0]);
  expect(run.lineLoad).toBeGreaterThan(0.5);
});

describe('around a wrap of the counter', () => {
  const places = Array.from({ length: 40 }, (_, i) => 2 * i - 40);

  test('no stamp is off by a turn', () => {
    const run = runEdges({ firmware, edges: atWraps(places) });
    expect(run.told.map(({ cycle }, i) => cycle - (run.edges[i]?.cycle ?? 0)).filter((error) => error !== 0)).toEqual([]);
    expect(run.told).toHaveLength(places.length);
  });

  test('a firmware that overlooks a pending overflow is found out', () => {
    const faulty = buildFirmware({ replacements: [WITHOUT_OVERFLOW] });
    const run = runEdges({ firmware: faulty, edges: atWraps(places) });
    const off = run.told.map(({ cycle }, i) => cycle - (run.edges[i]?.cycle ?? 0)).filter((error) => error !== 0);
    expect(off.length).toBeGreaterThan(0);
    expect(off.every((error) => Math.abs(error) === TURN)).toBe(true);
  });

  test('nor where 32 bits of ticks are full', () => {
    const edges = apart(8, 100_000);
    const run = runEdges({ firmware, edges, overflows: 0xffff - 6 });
    expect(run.told.map(({ cycle }, i) => cycle - (edges[i]?.cycle ?? 0))).toEqual(edges.map(() => 0));
    const ticks = run.lines.flatMap(({ message }) => (message.kind === 'EDGE' ? [message.ticks] : []));
    expect(Math.min(...ticks)).toBeLessThan(2 ** 32);
    expect(Math.max(...ticks)).toBeGreaterThan(2 ** 32);
  });
});

/** Bursts of edges a few cycles apart, with rests between them; inputs at random among some gates. */
function bursts(seed: number, count: number, gates: readonly number[]): readonly PlacedEdge[] {
  const random = randomStream(seed, 'bursts');
  const blocked = new Set<number>();
  let cycle = FIRST_CYCLE;
  return Array.from({ length: count }, () => {
    cycle += 30_000;
    const length = 2 + random.integer(4);
    return Array.from({ length }, () => {
      cycle += 1 + random.integer(150);
      const input = gates[random.integer(gates.length)] ?? 1;
      const active = !blocked.delete(input);
      if (active) blocked.add(input);
      return { cycle, input, active };
    });
  }).flat();
}

describe('edges too close to be told apart', () => {
  test.each([[[1]], [[1, 3]], [[1, 2, 3, 4]]])('are counted, and no stamp is wrong: gates %j', (gates) => {
    const edges = bursts(SEED + gates.length, 40, gates);
    const run = runEdges({ firmware, edges });
    expect(errorsOf(run.told, edges).filter((error) => error !== 0)).toEqual([]);
    expect(run.captured).toBe(run.told.length + run.lost);
    // A third edge within the same few cycles cannot be known of: never more are counted than there were.
    expect(run.captured).toBeLessThanOrEqual(edges.length);
    expect(run.captured).toBeGreaterThan(0.5 * edges.length);
    expect(run.lost).toBeGreaterThan(0);
  });

  /** Two edges of one gate or of one unit, each pair a little further apart than the one before. */
  const pairs = ([first, second]: readonly [number, number]): readonly PlacedEdge[] =>
    Array.from({ length: 60 }, (_, i): PlacedEdge[] => {
      const cycle = FIRST_CYCLE + i * 40_000 + 37 * i;
      const there = { cycle, input: first, active: true };
      if (first === second) return [there, { cycle: cycle + 1 + 2 * i, input: first, active: false }];
      const back = [first, second].map((input, j) => ({ cycle: cycle + 20_000 + 2000 * j, input, active: false }));
      return [there, { cycle: cycle + 1 + 2 * i, input: second, active: true }, ...back];
    }).flat();

  /** Edges told wrongly, and edges that were neither told nor counted as lost, or counted although they were told. */
  const faultsOf = (made: Firmware, inputs: readonly [number, number]): readonly [number, number] => {
    const edges = pairs(inputs);
    const run = runEdges({ firmware: made, edges, asksAgain: false });
    return [errorsOf(run.told, edges).filter((error) => error !== 0).length, edges.length - run.told.length - run.lost];
  };

  test.each([[[1, 1]], [[1, 3]]] as const)('a pair is told exactly, or what is missing of it is counted exactly: gates %j', (inputs) => {
    expect(faultsOf(firmware, inputs)).toEqual([0, 0]);
  });

  const ARM = `"lds r24, %[control]\\n\\tldi r25, %[edge]\\n\\teor r24, r25\\n\\tsts %[control], r24\\n\\t" \\`;
  const KEEP = '"sts front_flags, r24\\n\\tsts front_pins, r25\\n\\t"';
  const MUTANTS: readonly (readonly [string, readonly Replacement[], readonly [number, number]])[] = [
    [
      'arms the other edge only after it has looked',
      [
        { file: 'edges.c', from: ARM, to: '\\' },
        { file: 'edges.c', from: KEEP, to: `${KEEP} ${ARM.slice(0, -2)}` },
      ],
      [1, 1],
    ],
    [
      'does not drop what the arming raised',
      [{ file: 'edges.c', from: '"ldi r24, %[flag]\\n\\tout %[flags], r24\\n\\t"', to: '""' }],
      [1, 1],
    ],
    [
      'does not look which gate it was',
      [{ file: 'edges.c', from: 'return bit == _BV(first - 1) ? first : first + 2;', to: 'return bit ? first : 0;' }],
      [1, 3],
    ],
  ];

  test.each(MUTANTS)('a firmware that %s is found out', (_, replacements, inputs) => {
    const [wrong, uncounted] = faultsOf(buildFirmware({ replacements }), inputs);
    expect(wrong + Math.abs(uncounted)).toBeGreaterThan(0);
  });

  test('gates that come to the capture pin by a plain or are found out', () => {
    // A long ball: both gates of a unit are blocked at once.
    const edges = [1, 3, 1, 3].map((input, i) => ({ cycle: FIRST_CYCLE + 20_000 * i, input, active: i < 2 }));
    const [right, wrong] = (['xor', 'or'] as const).map((wiring) => runEdges({ firmware, edges, wiring }));
    expect(errorsOf(right?.told ?? [], edges)).toEqual([0, 0, 0, 0]);
    expect(wrong?.told.length).toBeLessThan(edges.length);
    expect(errorsOf(wrong?.told ?? [], edges).filter((error) => error !== 0)).toEqual([]);
  });

  test('a firmware that counts the way back of a short trigger twice is found out', () => {
    const edges = pairs([0, 0]);
    const uncounted = (made: Firmware): number => {
      const run = runEdges({ firmware: made, edges, asksAgain: false });
      return edges.length - run.told.length - run.lost;
    };
    expect(uncounted(firmware)).toBe(0);
    expect(
      uncounted(buildFirmware({ replacements: [{ file: 'edges.c', from: '    EIFR = _BV(INTF4);\n    lose(2);', to: '    lose(2);' }] })),
    ).toBeLessThan(0);
  });

  test('a firmware that takes the first change that it sees for the edge is found out', () => {
    const faulty = buildFirmware({
      replacements: [
        {
          file: 'edges.c',
          from: '  if (!is_single(moved) || (front_flags & ~moved)) {',
          to: '  while (moved & (moved - 1)) moved &= moved - 1;\n  if (!moved) {',
        },
      ],
    });
    const edges = bursts(SEED + 2, 40, [1, 3]);
    const run = runEdges({ firmware: faulty, edges });
    expect(errorsOf(run.told, edges).some((error) => error !== 0) || run.captured !== run.told.length + run.lost).toBe(true);
  });
});
